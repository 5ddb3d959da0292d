"""Ten years of the store, day by day: what was used, ordered, received, counted, thrown away.

Knows the rules of a storeroom (never below zero, oldest lot first, reorder what is used), not the
stories. Invariant: events are worked off in the order of their days, so the ledger holds on each.
"""

from __future__ import annotations

import datetime
import heapq
import itertools
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from demo.kinds import kind_of
from demo.tables import TODAY, chance
from parts.records.catalogue import Part
from parts.records.stock import Movement
from parts.records.supply import Offer, Order

OPENED = datetime.date(2016, 12, 1)
MAIN, CAGE = "main store", "bay B cage"
DAY = datetime.timedelta(days=1)

# How late or early each supplier really is: actual days over quoted days, about this figure.
LATENESS = {
    "gear shop north": 1.32, "gear shop east": 1.2, "wheel shop": 1.08, "drive reseller": 1.35,
    "drive maker": 1.15, "rope house": 0.92, "rigging loft": 1.1, "brake maker": 1.05,
    "brake rebuilder": 1.25, "conductor maker": 1.18, "electric counter": 0.95,
    "seal and oil counter": 1.0, "bearing counter": 1.04, "contactor workshop": 1.3,
    "motor winders": 1.16, "radio dealer": 1.12, "hoist maker": 1.22, "cable house": 1.02,
    "drum and shaft shop": 1.15, "motor counter": 1.06,
}  # fmt: skip


@dataclass
class Lot:
    """Some units of a part that came in together."""

    expires_on: datetime.date | None
    qty: int


