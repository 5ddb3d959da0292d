"""What may go into an exchange and when, reckoned slowly and plainly.

Written apart from the program and without its arithmetic, so that both can be held against each
other: lots one by one, routes path by path, units one by one. Where there are two
ways of seeing it, the one that serves the trade is taken and said in a comment.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from functools import wraps
from typing import Any, Concatenate, ParamSpec, TypeVar

from parts.records.catalogue import Substitute
from parts.records.snapshot import Snapshot
from parts.records.stock import CONDITIONS, Movement
from parts.records.structure import Position
from parts.records.supply import Offer, Operation

Lot = tuple[str | None, date | None, str]  # store, expires_on, condition
P = ParamSpec("P")
R = TypeVar("R")


def once_per_snapshot(
    function: Callable[Concatenate[Snapshot, P], R],
) -> Callable[Concatenate[Snapshot, P], R]:
    """Slow is well, but the same question about the same snapshot is reckoned once only."""
    # The snapshot is kept beside its answer, so that its identity is not given to another.
    answers: dict[tuple[Any, ...], tuple[Snapshot, R]] = {}

    @wraps(function)
    def asked(snapshot: Snapshot, /, *args: P.args, **kwargs: P.kwargs) -> R:
        question = (id(snapshot), args, tuple(kwargs.items()))
        if question not in answers:
            answers[question] = (snapshot, function(snapshot, *args, **kwargs))
        return answers[question][1]

    return asked


# Stock ------------------------------------------------------------------------------------------


def lots_of(snapshot: Snapshot, part: str) -> dict[Lot, int]:
    """What lies where, movement by movement in the order in which it is booked."""
    lots: dict[Lot, int] = defaultdict(int)
    rows = _without_undone_on_the_day([row for row in snapshot.movements if row.part == part])
    moved: dict[str, list[tuple[Lot, int]]] = {}
    for row in sorted(rows, key=lambda row: (row.date, row.qty < 0, row.key)):
        undone = moved.get(row.reverses or "")
        names_a_lot = row.expires_on is not None or row.condition is not None
        own_lot = (row.store, row.expires_on, row.condition or "usable")
        if row.qty >= 0:
            brought = [(own_lot, row.qty)] if names_a_lot or undone is None else undone
            for lot, qty in brought:
                lots[lot] += qty
            moved[row.key] = list(brought)
        else:
            first = [own_lot] if row.expires_on is not None else []
            if undone is not None and not names_a_lot:
                first = [lot for lot, _ in undone]
            moved[row.key] = _take(lots, own_lot, first, -row.qty)
    return lots


def _without_undone_on_the_day(rows: list[Movement]) -> list[Movement]:
    """What is undone on its own day never happened; in before out could not book it otherwise."""
    dates = {row.key: row.date for row in rows}
    undoing = {
        row.key: row.reverses
        for row in rows
        if row.reverses is not None and dates.get(row.reverses) == row.date
    }
    gone = undoing.keys() | set(undoing.values())
    return [row for row in rows if row.key not in gone]


def _take(lots: dict[Lot, int], own: Lot, first: list[Lot], qty: int) -> list[tuple[Lot, int]]:
    """The named lot, else the earliest to expire in its condition, else other conditions."""

    def turn(lot: Lot) -> tuple[bool, bool, int, date]:
        # Beyond its own condition a movement takes usable units first: the count stays careful.
        return (
            lot not in first,
            lot[2] != own[2],
            CONDITIONS.index(lot[2]),
            lot[1] or date.max,
        )

    taken: list[tuple[Lot, int]] = []
    for lot in sorted((lot for lot in lots if lot[0] == own[0]), key=turn):
        units = min(qty, lots[lot])
        if units > 0:
            lots[lot] -= units
            qty -= units
            taken.append((lot, units))
    return taken


@once_per_snapshot
def usable_stock(snapshot: Snapshot, part: str) -> int:
    """Units in condition usable that have not expired (the last day counts), less promises."""
    good = sum(
        qty
        for (_, expires_on, condition), qty in lots_of(snapshot, part).items()
        if condition == "usable" and (expires_on is None or expires_on >= snapshot.today)
    )
    promised = sum(
        row.qty
        for row in snapshot.reservations
        if row.part == part and (row.released_on is None or row.released_on > snapshot.today)
    )
    return max(0, good - promised)


# Lead times -------------------------------------------------------------------------------------


@once_per_snapshot
def correction(snapshot: Snapshot, supplier: str) -> float:
    """exp of the mean log of actual over quoted, shrunk to all suppliers', that to 0."""
    logs: dict[str, list[float]] = defaultdict(list)
    for row in snapshot.orders:
        if row.received_on is None or row.received_on <= row.ordered_on or not row.quoted_days:
            continue
        actual = (row.received_on - row.ordered_on).days
        logs[row.supplier].append(math.log(actual / row.quoted_days))
    pooled = [value for values in logs.values() for value in values]
    if not pooled:
        return 1.0
    everyone = sum(pooled) / len(pooled) * len(pooled) / (len(pooled) + 10)
    own = logs.get(supplier, [])
    if not own:
        return math.exp(everyone)
    weight = len(own) / (len(own) + 3)
    return math.exp(weight * sum(own) / len(own) + (1 - weight) * everyone)


