"""What a year takes through each position, crane and part: a slow evaluation by trying out.

Weights and importances come from trying out every set of failed positions; the scores from their
value functions point by point. Rests on `slow_rates` and `slow_waits`.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from slow import children_of, must_fit_everywhere, offer_counts, once_per_snapshot, rows_of
from slow_failures import lost_share
from slow_rates import (
    YEAR,
    age_of,
    class_of,
    failures_next_year,
    life_of,
    live_rows,
    rate_of,
    years_between,
)
from slow_waits import long_run, pool_of, supply_of

from parts.records.site import Score
from parts.records.snapshot import Snapshot
from parts.records.structure import Position

Names = frozenset[str]


class TooLarge(Exception):
    """More sets of failed positions than a test has time to try."""


MOST_EVENTS = 12


# The crane as a structure -----------------------------------------------------------------------


@dataclass
class Structure:
    """What works on one crane when some positions are out; read once from the rows."""

    snapshot: Snapshot
    crane: str
    _shares: dict[Names, float] = field(default_factory=dict)

    @cached_property
    def rows(self) -> dict[str, Position]:
        return {row.position: row for row in rows_of(self.snapshot) if row.crane == self.crane}

    @cached_property
    def functions(self) -> dict[str, float]:
        return {
            row.function: row.lost_share
            for row in self.snapshot.functions
            if row.crane == self.crane
        }

    @cached_property
    def needs(self) -> dict[str, list[tuple[str, str | None, int]]]:
        columns = self.snapshot.needs
        found: dict[str, list[tuple[str, str | None, int]]] = {}
        for i in range(len(columns)):
            if columns.crane[i] == self.crane:
                row = (columns.needs[i], columns.group[i], columns.at_least[i] or 0)
                found.setdefault(columns.item[i], []).append(row)
        return found

    @cached_property
    def inside(self) -> dict[str, list[str]]:
        return {
            name: [row.position for row in children_of(self.snapshot, self.crane, name)]
            for name in self.rows
        }

    @cached_property
    def events(self) -> list[str]:
        """What may fail by itself: what holds nothing, and assemblies with a rate of their own."""
        return [
            name
            for name, row in self.rows.items()
            if not self.inside[name] or row.failures_per_year is not None
        ]

    def all_inside(self, name: str) -> set[str]:
        found = {name}
        for child in self.inside.get(name, []):
            found |= self.all_inside(child)
        return found

    def below(self, name: str) -> set[str]:
        """The positions in it and what it needs, down to the last."""
        found = {name}
        for other in self.inside.get(name, []):
            found |= self.below(other)
        for other, _, _ in self.needs.get(name, []):
            found |= self.below(other)
        return found

    def lost_functions(self, failed: Iterable[str]) -> set[str]:
        gone = {inner for name in failed for inner in self.all_inside(name)}
        known: dict[str, bool] = {}

        def works(item: str) -> bool:
            if item not in known:
                known[item] = item not in gone and has_needs(item)
            return known[item]

        def has_needs(item: str) -> bool:
            rows = self.needs.get(item, [])
            named = {need for need, _, _ in rows}
            hard = [need for need, group, _ in rows if group is None]
            hard += [child for child in self.inside.get(item, []) if child not in named]
            if not all(works(need) for need in hard):
                return False
            groups = {(group, least) for _, group, least in rows if group is not None}
            return all(
                sum(works(need) for need, of, _ in rows if of == group) >= least
                for group, least in groups
            )

        return {name for name in self.functions if not works(name)}

    def share(self, failed: Names) -> float:
        if failed not in self._shares:
            lost = {name: self.functions[name] for name in self.lost_functions(failed)}
            self._shares[failed] = lost_share(lost)
        return self._shares[failed]

    def down(self, failed: Names) -> bool:
        return any(self.functions[name] == 1 for name in self.lost_functions(failed))


@once_per_snapshot
def structure_of(snapshot: Snapshot, crane: str) -> Structure:
    return Structure(snapshot, crane)


def rho(snapshot: Snapshot, row: Position) -> float | None:
    """Days out over days in, in the long run; nothing where no failures are known."""
    rate = failures_next_year(snapshot, row)[0]
    if not rate:
        return 0.0
    restore = long_run(snapshot)[1].get((row.crane, row.position))
    return None if restore is None else rate * restore.days / YEAR


def unavailability(snapshot: Snapshot, row: Position) -> float:
    """What nobody knows how to restore stays out."""
    share = rho(snapshot, row)
    return 1.0 if share is None else share / (1 + share)


# Weights ----------------------------------------------------------------------------------------


@once_per_snapshot
def weight(snapshot: Snapshot, crane: str, position: str) -> float:
    """The mean share of work that one outage here takes, an outage of several split among them."""
    structure = structure_of(snapshot, crane)
    alone = structure.share(frozenset({position}))
    scope = shared_with(structure, position)
    if not scope:
        return alone
    others = sorted(
        name for name in scope - {position} if unavailability(snapshot, structure.rows[name]) > 0
    )
    if len(others) > MOST_EVENTS:
        raise TooLarge
    chances = [unavailability(snapshot, structure.rows[name]) for name in others]
    total = 0.0
    for out in itertools.product((False, True), repeat=len(others)):
        chance = math.prod(u if gone else 1 - u for u, gone in zip(chances, out, strict=True))
        down = frozenset({position, *(n for n, gone in zip(others, out, strict=True) if gone)})
        total += chance * structure.share(down) / len(down)
    return total


def shared_with(structure: Structure, position: str) -> set[str]:
    """The events whose outages at the same time are one outage; empty where none is shared.

    Groups that have a position in common hang together. What alone loses as much as each of its
    groups is no part of any.
    """
    groups = groups_of(structure)
    shared = {
        name
        for group, whole in groups
        for name in group
        if structure.share(frozenset({name})) < whole - 1e-12
    }
    if position not in shared:
        return set()
    found = {position}
    while True:
        more = found.union(*(group & shared for group, _ in groups if group & found))
        if more == found:
            return found
        found = more


def groups_of(structure: Structure) -> list[tuple[set[str], float]]:
    """The events in, below or around the members of each group that can spare a member, and what
    is lost with all of them."""
    found = []
    for rows in structure.needs.values():
        for group, least in {(group, least) for _, group, least in rows if group is not None}:
            members = [name for name, of, _ in rows if of == group]
            if least < len(members):
                below = set().union(*(structure.below(name) for name in members))
                events = {name for name in structure.events if structure.all_inside(name) & below}
                found.append((events, structure.share(frozenset(events))))
    return found


# Exposure ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Exposure:
    failures: float | None
    basis: str | None
    wait: float | None
    restore: float | None
    replaced: str | None
    weight: float
    days: float | None
    cost: float | None


@once_per_snapshot
def exposure(snapshot: Snapshot, row: Position) -> Exposure:
    failures, basis = failures_next_year(snapshot, row)
    best = long_run(snapshot)[1].get((row.crane, row.position))
    of_work = weight(snapshot, row.crane, row.position)
    if of_work == 0 or failures == 0:
        days: float | None = 0.0
    elif failures is None or best is None:
        days = None
    else:
        days = failures * best.days * of_work
    crane = snapshot.cranes[row.crane]
    a_day = crane.down_cost_per_day or 0.0  # a blank cost counts nothing
    cost = None if days is None else days * a_day * (1 - crane.cover_share)
    return Exposure(
        failures,
        basis,
        None if best is None else best.wait,
        None if best is None else best.days,
        None if best is None else best.row.position,
        of_work,
        days,
        cost,
    )


# Cranes -----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Importance:
    birnbaum: float
    criticality: float
    fussell_vesely: float


@dataclass(frozen=True)
class CraneYear:
    lost_days: float
    unavailability: float | None
    cut_sets: frozenset[Names]
    importance: dict[str, Importance]


def lost_days(snapshot: Snapshot, crane: str) -> float:
    structure = structure_of(snapshot, crane)
    total = sum(
        (rho(snapshot, row) or 0.0) * weight(snapshot, crane, name)
        for name, row in structure.rows.items()
    )
    return YEAR * total / (1 + total)


def crane_year(snapshot: Snapshot, crane: str, order: int = 2) -> CraneYear:
    """By trying out every set of positions that may matter."""
    structure = structure_of(snapshot, crane)
    events = [name for name in structure.events if matters(structure, name)]
    if len(events) > MOST_EVENTS:
        raise TooLarge
    sets = [frozenset(c) for n in range(len(events) + 1) for c in itertools.combinations(events, n)]
    bad = {failed for failed in sets if structure.down(failed)}
    minimal: list[Names] = []
    for failed in sets:  # smallest first
        if failed in bad and not any(cut <= failed for cut in minimal):
            minimal.append(failed)
    chances = {name: unavailability(snapshot, structure.rows[name]) for name in events}

    def chance_of(wanted: set[Names], fixed: dict[str, float] | None = None) -> float:
        u = {**chances, **(fixed or {})}
        return math.fsum(
            math.prod(u[name] if name in failed else 1 - u[name] for name in events)
            for failed in wanted
        )

    whole = chance_of(bad)
    importance = {}
    for name in events:
        birnbaum = chance_of(bad, {name: 1.0}) - chance_of(bad, {name: 0.0})
        with_it = [cut for cut in minimal if name in cut]
        seen = {failed for failed in bad if any(cut <= failed for cut in with_it)}
        importance[name] = (
            Importance(birnbaum, birnbaum * chances[name] / whole, chance_of(seen) / whole)
            if whole
            else Importance(0.0, 0.0, 0.0)
        )
    unknown = any(rho(snapshot, structure.rows[name]) is None for name in events)
    return CraneYear(
        lost_days(snapshot, crane),
        None if unknown else whole,
        frozenset(cut for cut in minimal if len(cut) <= order),
        importance,
    )


def matters(structure: Structure, name: str) -> bool:
    """It, or something inside it, is in or below a function whose loss stops the crane."""
    wanted = {
        item
        for function, share in structure.functions.items()
        if share == 1
        for item in structure.below(function)
    }
    return bool(structure.all_inside(name) & wanted)


# Scores -----------------------------------------------------------------------------------------

USUAL = (
    Score(driver="age", weight=0.30, points="0:0+0.5:20+1:70+1.5:100"),
    Score(driver="sources", weight=0.35, points="0:100+1:75+2:40+3:15+4:0"),
    Score(driver="lead_time", weight=0.35, points="7:0+30:25+90:55+180:80+365:100"),
)


def value_at(points: str, x: float) -> float:
    """Straight between the points, flat outside."""
    pairs = [tuple(float(n) for n in pair.split(":")) for pair in points.split("+")]
    if x <= pairs[0][0]:
        return pairs[0][1]
    for (a, low), (b, high) in itertools.pairwise(pairs):
        if x <= b:
            return low + (high - low) * (x - a) / (b - a)
    return pairs[-1][1]


def age_share(snapshot: Snapshot, part: str) -> float | None:
    row = snapshot.parts[part]
    shares = []
    ages = [
        (age, seat)
        for seat in live_rows(snapshot, part)
        if (age := age_of(snapshot, seat, "years")) is not None
    ]
    if ages:
        age, seat = max(ages, key=lambda pair: pair[0])
        life, rate = life_of(snapshot, part), rate_of(snapshot, part)
        expected: float | None = None
        if life is not None and life.basis == "years":
            expected = life.mean
        elif life is not None and snapshot.cranes[seat.crane].hours_per_year:
            expected = life.mean / (snapshot.cranes[seat.crane].hours_per_year or 1.0)
        elif rate is not None and rate.mean:
            expected = 1 / rate.mean
        if expected is not None:
            shares.append(age / expected)
    usual = class_of(snapshot, row)
    if row.introduced is not None and usual.market_scale is not None:
        shares.append(years_between(row.introduced, snapshot.today) / usual.market_scale)
    return max(shares, default=None)


def drivers(snapshot: Snapshot, part: str) -> dict[str, float | None]:
    points = {row.driver: row.points for row in (*USUAL, *snapshot.scores)}
    bears = must_fit_everywhere(snapshot, part)
    sources = {
        row.supplier
        for row in snapshot.offers
        if row.part == part and offer_counts(snapshot, row, bears)
    }
    share, days = age_share(snapshot, part), supply_of(snapshot, pool_of(snapshot, part)).days
    return {
        "age": None if share is None else value_at(points["age"], share),
        "sources": value_at(points["sources"], len(sources)) if sources else 100.0,
        "lead_time": 100.0 if days is None else value_at(points["lead_time"], days),
    }


def supply_score(snapshot: Snapshot, part: str) -> float:
    weights = {row.driver: row.weight for row in (*USUAL, *snapshot.scores)}
    known = {name: value for name, value in drivers(snapshot, part).items() if value is not None}
    total = sum(weights[name] for name in known)
    return sum(weights[name] * value for name, value in known.items()) / total
