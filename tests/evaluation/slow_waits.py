"""How long a failure waits in the long run, reckoned slowly: every event of demand is whole.

A part's pool, its lead time and its stock; then the chance that the next failure is served by a
day t, found by trying all numbers of earlier events, integrated over t.
"""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache

import numpy as np
from slow import (
    default_ways,
    hours_a_day,
    hours_of,
    must_fit_everywhere,
    offer_counts,
    offer_days,
    once_per_snapshot,
    order_ways,
    rows_of,
    usable_stock,
)
from slow_failures import ancestry
from slow_rates import YEAR, failures_next_year, live_rows, planned_of, years_between

from parts.records.catalogue import Substitute
from parts.records.snapshot import Snapshot
from parts.records.structure import Position

NODES, WEIGHTS = np.polynomial.legendre.leggauss(24)


# Pools ------------------------------------------------------------------------------------------


@once_per_snapshot
def pool_of(snapshot: Snapshot, part: str) -> frozenset[str]:
    """The part and all that stand in for each other with it, both ways."""
    pool = {part}
    while True:
        grown = pool | {
            other
            for row in snapshot.substitutes
            if row.both_ways and pools(snapshot, row)
            for here, other in ((row.part, row.substitute), (row.substitute, row.part))
            if here in pool
        }
        if grown == pool:
            return frozenset(pool)
        pool = grown


def pools(snapshot: Snapshot, row: Substitute) -> bool:
    """Without approval not where either has to fit, as itself or as a companion, where load
    hangs on it."""
    return row.approval is not None or not any(
        must_fit_everywhere(snapshot, part) for part in (row.part, row.substitute)
    )


@dataclass(frozen=True)
class Supply:
    """How soon the pool is replenished and what it holds; `assumed`: it cannot be bought."""

    days: float | None
    assumed: bool
    stock: int


@once_per_snapshot
def supply_of(snapshot: Snapshot, pool: frozenset[str]) -> Supply:
    stock = sum(
        usable_stock(snapshot, part) + sum(way.qty or 0 for way in order_ways(snapshot, part))
        for part in pool
    )
    leads = [lead_of(snapshot, part) for part in sorted(pool)]
    real = [days for days, assumed in leads if days is not None and not assumed]
    guessed = [days for days, assumed in leads if days is not None and assumed]
    return Supply(min(real or guessed, default=None), not real, stock)


@once_per_snapshot
def lead_of(snapshot: Snapshot, part: str) -> tuple[float | None, bool]:
    """Mean days of the fastest way to buy or make one further unit, else what is assumed."""
    bears = must_fit_everywhere(snapshot, part)
    held = bool(live_rows(snapshot, part))
    days = [
        offer_days(snapshot, row, further_unit=True)
        for row in snapshot.offers
        if row.part == part
        and offer_counts(snapshot, row, bears)
        and (row.kind != "repair" or held)
    ]
    if days:
        return min(days), False
    assumed = default_ways(snapshot, part)
    return (assumed[-1].days if assumed else None), True


@once_per_snapshot
def horizon_of(snapshot: Snapshot, pool: frozenset[str]) -> float:
    """Years until the last crane that uses any of the pool is gone."""
    users = set(pool) | {row.part for row in snapshot.companions if row.companion in pool}
    ends = [
        snapshot.site.horizon_years if crane.retire_on is None
        else years_between(snapshot.today, crane.retire_on)
        for crane in (
            snapshot.cranes[row.crane]
            for row in rows_of(snapshot)
            if row.part in users and snapshot.is_live(row.crane)
        )
    ]  # fmt: skip
    return max(ends, default=snapshot.site.horizon_years)


# Events of demand -------------------------------------------------------------------------------

Streams = tuple[tuple[tuple[int, ...], float], ...]  # units of each member, events a day
Taken = tuple[tuple[frozenset[str], int], ...]  # units of each pool that one event takes