def mean_days(snapshot: Snapshot, row: Offer | Operation) -> float:
    """(a + 4m + b) / 6 in calendar days; a missing end equals the likely value."""
    assert row.likely is not None
    low = row.likely if row.low is None else row.low
    high = row.likely if row.high is None else row.high
    days_of = {"d": 1.0, "wk": 7.0, "wd": 7.0 / snapshot.site.working_days_a_week}
    return (low + 4 * row.likely + high) / 6 * days_of[row.unit]


def _lasts(row: Operation) -> bool:
    """Whether the operation, once done, serves every later unit."""
    return bool(row.ahead) if row.ahead_lasts is None else row.ahead_lasts


@once_per_snapshot
def route_days(snapshot: Snapshot, route: str, further_unit: bool = False) -> float:
    """The longest of all paths, each walked from end to beginning."""
    rows = {row.operation: row for row in snapshot.routes if row.route == route}

    def duration(row: Operation) -> float:
        if row.done and (_lasts(row) or not further_unit):
            return 0.0
        return mean_days(snapshot, row)

    def paths(row: Operation) -> Iterator[float]:
        before = row.after.split("+") if row.after else []
        if not before:
            yield duration(row)
        for name in before:
            for length in paths(rows[name]):
                yield length + duration(row)

    return max(length for row in rows.values() for length in paths(row))


def has_one_blank(snapshot: Snapshot, route: str) -> bool:
    """Something done that the first unit uses up."""
    return any(row.route == route and row.done and not _lasts(row) for row in snapshot.routes)


# Ways -------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Way:
    """`qty` units (None = no limit) after `days`; ways with one `source` share its units."""

    part: str
    kind: str
    days: float
    qty: int | None
    source: tuple[str, ...]
    supplier: str | None = None
    route: str | None = None


def offer_days(snapshot: Snapshot, row: Offer, further_unit: bool = False) -> float:
    factor = correction(snapshot, row.supplier)
    if row.route is not None and (row.kind == "made" or row.likely is None):
        return route_days(snapshot, row.route, further_unit) * factor
    return mean_days(snapshot, row) * factor


def offer_open(snapshot: Snapshot, row: Offer) -> bool:
    """The supplier is active and no last day has passed."""
    if not snapshot.suppliers[row.supplier].active:
        return False
    last: dict[str | None, tuple[date, date | None, date | None]] = {}
    for notice in snapshot.notices:
        names_it = notice.supplier == row.supplier
        binds = names_it or (notice.supplier is None and row.kind == "new")
        if notice.part != row.part or notice.kind != "discontinuance" or not binds:
            continue
        earlier = last.get(notice.supplier)
        if earlier is None or notice.notice_on > earlier[0]:
            last[notice.supplier] = (notice.notice_on, notice.last_buy_on, notice.last_ship_on)
    dates = [(buy, ship) for _, buy, ship in last.values()]
    if row.kind == "new":
        part = snapshot.parts[row.part]
        dates.append((part.last_buy_on, part.last_ship_on))
    days = offer_days(snapshot, row)
    return all(
        (buy is None or snapshot.today <= buy)
        and (ship is None or days <= (ship - snapshot.today).days)
        for buy, ship in dates
    )


