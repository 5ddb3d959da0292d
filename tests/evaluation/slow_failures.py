"""What follows when positions fail: a slow evaluation by trying out every set of exchanges.

One failure is a set of one. Every failed position may be restored by itself or by an assembly
above it; every exchange may fit the part or one substitute; every unit of a companion may be the
companion itself or one of its substitutes. All combinations are reckoned and the best is kept.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from slow import (
    Used,
    bears_load,
    children_of,
    default_ways,
    delay,
    hours_a_day,
    hours_of,
    once_per_snapshot,
    rows_of,
    substitutes_of,
    ways_of,
)

from parts.records.catalogue import Substitute
from parts.records.snapshot import Snapshot
from parts.records.structure import Position

Key = tuple[str, str]  # crane, position

# Consequence ------------------------------------------------------------------------------------


def everything_inside(snapshot: Snapshot, crane: str, position: str) -> set[str]:
    inside = {position}
    for child in children_of(snapshot, crane, position):
        inside |= everything_inside(snapshot, crane, child.position)
    return inside


def functions_lost(snapshot: Snapshot, crane: str, failed: set[str]) -> dict[str, float]:
    """Each lost function with its share of the work."""
    gone = {inner for name in failed for inner in everything_inside(snapshot, crane, name)}
    needs = [
        (snapshot.needs.item[i], snapshot.needs.needs[i], snapshot.needs.group[i],
         snapshot.needs.at_least[i])
        for i in range(len(snapshot.needs))
        if snapshot.needs.crane[i] == crane
    ]  # fmt: skip

    def works(item: str) -> bool:
        if item in gone:
            return False
        own = [(need, group, least) for of, need, group, least in needs if of == item]
        hard = [need for need, group, _ in own if group is None]
        named = {need for need, _, _ in own}
        hard += [
            child.position
            for child in children_of(snapshot, crane, item)
            if child.position not in named
        ]
        groups = {(group, least) for _, group, least in own if group is not None}
        return all(works(need) for need in hard) and all(
            sum(works(need) for need, of, _ in own if of == group) >= (least or 0)
            for group, least in groups
        )

    rows = [row for row in snapshot.functions if row.crane == crane]
    return {row.function: row.lost_share for row in rows if not works(row.function)}


def lost_share(lost: dict[str, float]) -> float:
    left = 1.0
    for share in lost.values():
        left *= 1 - share
    return 1 - left


def state(share: float) -> str:
    if share == 0:
        return "in_service"
    return "down" if share == 1 else "reduced"


# Exchanges --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Demand:
    """Units of one part that an exchange takes, and in which role it takes them."""

    part: str
    qty: int
    role: str  # own, companion, substitute


@dataclass(frozen=True)
class Plan:
    """One way of carrying out one exchange; `fitted_at` is 0 for the part itself."""

    row: Position
    fitted: str
    fitted_at: int
    demands: tuple[Demand, ...]
    extra_hours: float


@dataclass
class Outcome:
    plan: Plan
    restore_days: float | None
    hands_on_days: float
    assumed: bool


@once_per_snapshot
def plans_for(snapshot: Snapshot, row: Position) -> list[Plan]:
    """Every way of exchanging this position."""
    assert row.part is not None
    bears = bears_load(snapshot, row)
    fits: list[Substitute | None] = [None, *substitutes_of(snapshot, row.part, bears)]
    plans = []
    for number, substitute in enumerate(fits):
        fitted = row.part if substitute is None else substitute.substitute
        role = "own" if substitute is None else "substitute"
        certain = [c for c in snapshot.companions if c.part == fitted and c.chance == 1]
        # A part that takes itself along is a matched pair: both units come the same way.
        units = 1 + sum(c.qty for c in certain if c.companion == fitted)
        others = [c for c in certain if c.companion != fitted]
        for split in itertools.product(
            *(_splits(snapshot, c.companion, c.qty, bears) for c in others)
        ):
            demands = [Demand(fitted, units, role)]
            # Work that a substitute asks for is done once, however many units of it go in.
            stood_in = [] if substitute is None else [substitute]
            for companion, shares in zip(others, split, strict=True):
                for by, qty in shares:
                    if by is None:
                        demands.append(Demand(companion.companion, qty, "companion"))
                    else:
                        demands.append(Demand(by.substitute, qty, "substitute"))
                        stood_in.append(by)
            hours = sum({(by.part, by.substitute): by.extra_hours for by in stood_in}.values())
            plans.append(Plan(row, fitted, number, tuple(demands), hours))
    return plans


Split = list[tuple[Substitute | None, int]]


def _splits(snapshot: Snapshot, part: str, qty: int, bears: bool) -> Iterator[Split]:
    """Every way of making up qty units from the part and its substitutes; itself first."""
    choices: list[Substitute | None] = [None, *substitutes_of(snapshot, part, bears)]
    counts = itertools.product(range(qty, -1, -1), repeat=len(choices))
    for shares in counts:
        if sum(shares) == qty:
            yield [(by, n) for by, n in zip(choices, shares, strict=True) if n]


def carry_out(snapshot: Snapshot, plans: list[Plan]) -> list[Outcome]:
    """Serve the exchanges in their order: what is wanted as itself first, then as a substitute.

    Whoever is served takes the earliest units that are left; a position's own core can come back
    repaired to that position only.
    """
    used: Used = {}
    days: list[list[float | None]] = [[] for _ in plans]
    assumed = [False for _ in plans]
    for roles in (("own", "companion"), ("substitute",)):
        for number, plan in enumerate(plans):
            bears = bears_load(snapshot, plan.row)
            for demand in plan.demands:
                if demand.role not in roles:
                    continue
                core = (plan.row.crane, plan.row.position)
                ways = ways_of(snapshot, demand.part, bears, demand.role, core)
                may_guess = demand.role != "substitute"
                fallback = default_ways(snapshot, demand.part) if may_guess else ()
                day, guessed = delay(ways, fallback, demand.qty, used)
                days[number].append(day)
                assumed[number] |= guessed
    outcomes = []
    for number, plan in enumerate(plans):
        hours = hours_of(snapshot, plan.row) + plan.extra_hours
        hands_on = hours / hours_a_day(snapshot)
        known = [day for day in days[number] if day is not None]
        whole = len(known) == len(days[number])
        restore = max(known) + hands_on if whole else None
        outcomes.append(Outcome(plan, restore, hands_on, assumed[number]))
    return outcomes


# A set of failed positions ----------------------------------------------------------------------


@dataclass
class Choice:
    """The exchanges chosen for a set, and which of them restores each failed position."""

    outcomes: list[Outcome] = field(default_factory=list)
    by_position: dict[Key, Outcome] = field(default_factory=dict)


def ancestry(snapshot: Snapshot, key: Key) -> list[Position]:
    """The position and the assemblies above it, lowest first."""
    by_name = {row.position: row for row in rows_of(snapshot) if row.crane == key[0]}
    chain = [by_name[key[1]]]
    while chain[-1].parent is not None:
        chain.append(by_name[chain[-1].parent])
    return chain


def loss_a_day(snapshot: Snapshot, crane: str) -> float:
    row = snapshot.cranes[crane]
    return (row.down_cost_per_day or 0.0) * (1 - row.cover_share)


def choose(snapshot: Snapshot, failed: list[Key]) -> Choice:
    """The best set of exchanges: fewest unknown, least longest, least sum, lowest, part itself."""
    failed = sorted(failed, key=lambda key: (-loss_a_day(snapshot, key[0]), *key))
    chains = {key: ancestry(snapshot, key) for key in failed}
    places = [[*(row for row in chains[key] if row.part is not None), None] for key in failed]
    best: tuple[tuple[object, ...], Choice] | None = None
    for chosen in itertools.product(*places):
        covers = _covers(chains, failed, chosen)
        rows = {(row.crane, row.position): row for row in covers.values() if row is not None}
        in_turn = sorted(rows, key=lambda key: (-loss_a_day(snapshot, key[0]), *key))
        for outcomes in _settled(snapshot, [rows[key] for key in in_turn], failed):
            by_exchange = dict(zip(in_turn, outcomes, strict=True))
            by_position = {
                key: by_exchange[(row.crane, row.position)]
                for key, row in covers.items()
                if row is not None
            }
            rank = _rank(failed, chains, covers, by_position, outcomes)
            if best is None or rank < best[0]:
                best = (rank, Choice(outcomes, by_position))
    assert best is not None
    return best[1]


def _settled(
    snapshot: Snapshot, rows: list[Position], failed: list[Key]
) -> Iterator[list[Outcome]]:
    """Every set of plans, chosen for the set as a whole: a companion's substitute may go in so
    that another exchange gets the companion. An assembly that rests on an assumption does not
    count."""
    for plans in itertools.product(*(plans_for(snapshot, row) for row in rows)):
        outcomes = carry_out(snapshot, list(plans))
        places = [(outcome.plan.row.crane, outcome.plan.row.position) for outcome in outcomes]
        if all(
            not outcome.assumed or place in failed
            for outcome, place in zip(outcomes, places, strict=True)
        ):
            yield outcomes


def _covers(
    chains: dict[Key, list[Position]], failed: list[Key], chosen: tuple[Position | None, ...]
) -> dict[Key, Position | None]:
    """Who restores whom once exchanges inside an exchanged assembly are dropped."""
    exchanged = {(row.crane, row.position) for row in chosen if row is not None}
    covers: dict[Key, Position | None] = {}
    for key, own in zip(failed, chosen, strict=True):
        above = [row for row in chains[key] if (row.crane, row.position) in exchanged]
        covers[key] = above[-1] if above else own
    return covers


def _rank(
    failed: list[Key],
    chains: dict[Key, list[Position]],
    covers: dict[Key, Position | None],
    by_position: dict[Key, Outcome],
    outcomes: list[Outcome],
) -> tuple[object, ...]:
    restores = [by_position[key].restore_days if key in by_position else None for key in failed]
    known = [days for days in restores if days is not None]
    levels = []
    for key in failed:
        row = covers[key]
        levels.append(chains[key].index(row) if row is not None else 0)
    # Rounded, so that ties are ties whatever the order of additions.
    return (
        len(restores) - len(known),
        round(max(known, default=0.0), 9),
        round(math.fsum(known), 9),
        levels,
        [outcome.plan.fitted_at for outcome in outcomes],
        [outcome.plan.extra_hours for outcome in outcomes],
    )


# Answers ----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Outage:
    """What follows for one position that fails alone."""

    state: str
    lost_share: float
    functions_lost: frozenset[str]
    restore_days: float | None
    hands_on_days: float | None
    lost_days: float | None
    cost: float | None
    assumed: bool
    load_bearing: bool
    replaced: str | None
    may_be_fitted: frozenset[str]


def days_lost(restore: float | None, share: float) -> float | None:
    """Nothing where nothing is lost, whatever is known of the restore."""
    if share == 0:
        return 0.0
    return None if restore is None else restore * share


def cost_of(snapshot: Snapshot, crane: str, lost: float | None, cover: float) -> float | None:
    a_day = snapshot.cranes[crane].down_cost_per_day
    return None if a_day is None or lost is None else lost * a_day * (1 - cover)


def listed(snapshot: Snapshot) -> list[Position]:
    """All positions of live cranes but those that are structure only."""
    return [
        row
        for row in rows_of(snapshot)
        if snapshot.is_live(row.crane)
        and (row.part is not None or not children_of(snapshot, row.crane, row.position))
    ]


def outage(snapshot: Snapshot, row: Position) -> Outage:
    key = (row.crane, row.position)
    best = choose(snapshot, [key]).by_position.get(key)
    lost = functions_lost(snapshot, row.crane, {row.position})
    share = lost_share(lost)
    restore = None if best is None else best.restore_days
    known = best is not None and restore is not None
    days = days_lost(restore, share)
    return Outage(
        state=state(share),
        lost_share=share,
        functions_lost=frozenset(lost),
        restore_days=restore,
        hands_on_days=best.hands_on_days if known and best else None,
        lost_days=days,
        cost=cost_of(snapshot, row.crane, days, snapshot.cranes[row.crane].cover_share),
        assumed=bool(known and best and best.assumed),
        load_bearing=bears_load(snapshot, row),
        replaced=best.plan.row.position if known and best else None,
        may_be_fitted=equally_soon(snapshot, row, best) if known and best else frozenset(),
    )


def equally_soon(snapshot: Snapshot, failed: Position, best: Outcome) -> frozenset[str]:
    """The part itself where it is as soon as any, else every substitute that is."""
    soon = {
        plan.fitted
        for plan in plans_for(snapshot, best.plan.row)
        for outcome in carry_out(snapshot, [plan])
        if outcome.restore_days is not None
        and best.restore_days is not None
        and (best.plan.row == failed or not outcome.assumed)
        and outcome.restore_days <= best.restore_days + 1e-9
    }
    own = best.plan.row.part
    return frozenset({own} if own is not None and own in soon else soon)


@dataclass(frozen=True)
class CraneTogether:
    state: str
    lost_share: float
    functions_lost: frozenset[str]
    restore_days: float | None
    lost_days: float | None
    cost: float | None


def together(snapshot: Snapshot, failed: list[Key]) -> dict[str, CraneTogether]:
    """Each crane of the set; a neighbour in the same bay that is down by the set covers nobody."""
    chosen = choose(snapshot, failed)
    cranes = sorted({crane for crane, _ in failed})
    lost = {
        crane: functions_lost(snapshot, crane, {name for of, name in failed if of == crane})
        for crane in cranes
    }
    down = [crane for crane in cranes if lost_share(lost[crane]) == 1]
    answers = {}
    for crane in cranes:
        row = snapshot.cranes[crane]
        share = lost_share(lost[crane])
        outcomes = [chosen.by_position.get(key) for key in failed if key[0] == crane]
        known = [o.restore_days for o in outcomes if o is not None and o.restore_days is not None]
        restore = max(known) if len(known) == len(outcomes) else None
        neighbour_down = any(
            other != crane and row.bay is not None and snapshot.cranes[other].bay == row.bay
            for other in down
        )
        days = days_lost(restore, share)
        cost = cost_of(snapshot, crane, days, 0.0 if neighbour_down else row.cover_share)
        answers[crane] = CraneTogether(
            state(share), share, frozenset(lost[crane]), restore, days, cost
        )
    return answers