@once_per_snapshot
def ways_to_take(snapshot: Snapshot, part: str) -> dict[Taken, float]:
    """What one use of the part takes, with the chance of each: itself and companions."""
    companions = [row for row in snapshot.companions if row.part == part and row.chance > 0]
    found: dict[Taken, float] = defaultdict(float)
    for taken in itertools.product((True, False), repeat=len(companions)):
        chance = math.prod(
            row.chance if yes else 1 - row.chance
            for row, yes in zip(companions, taken, strict=True)
        )
        units: dict[frozenset[str], int] = defaultdict(int)
        units[pool_of(snapshot, part)] += 1
        for row, yes in zip(companions, taken, strict=True):
            if yes:
                units[pool_of(snapshot, row.companion)] += row.qty
        if chance > 0:
            found[tuple(sorted(units.items(), key=lambda item: sorted(item[0])))] += chance
    return dict(found)


@dataclass
class Demand:
    """Uses a year of each part: failures, failures of what is inside, planned use."""

    snapshot: Snapshot
    uses: dict[str, float]
    _waits: dict[Taken, float | None] = field(default_factory=dict)

    def events(self) -> dict[Taken, float]:
        found: dict[Taken, float] = defaultdict(float)
        for part, rate in self.uses.items():
            for taken, chance in ways_to_take(self.snapshot, part).items():
                found[taken] += rate * chance
        return found

    def wait(self, part: str) -> float | None:
        """Of a failure, over what it may take along."""
        total = 0.0
        for taken, chance in ways_to_take(self.snapshot, part).items():
            if taken not in self._waits:
                self._waits[taken] = self.wait_for(taken)
            days = self._waits[taken]
            if days is None:
                return None
            total += chance * days
        return total

    def wait_for(self, taken: Taken) -> float | None:
        supplies = {pool: supply_of(self.snapshot, pool) for pool, _ in taken}
        if any(supply.days is None for supply in supplies.values()):
            return None
        windows, fixed = [], []
        for pool, units in taken:
            supply = supplies[pool]
            assert supply.days is not None
            if supply.assumed:
                fixed.append((supply.days, self.chance_uncovered(pool)))
            else:
                windows.append((supply.days, supply.stock - units, pool))
        windows.sort(key=lambda window: window[0])
        streams = self.streams([pool for _, _, pool in windows])

        def late(day: float) -> float:
            served = math.prod(1 - chance * (day < days) for days, chance in fixed)
            still = [window for window in windows if window[0] > day]
            if still:
                skip = len(windows) - len(still)
                left = tuple((units[skip:], rate) for units, rate in streams if any(units[skip:]))
                spans = tuple(days - day for days, _, _ in still)
                served *= chance_served(spans, tuple(spare for _, spare, _ in still), left)
            return 1 - served

        cuts = sorted({0.0, *(days for days, _, _ in windows), *(days for days, _ in fixed)})
        return sum(integral(late, a, b) for a, b in itertools.pairwise(cuts))

    def streams(self, members: list[frozenset[str]]) -> Streams:
        """Events a day by what they take of each member."""
        found: dict[tuple[int, ...], float] = defaultdict(float)
        for event, rate in self.events().items():
            found[tuple(dict(event).get(pool, 0) for pool in members)] += rate / YEAR
        return tuple((units, rate) for units, rate in found.items() if rate and any(units))

    def chance_uncovered(self, pool: frozenset[str]) -> float:
        """Units a year that the stock does not cover until the last user is gone, over all."""
        sizes: dict[int, float] = defaultdict(float)
        for event, rate in self.events().items():
            units = dict(event).get(pool, 0)
            if units and rate:
                sizes[units] += rate
        stock = supply_of(self.snapshot, pool).stock
        units_a_year = sum(units * rate for units, rate in sizes.items())
        if units_a_year == 0:
            return 0.0 if stock > 0 else 1.0
        years = horizon_of(self.snapshot, pool)
        pmf = compound(tuple(sorted(sizes.items())), years, stock)
        covered = sum(1 - sum(pmf[: n + 1]) for n in range(stock))
        return (units_a_year * years - covered) / (units_a_year * years)