def offer_counts(snapshot: Snapshot, row: Offer, bears: bool) -> bool:
    approved = row.kind == "new" or row.approval is not None
    return offer_open(snapshot, row) and (approved or not bears)


def offer_ways(snapshot: Snapshot, row: Offer, source: tuple[str, ...]) -> list[Way]:
    """One way, or two where a blank in hand serves the first unit only."""

    def way(days: float, qty: int | None, source: tuple[str, ...]) -> Way:
        return Way(row.part, row.kind, days, qty, source, row.supplier, row.route)

    if row.kind == "repair":
        return [way(offer_days(snapshot, row), 1, source)]
    offer_source = ("offer", row.supplier, row.part, row.kind, row.route or "")
    by_route = row.route is not None and (row.kind == "made" or row.likely is None)
    if not by_route or not has_one_blank(snapshot, row.route or ""):
        return [way(offer_days(snapshot, row), None, offer_source)]
    return [
        way(offer_days(snapshot, row), 1, ("blank", row.route or "")),
        way(offer_days(snapshot, row, further_unit=True), None, offer_source),
    ]


def order_ways(snapshot: Snapshot, part: str) -> Iterator[Way]:
    """Open orders that are not overdue, less what has been received on them."""
    by_key = {row.key: row for row in snapshot.movements}
    for order in snapshot.orders:
        if order.part != part or order.received_on is not None:
            continue
        received = 0
        for row in snapshot.movements:
            booked = by_key.get(row.reverses or "", row)
            on_it = booked.order == order.order and booked.part == part
            if on_it and booked.kind == "receipt":
                received += row.qty
        if order.due_on is not None:
            days = float((order.due_on - snapshot.today).days)
        elif order.quoted_days is not None:
            days = (order.ordered_on - snapshot.today).days + order.quoted_days
        else:
            continue
        open_qty = order.qty - received
        if days >= 0 and open_qty > 0 and snapshot.suppliers[order.supplier].active:
            source = ("order", order.order, part)
            yield Way(part, "order", days, open_qty, source, order.supplier)


def donor_ways(snapshot: Snapshot, part: str) -> Iterator[Way]:
    if not snapshot.site.donors:
        return
    for row in rows_of(snapshot):
        if row.part == part and not snapshot.is_live(row.crane):
            source = ("donor", row.crane, row.position)
            days = hours_of(snapshot, row) / hours_a_day(snapshot)
            yield Way(part, "donor", days, row.qty, source)


@once_per_snapshot
def default_ways(snapshot: Snapshot, part: str) -> tuple[Way, ...]:
    """What is assumed where nothing is known."""
    row = snapshot.parts[part]
    one_class = snapshot.classes.get(row.part_class or "")
    source = ("default", part)
    if row.default_route is not None:
        further = route_days(snapshot, row.default_route, further_unit=True)
        ways = [Way(part, "default", further, None, source, None, row.default_route)]
        if has_one_blank(snapshot, row.default_route):
            first = route_days(snapshot, row.default_route)
            blank = ("blank", row.default_route)
            ways.insert(0, Way(part, "default", first, 1, blank, None, row.default_route))
        return tuple(ways)
    days = row.default_lead_days
    if days is None and one_class is not None:
        days = one_class.lead_days
    return () if days is None else (Way(part, "default", days, None, source),)


def substitutes_of(snapshot: Snapshot, part: str, bears: bool) -> list[Substitute]:
    """Rows read from the part's side, those that hold both ways turned round where needed."""
    found = []
    for row in snapshot.substitutes:
        if row.part == part:
            found.append(row)
        elif row.substitute == part and row.both_ways:
            found.append(
                Substitute(
                    part=part,
                    substitute=row.part,
                    extra_hours=row.extra_hours,
                    both_ways=True,
                    approval=row.approval,
                )
            )
    return [row for row in found if row.approval is not None or not bears]


