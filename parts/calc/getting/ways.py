"""The ways to get a part today: stock, orders, offers, donors, and the default of last resort.

Each way says what it is, on which day and how many units it gives, and why it cannot be used if
it cannot. Whether an approval is needed depends on where the part goes, so a way only records
whether it would need one. Substitutes are put together in `supply`.
"""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

from parts.calc.getting.corrections import Corrections, corrections_of
from parts.calc.getting.routes import Route, routes_of
from parts.calc.getting.stock import PartStock, received_on_orders, stock_of
from parts.calc.getting.three_point import ThreePoint, calendar_days
from parts.records.catalogue import Part
from parts.records.snapshot import Snapshot
from parts.records.supply import Notice, Offer, Order

Row = TypeVar("Row", Order, Offer)
NEEDS_APPROVAL = frozenset({"made", "used", "repair"})
# The order in which ways that give on the same day are taken: what is in house comes first.
KIND_ORDER = ("stock", "donor", "order", "repair", "new", "made", "used", "default")


@dataclass(frozen=True, slots=True)
class Way:
    """One means of getting a part; `qty` None = no limit, `days` in calendar days from today.

    `further_days` differs from `days` where one finished blank serves the first unit only.
    """

    part: str
    kind: str
    source: str
    days: float
    further_days: float
    qty: int | None
    record: str
    supplier: str | None = None
    route: Route | None = None
    points: ThreePoint | None = None
    ratio: float = 1.0
    price: float | None = None
    currency: str | None = None
    order_cost: float = 0.0
    min_qty: int = 1
    approval: str | None = None
    why_not: str | None = None
    notes: tuple[str, ...] = ()

    @property
    def assumed(self) -> bool:
        return self.kind == "default"

    @property
    def is_offer(self) -> bool:
        return self.kind in ("new", "made", "repair", "used")

    def why_not_on_load_bearing(self) -> str | None:
        """Why it cannot be used where it would bear load, beyond `why_not`."""
        if self.kind == "donor":
            return "taken from a retired crane: never where it bears load"
        if self.kind in NEEDS_APPROVAL and self.approval is None:
            return f"{self.kind} part without a recorded approval: not where it bears load"
        return None