def compound(sizes: tuple[tuple[int, float], ...], years: float, most: int) -> list[float]:
    """Chances of 0..most units in so many years, from the numbers of events of each size."""
    chances = [1.0] + [0.0] * most
    for units, rate in sizes:
        mean = rate * years
        of_size = [0.0] * (most + 1)
        for count in range(most // units + 1):
            of_size[count * units] = math.exp(
                -mean + count * math.log(mean) - math.lgamma(count + 1)
            )
        chances = [sum(chances[n - k] * of_size[k] for k in range(n + 1)) for n in range(most + 1)]
    return chances


def integral(late: Callable[[float], float], a: float, b: float) -> float:
    """Of a smooth function, by Gauss and Legendre."""
    half = (b - a) / 2
    return half * sum(
        float(w) * late(a + half * (1 + float(x))) for x, w in zip(NODES, WEIGHTS, strict=True)
    )


def chance_served(windows: tuple[float, ...], spare: tuple[int, ...], streams: Streams) -> float:
    """That in each member's last so many days no more was asked than it can spare.

    Windows ascend and all end now. Numbers of events are tried stretch by stretch, kind by kind;
    an event that happened before a member's window is nothing to that member.
    """
    edges = (0.0, *windows)

    @cache
    def tried(stretch: int, kind: int, left: tuple[int, ...]) -> float:
        if min(left) < 0:
            return 0.0
        if stretch == len(windows):
            return 1.0
        if kind == len(streams):
            return tried(stretch + 1, 0, left)
        units, rate = streams[kind]
        felt = tuple(0 if k < stretch else n for k, n in enumerate(units))
        mean = rate * (edges[stretch + 1] - edges[stretch])
        if mean == 0 or not any(felt):
            return tried(stretch, kind + 1, left)
        total, count, chance = 0.0, 0, math.exp(-mean)
        while min(left) >= 0:
            total += chance * tried(stretch, kind + 1, left)
            count += 1
            chance *= mean / count
            left = tuple(n - f for n, f in zip(left, felt, strict=True))
        return total

    return tried(0, 0, spare)


# The choice between a part and what it sits in --------------------------------------------------


@dataclass(frozen=True)
class Restore:
    """What is exchanged in the long run, and how long that takes."""

    row: Position
    wait: float
    days: float


@once_per_snapshot
def long_run(snapshot: Snapshot) -> tuple[Demand, dict[tuple[str, str], Restore]]:
    """Start from the failures of each part alone; count what is restored through assemblies."""
    seats = [row for row in rows_of(snapshot) if snapshot.is_live(row.crane)]
    through: dict[str, float] = {}
    before: dict[tuple[str, str], str] | None = None
    for _ in range(10):
        demand = Demand(snapshot, uses_of(snapshot, seats, through))
        found = {}
        for row in seats:
            best = best_restore(snapshot, row, demand)
            if best is not None:
                found[row.crane, row.position] = best
        chosen = {key: best.row.position for key, best in found.items()}
        if chosen == before:
            break
        before = chosen
        through = defaultdict(float)
        for row in seats:
            best = found.get((row.crane, row.position))
            rate = failures_next_year(snapshot, row)[0]
            if best is not None and best.row != row and rate and best.row.part:
                through[best.row.part] += rate
    return demand, found


def uses_of(
    snapshot: Snapshot, seats: list[Position], through: dict[str, float]
) -> dict[str, float]:
    uses = {part: planned_of(snapshot, part) + through.get(part, 0.0) for part in snapshot.parts}
    for row in seats:
        if row.part is not None:
            uses[row.part] += failures_next_year(snapshot, row)[0] or 0.0
    return uses


def units_a_year(snapshot: Snapshot, part: str) -> float:
    """Asked for by failures of itself, by plan and as a companion; before any choice to exchange
    an assembly instead."""
    seats = [row for row in rows_of(snapshot) if snapshot.is_live(row.crane)]
    uses = uses_of(snapshot, seats, {})
    return uses[part] + sum(
        uses[row.part] * row.chance * row.qty
        for row in snapshot.companions
        if row.companion == part
    )


def best_restore(snapshot: Snapshot, row: Position, demand: Demand) -> Restore | None:
    best: Restore | None = None
    for place in ancestry(snapshot, (row.crane, row.position)):
        if place.part is None or (place != row and rests_on_a_guess(snapshot, place.part)):
            continue
        wait = demand.wait(place.part)
        if wait is None:
            continue
        days = wait + hours_of(snapshot, place) / hours_a_day(snapshot)
        if best is None or days < best.days - 1e-9:
            best = Restore(place, wait, days)
    return best


def rests_on_a_guess(snapshot: Snapshot, part: str) -> bool:
    taken = {part} | {row.companion for row in snapshot.companions if row.part == part}
    return any(supply_of(snapshot, pool_of(snapshot, each)).assumed for each in taken)