@once_per_snapshot
def ways_of(
    snapshot: Snapshot, part: str, bears: bool, role: str, core: tuple[str, ...] = ()
) -> tuple[Way, ...]:
    """The part's own ways as the unit of a position (`own`), a companion or a substitute."""
    ways: list[Way] = []
    stock = usable_stock(snapshot, part)
    if stock:
        ways.append(Way(part, "stock", 0.0, stock, ("stock", part)))
    ways.extend(order_ways(snapshot, part))
    for row in snapshot.offers:
        fits = row.part == part and (row.kind != "repair" or role == "own")
        if fits and offer_counts(snapshot, row, bears):
            ways.extend(offer_ways(snapshot, row, ("core", *core)))
    if role != "substitute" and not bears:
        ways.extend(donor_ways(snapshot, part))
    return tuple(ways)


Used = dict[tuple[str, ...], int]


def take_units(ways: tuple[Way, ...], qty: int, used: Used) -> tuple[float, int]:
    """Take up to qty units, earliest first; the day of the last and how many are missing."""
    day = 0.0
    in_house = ("stock", "donor")
    for way in sorted(ways, key=lambda way: (way.days, way.kind not in in_house)):
        left = qty if way.qty is None else way.qty - used.get(way.source, 0)
        units = min(qty, left)
        if units > 0:
            used[way.source] = used.get(way.source, 0) + units
            qty -= units
            day = max(day, way.days)
    return day, qty


def delay(
    ways: tuple[Way, ...], fallback: tuple[Way, ...], qty: int, used: Used
) -> tuple[float | None, bool]:
    """The day on which qty units are together, and whether that rests on the fallback."""
    day, missing = take_units(ways, qty, used)
    if missing == 0:
        return day, False
    last, missing = take_units(fallback, missing, used)
    return (max(day, last), True) if missing == 0 else (None, False)


# Positions --------------------------------------------------------------------------------------


@once_per_snapshot
def rows_of(snapshot: Snapshot) -> list[Position]:
    return [snapshot.positions.row(index) for index in range(len(snapshot.positions))]


def hours_a_day(snapshot: Snapshot) -> float:
    return snapshot.site.hours_per_day


def hours_of(snapshot: Snapshot, row: Position) -> float:
    blank = row.exchange_hours is None
    return snapshot.site.default_exchange_hours if blank else row.exchange_hours or 0.0


@once_per_snapshot
def children_of(snapshot: Snapshot, crane: str, position: str) -> list[Position]:
    return [row for row in rows_of(snapshot) if row.crane == crane and row.parent == position]


@once_per_snapshot
def bears_load(snapshot: Snapshot, row: Position) -> bool:
    """Marked itself, or anything below it."""
    below = children_of(snapshot, row.crane, row.position)
    return row.load_bearing or any(bears_load(snapshot, child) for child in below)


# Without a position -----------------------------------------------------------------------------


def must_fit_everywhere(snapshot: Snapshot, part: str) -> bool:
    """A live load-bearing position holds the part, or a part that takes it along."""
    holders = {part} | {row.part for row in snapshot.companions if row.companion == part}
    return any(
        row.part in holders and snapshot.is_live(row.crane) and bears_load(snapshot, row)
        for row in rows_of(snapshot)
    )


def pooled_ways(snapshot: Snapshot, part: str) -> tuple[Way, ...]:
    """The part's ways where no position is asked; a core exists where a live position has one."""
    bears = must_fit_everywhere(snapshot, part)
    held = any(row.part == part and snapshot.is_live(row.crane) for row in rows_of(snapshot))
    ways = ways_of(snapshot, part, bears, "own" if held else "companion")
    for row in substitutes_of(snapshot, part, bears):
        ways += ways_of(snapshot, row.substitute, bears, "substitute")
    return ways


def lead_time(snapshot: Snapshot, part: str, qty: int) -> tuple[float | None, bool]:
    return delay(pooled_ways(snapshot, part), default_ways(snapshot, part), qty, {})
