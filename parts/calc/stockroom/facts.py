"""All that a step with one part is judged by, as it stands when the step is taken."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from parts.calc.getting.stock import USABLE, Lot, PartStock, received_on_orders, stock_of
from parts.records.catalogue import Companion, Part, PartClass, Substitute
from parts.records.history import Failure, Observation
from parts.records.stock import Movement, Reservation
from parts.records.structure import Crane, Position
from parts.records.supply import Order


@dataclass(frozen=True, kw_only=True)
class Facts:
    """The part's own records, and those of the order and the position that the step names.

    `load_bearing`: the part sits in a position that bears load or holds one that does, or may stand
    in for a part that does. `position_bears_load` asks the same of the named position. `day` is the
    day of the step, by which shelf life is judged; None = today. `goes_with` are the parts that
    list this one as their companion. `site_stores` are the named stores of the whole site.
    """

    part: Part
    today: datetime.date
    day: datetime.date | None = None
    movements: Sequence[Movement] = ()
    site_stores: Sequence[str | None] = ()
    reservations: Sequence[Reservation] = ()
    orders: Sequence[Order] = ()
    part_class: PartClass | None = None
    load_bearing: bool = False
    crane: Crane | None = None
    position: Position | None = None
    position_bears_load: bool = False
    substitutes: Sequence[Substitute] = ()
    companions: Sequence[Companion] = ()
    goes_with: Sequence[Companion] = ()
    failures: Sequence[Failure] = ()
    readings: Sequence[Observation] = ()

    @cached_property
    def stock(self) -> PartStock:
        known = [row for row in self.movements if row.date <= self.today]
        return stock_of(known, self.reservations, self.today).get(self.part.part, PartStock())

    @cached_property
    def stores(self) -> tuple[str | None, ...]:
        """Stores that hold any of it, by name."""
        held = {lot[0] for lot, qty in self.stock.lots.items() if qty > 0}
        return tuple(sorted(held, key=lambda store: store or ""))

    @cached_property
    def usual_stores(self) -> tuple[str | None, ...]:
        """Stores that hold any of it, or where none does, those that ever held any."""
        ever = {row.store for row in self.movements}
        return self.stores or tuple(sorted(ever, key=lambda store: store or ""))

    @property
    def usable(self) -> int:
        """Units in condition usable and in life, in all stores, promised ones too."""
        return self.stock.in_condition(USABLE) - self.stock.expired(self.day or self.today)

    def book(self, store: str | None) -> int:
        return sum(qty for lot, qty in self.stock.lots.items() if lot[0] == store)

    def usable_lots(self, store: str | None) -> list[tuple[Lot, int]]:
        """Lots in condition usable and in life, the earliest to expire first, undated last."""
        lots = [
            (lot, qty)
            for lot, qty in self.stock.lots.items()
            if lot[0] == store and lot[2] == USABLE and qty > 0 and not self.is_expired(lot)
        ]
        return sorted(lots, key=lambda held: (held[0][1] is None, held[0][1] or self.today))

    def is_expired(self, lot: Lot) -> bool:
        return lot[1] is not None and lot[1] < (self.day or self.today)

    def expired_lots(self, store: str | None) -> list[tuple[Lot, int]]:
        """Lots that only their date keeps from use."""
        return [
            (lot, qty)
            for lot, qty in self.stock.lots.items()
            if lot[0] == store and lot[2] == USABLE and qty > 0 and self.is_expired(lot)
        ]

    def expired_in(self, store: str | None) -> int:
        return sum(qty for _, qty in self.expired_lots(store))

    def in_state(self, store: str | None, condition: str) -> int:
        return sum(
            qty for lot, qty in self.stock.lots.items() if lot[0] == store and lot[2] == condition
        )

    @cached_property
    def open_reservations(self) -> tuple[Reservation, ...]:
        return tuple(
            row
            for row in self.reservations
            if row.released_on is None or row.released_on > self.today
        )

    def received(self, order: str) -> int:
        """Units booked in on an order so far."""
        return received_on_orders(self.movements).get((order, self.part.part), 0)

    def unit(self, serial: str) -> Lot | None:
        """The lot in which the unit of a serial number lies: where it came in last and has not
        gone out again."""
        if serial not in self.serials:
            return None
        rows = sorted(
            (row for row in self.movements if row.serial == serial), key=lambda row: row.date
        )
        held: dict[Lot, int] = {}
        for row in rows:
            held[self._lot(row)] = held.get(self._lot(row), 0) + row.qty
        came_in = [self._lot(row) for row in rows if row.qty > 0]
        return next((lot for lot in reversed(came_in) if held[lot] > 0), came_in[-1])

    def _lot(self, row: Movement) -> Lot:
        """The lot that a movement names; a reversal names none and means that of what it undoes."""
        row = self._by_key.get(row.reverses or "", row)
        return row.store, row.expires_on, row.condition or USABLE

    @cached_property
    def _by_key(self) -> dict[str, Movement]:
        return {row.key: row for row in self.movements}

    @cached_property
    def serials(self) -> frozenset[str]:
        """Serial numbers of the units in store."""
        held: dict[str, int] = {}
        for row in self.movements:
            if row.serial is not None:
                held[row.serial] = held.get(row.serial, 0) + row.qty
        return frozenset(serial for serial, qty in held.items() if qty > 0)