@dataclass
class Store:
    """The ledger while it is being written."""

    parts: dict[str, Part]
    offers: dict[str, Offer]
    forgotten: tuple[str, ...] = ()  # used this year and not ordered again
    kept: set[str] = field(default_factory=set)  # what the site means to have in stock
    movements: list[dict[str, Any]] = field(default_factory=list)
    orders: list[dict[str, Any]] = field(default_factory=list)
    lots: dict[tuple[str, str], list[Lot]] = field(default_factory=lambda: defaultdict(list))
    _due: list[tuple[datetime.date, int, Callable[[], object]]] = field(default_factory=list)
    _count: itertools.count[int] = field(default_factory=itertools.count)

    def at(self, on: datetime.date, what: Callable[[], object]) -> None:
        """Let something happen on a day; nothing happens after the day of the demo."""
        if on <= TODAY:
            heapq.heappush(self._due, (on, next(self._count), what))

    def run(self) -> None:
        while self._due:
            _, _, what = heapq.heappop(self._due)
            what()

    def on_hand(self, part: str, store: str = MAIN) -> int:
        return sum(lot.qty for lot in self.lots[part, store])

    def put(
        self, on: datetime.date, part: str, qty: int, kind: str, store: str = MAIN, **facts: Any
    ) -> None:
        """Book units in; what is left of them when their shelf life ends is thrown away.

        A day of expiry that is named is a story: such a lot stays.
        """
        named = "expires_on" in facts
        expires = facts.pop("expires_on") if named else self._expiry(part, on)
        lot = Lot(expires, qty)
        self.lots[part, store].append(lot)
        self._book(on, part, qty, kind, store, expires_on=expires, **facts)
        if expires is not None and not named:
            self.at(expires, lambda: self._throw_away(expires, part, store, lot))

    def _throw_away(self, on: datetime.date, part: str, store: str, lot: Lot) -> None:
        left, lot.qty = lot.qty, 0
        if left:
            self._book(
                on, part, -left, "scrap", store, expires_on=lot.expires_on, note="shelf life over"
            )
            self.reorder(on, part, left)

    def reorder(self, on: datetime.date, part: str, qty: int) -> None:
        """Order what was used some days later, where the site means to keep it."""
        forgotten = part in self.forgotten and on.year == TODAY.year
        if part in self.kept and part in self.offers and not forgotten:
            when = on + DAY * chance("reorder", part, on).randint(2, 16)
            self.at(when, lambda: self.order(when, part, qty))

    def take(
        self, on: datetime.date, part: str, qty: int, kind: str, store: str = MAIN, **facts: Any
    ) -> bool:
        """Book units out, the first to expire first; False and nothing booked where too few."""
        if self.on_hand(part, store) < qty:
            return False
        lots, left = self.lots[part, store], qty
        for lot in sorted(lots, key=lambda one: one.expires_on or datetime.date.max):
            taken = min(lot.qty, left)
            lot.qty -= taken
            left -= taken
        self._book(on, part, -qty, kind, store, **facts)
        return True

    def note(
        self, on: datetime.date, part: str, kind: str, store: str = MAIN, **facts: Any
    ) -> None:
        """Book something that moves no units, such as care."""
        self._book(on, part, 0, kind, store, **facts)

    def order(
        self,
        on: datetime.date,
        part: str,
        qty: int,
        then: Callable[[datetime.date], None] | None = None,
    ) -> datetime.date:
        """Order from the usual supplier and receive when he delivers; the day of delivery."""
        offer = self.offers[part]
        quoted = round(_days(offer))
        draw = chance("order", part, on)
        lateness = LATENESS.get(offer.supplier, 1.0) * draw.uniform(0.85, 1.18)
        received = on + DAY * max(1, round(quoted * lateness))
        order = self._ordered(
            on, part, qty, supplier=offer.supplier, quoted=quoted, received=received
        )
        if received > TODAY:
            return received

        def arrive() -> None:
            order["received_on"] = received
            if part in self.kept:  # the rest goes straight from the lorry to the crane
                self.put(received, part, qty, "receipt", order_=order, by="goods in")
            if then is not None:
                then(received)

        self.at(received, arrive)
        return received

    def _ordered(
        self,
        on: datetime.date,
        part: str,
        qty: int,
        *,
        supplier: str,
        quoted: int,
        received: datetime.date,
    ) -> dict[str, Any]:
        promised = on + DAY * quoted if received <= TODAY else received  # told again when late
        order: dict[str, Any] = {
            "supplier": supplier,
            "part": part,
            "qty": qty,
            "ordered_on": on,
            "quoted_days": float(quoted),
            "due_on": promised,
            "received_on": None,
            "unit_price": self.parts[part].unit_cost,
        }
        self.orders.append(order)
        return order

    def _expiry(self, part: str, on: datetime.date) -> datetime.date | None:
        months = self.parts[part].shelf_life_months
        return on + DAY * round(months * 30.44) if months else None

    def _book(
        self, on: datetime.date, part: str, qty: int, kind: str, store: str, **facts: Any
    ) -> None:
        self.movements.append(
            {"date": on, "part": part, "qty": qty, "kind": kind, "store": store, **facts}
        )


def _days(offer: Offer) -> float:
    """What the supplier quotes, in calendar days; for a route, what is usual for its kind."""
    lead = kind_of(offer.part).lead
    if offer.likely is None:
        return lead[1] if lead else 30.0
    return offer.likely * {"d": 1.0, "wd": 7 / 5, "wk": 7.0}[offer.unit]


def numbered(store: Store) -> tuple[list[Movement], list[Order]]:
    """The rows of the book: orders numbered by day, movements with keys in the order of days."""
    store.orders.sort(key=lambda order: (order["ordered_on"], order["part"]))
    for number, order in enumerate(store.orders, start=1):
        order.setdefault("order", f"V{order['ordered_on'].year}-{number:03d}")
    keys = {
        id(row): f"m{number:05d}"
        for number, row in enumerate(sorted(store.movements, key=lambda m: m["date"]), start=1)
    }
    movements = []
    for row in sorted(store.movements, key=lambda m: m["date"]):
        facts = {name: value for name, value in row.items() if not name.endswith("_")}
        if row.get("order_") is not None:
            facts["order"] = row["order_"]["order"]
        if row.get("reverses_") is not None:
            facts["reverses"] = keys[id(row["reverses_"])]
        movements.append(Movement(**facts, key=keys[id(row)]))
    return movements, [Order(**order) for order in store.orders]