class Market:
    """All ways of a snapshot, part by part, reckoned when asked for."""

    def __init__(self, snapshot: Snapshot) -> None:
        self.snapshot = snapshot
        self.today = snapshot.today
        self._own: dict[str, tuple[Way, ...]] = {}

    @cached_property
    def corrections(self) -> Corrections:
        return corrections_of(self.snapshot.orders)

    @cached_property
    def routes(self) -> dict[str, Route]:
        week = self.snapshot.site.working_days_a_week
        return dict(routes_of(self.snapshot.routes, week))

    @cached_property
    def stock(self) -> dict[str, PartStock]:
        return stock_of(self.snapshot.movements, self.snapshot.reservations, self.today)

    @cached_property
    def _received(self) -> dict[tuple[str, str], int]:
        return received_on_orders(self.snapshot.movements)

    @cached_property
    def _orders(self) -> dict[str, list[Order]]:
        return _by_part(row for row in self.snapshot.orders if row.received_on is None)

    @cached_property
    def _offers(self) -> dict[str, list[Offer]]:
        return _by_part(self.snapshot.offers)

    @cached_property
    def _endings(self) -> dict[tuple[str, str | None], Notice]:
        """The latest word on the end of a part by (part, supplier): makers do extend."""
        latest: dict[tuple[str, str | None], Notice] = {}
        for row in sorted(self.snapshot.notices, key=lambda row: row.notice_on):
            if row.kind == "discontinuance":
                latest[row.part, row.supplier] = row
        return latest

    @cached_property
    def _donors(self) -> dict[str, list[int]]:
        positions, donors = self.snapshot.positions, defaultdict(list)
        if self.snapshot.site.donors:
            retired = {name for name in self.snapshot.cranes if not self.snapshot.is_live(name)}
            for index, crane in enumerate(positions.crane if retired else ()):
                part = positions.part[index]
                if crane in retired and part is not None:
                    donors[part].append(index)
        return donors

    def offers(self, part: str) -> list[Offer]:
        return self._offers.get(part, [])

    def ways(self, part: str) -> tuple[Way, ...]:
        """A part's own ways, usable or not, without the default."""
        found = self._own.get(part)
        if found is None:
            found = self._own[part] = (
                *self._stock_way(part),
                *(self._donor_way(part, index) for index in self._donors.get(part, ())),
                *(self._order_way(row) for row in self._orders.get(part, ())),
                *(self._offer_way(row) for row in self.offers(part)),
            )
        return found

    def default(self, part: str) -> Way | None:
        """What is assumed where ways run out: route, then days, then those of the class."""
        row = self.snapshot.parts[part]
        route = self.routes.get(row.default_route) if row.default_route else None
        part_class = self.snapshot.classes.get(row.part_class) if row.part_class else None
        if route is not None:
            first, further = route.first.length, route.further.length
            source, record = f"the part's default route {route.name}", f"parts {part}"
        elif row.default_lead_days is not None:
            first = further = row.default_lead_days
            source, record = "the part's default lead time", f"parts {part}"
        elif part_class is not None and part_class.lead_days is not None:
            first = further = part_class.lead_days
            source = f"what is usual for the class {part_class.part_class}"
            record = f"classes {part_class.part_class}"
        else:
            return None
        return Way(part, "default", source, first, further, None, record, route=route)

    def _stock_way(self, part: str) -> tuple[Way, ...]:
        held = self.stock.get(part)
        if held is None or not (held.book or held.reserved):
            return ()
        free = held.usable(self.today)
        notes = [
            f"{count} {word}"
            for count, word in (
                (held.expired(self.today), "past shelf life"),
                (held.in_condition("quarantine"), "in quarantine"),
                (held.in_condition("in_repair"), "in repair"),
                (held.reserved, "reserved"),
            )
            if count
        ]
        why_not = None if free else f"none free of {held.book} on the book"
        record = f"movements {part}"
        return (Way(part, "stock", "store", 0.0, 0.0, free, record, why_not=why_not,
                    notes=tuple(notes)),)  # fmt: skip

    def _donor_way(self, part: str, index: int) -> Way:
        positions, site = self.snapshot.positions, self.snapshot.site
        hours = positions.exchange_hours[index]
        days = (site.default_exchange_hours if hours is None else hours) / site.hours_per_day
        source = f"{positions.crane[index]}/{positions.position[index]}"
        return Way(part, "donor", source, days, days, positions.qty[index], f"positions {source}")

    def _order_way(self, row: Order) -> Way:
        open_qty = row.qty - self._received.get((row.order, row.part), 0)
        days = float("inf")
        if row.due_on is not None:
            days = float((row.due_on - self.today).days)
        elif row.quoted_days is not None:
            days = row.quoted_days - (self.today - row.ordered_on).days
        why_not = None
        if open_qty <= 0:
            why_not = "all of it has been received"
        elif not self.snapshot.suppliers[row.supplier].active:
            why_not = f"supplier {row.supplier} is closed"
        elif row.due_on is None and row.quoted_days is None:
            why_not = "no date promised"
        elif days < 0:
            why_not = f"overdue by {-days:g} days, no new date"
        return Way(
            row.part, "order", f"order {row.order}", days, days, max(0, open_qty),
            f"orders {row.order}/{row.part}", supplier=row.supplier, why_not=why_not,
        )  # fmt: skip

    def _offer_way(self, row: Offer) -> Way:
        ratio = self.corrections.ratio(row.supplier)
        route = self.routes.get(row.route) if row.route else None
        points = None
        if route is not None and (row.kind == "made" or row.likely is None):
            days, further = ratio * route.first.length, ratio * route.further.length
        else:
            route = None
            week = self.snapshot.site.working_days_a_week
            points = calendar_days(row.low, row.likely or 0.0, row.high, row.unit, week)
            days = further = ratio * points.mean
        record = f"offers {row.supplier}/{row.part}/{row.kind}" + (
            f"/{row.route}" if row.route else ""
        )
        expired = row.valid_until is not None and row.valid_until < self.today
        notes = (f"quotation expired on {row.valid_until}",) if expired else ()
        return Way(
            row.part, row.kind, row.supplier, days, further, 1 if row.kind == "repair" else None,
            record, supplier=row.supplier, route=route, points=points, ratio=ratio,
            price=row.unit_price, currency=row.currency, order_cost=row.order_cost,
            min_qty=row.min_qty, approval=row.approval, why_not=self._why_closed(row, days),
            notes=notes,
        )  # fmt: skip

    def _why_closed(self, row: Offer, days: float) -> str | None:
        if not self.snapshot.suppliers[row.supplier].active:
            return f"supplier {row.supplier} is closed"
        buy_on, ship_on = self.closing_days(row)
        if buy_on is not None and self.today > buy_on:
            return f"last order was possible on {buy_on}"
        if ship_on is not None and days > (ship_on - self.today).days:
            return f"would come after the last shipment on {ship_on}"
        return None

    def closing_days(self, row: Offer) -> tuple[datetime.date | None, datetime.date | None]:
        """The earliest last-buy and last-ship day that closes an offer, None = open."""
        ends: list[Notice | Part | None] = [self._endings.get((row.part, row.supplier))]
        if row.kind == "new":
            ends += [self._endings.get((row.part, None)), self.snapshot.parts[row.part]]
        known = [end for end in ends if end is not None]
        return (
            earliest(end.last_buy_on for end in known),
            earliest(end.last_ship_on for end in known),
        )


def earliest(days: Iterable[datetime.date | None]) -> datetime.date | None:
    """The earliest of the days that are known."""
    return min((day for day in days if day is not None), default=None)


def _by_part(rows: Iterable[Row]) -> dict[str, list[Row]]:
    found: dict[str, list[Row]] = defaultdict(list)
    for row in rows:
        found[row.part].append(row)
    return found
