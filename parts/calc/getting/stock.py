"""What the ledger says is in store, lot by lot, and how much of it can be used today.

A lot is told apart by store, date of expiry and condition. On one day what comes in is booked
before what goes out. Book stock, usable stock and reservations stay three figures.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass, field

from parts.records.stock import Movement, Reservation

USABLE = "usable"
# (store, expires_on, condition)
Lot = tuple[str | None, datetime.date | None, str]


@dataclass(slots=True)
class PartStock:
    """Lots of one part, the day since which each lies or was last cared for, and what is
    promised away."""

    lots: dict[Lot, int] = field(default_factory=dict)
    lying_since: dict[Lot, datetime.date] = field(default_factory=dict)
    reserved: int = 0

    @property
    def book(self) -> int:
        return sum(self.lots.values())

    def expired(self, today: datetime.date) -> int:
        return sum(
            qty
            for (_, expires_on, condition), qty in self.lots.items()
            if condition == USABLE and expires_on is not None and expires_on < today
        )

    def in_condition(self, condition: str) -> int:
        return sum(qty for (_, _, held), qty in self.lots.items() if held == condition)

    def usable(self, today: datetime.date) -> int:
        """Units in condition usable and in life, less reservations; never below 0."""
        return max(0, self.in_condition(USABLE) - self.expired(today) - self.reserved)


class _Ledger:
    """Books the movements of one part in order; remembers which lots each one touched."""

    def __init__(self) -> None:
        self.lots: dict[Lot, int] = {}
        self.lying_since: dict[Lot, datetime.date] = {}
        self.touched: dict[str, list[tuple[Lot, int]]] = {}

    def book(self, row: Movement) -> None:
        changes = self._changes(row)
        for lot, qty in changes:
            if not self.lots.get(lot):
                self.lying_since[lot] = row.date
            self.lots[lot] = self.lots.get(lot, 0) + qty
        self.touched[row.key] = changes
        if row.kind == "care":
            self._care(row)

    def _care(self, row: Movement) -> None:
        for lot in self.lying_since:
            if lot[0] == row.store and row.expires_on in (None, lot[1]):
                self.lying_since[lot] = row.date

    def _changes(self, row: Movement) -> list[tuple[Lot, int]]:
        names_a_lot = row.expires_on is not None or row.condition is not None
        undone = self.touched.get(row.reverses or "", [])
        if undone and not names_a_lot and sum(qty for _, qty in undone) == -row.qty:
            return [(lot, -qty) for lot, qty in undone]
        named: Lot = (row.store, row.expires_on, row.condition or USABLE)
        if row.qty >= 0:
            return [(named, row.qty)] if row.qty else []
        changes, wanted = [], -row.qty
        for lot in self._taking_order(named):
            taken = min(wanted, self.lots[lot])
            if taken > 0:
                changes.append((lot, -taken))
                wanted -= taken
        # a ledger that was checked never comes here with units still wanted
        return [*changes, (named, -wanted)] if wanted else changes

    def _taking_order(self, named: Lot) -> list[Lot]:
        """Lots of the store: the named one, else the earliest to expire, undated last."""
        store, expires_on, condition = named
        return sorted(
            (lot for lot in self.lots if lot[0] == store),
            key=lambda lot: (
                lot[2] != condition,
                expires_on is not None and lot[1] != expires_on,
                lot[1] is None,
                lot[1] or datetime.date.min,
                lot[2],
            ),
        )


def stock_of(
    movements: Iterable[Movement], reservations: Iterable[Reservation], today: datetime.date
) -> dict[str, PartStock]:
    """Stock by part on the day `today`, from movements that are already known by then."""
    ledgers: dict[str, _Ledger] = {}
    for row in sorted(_without_undone(movements), key=lambda row: (row.date, row.qty < 0)):
        ledgers.setdefault(row.part, _Ledger()).book(row)
    stock = {
        part: PartStock({lot: qty for lot, qty in ledger.lots.items() if qty}, ledger.lying_since)
        for part, ledger in ledgers.items()
    }
    for promised in reservations:
        if promised.released_on is None or promised.released_on > today:
            stock.setdefault(promised.part, PartStock()).reserved += promised.qty
    return stock


def _without_undone(movements: Iterable[Movement]) -> list[Movement]:
    """Leave out what was undone on the day itself, since it came to nothing."""
    rows = {row.key: row for row in movements}
    undone: set[str] = set()
    for row in rows.values():
        first = rows.get(row.reverses or "")
        if first is not None and first.date == row.date and first.qty == -row.qty:
            undone |= {row.key, first.key}
    return [row for key, row in rows.items() if key not in undone]


def received_on_orders(movements: Iterable[Movement]) -> dict[tuple[str, str], int]:
    """Units booked in by (order, part), net of receipts that were reversed."""
    received: dict[tuple[str, str], int] = {}
    receipts: dict[str, Movement] = {}
    rows = list(movements)
    for row in rows:
        if row.kind == "receipt" and row.order is not None:
            receipts[row.key] = row
            received[row.order, row.part] = received.get((row.order, row.part), 0) + row.qty
    for row in rows:
        reversed_row = receipts.get(row.reverses) if row.reverses else None
        if reversed_row is not None and reversed_row.order is not None:
            received[reversed_row.order, reversed_row.part] += row.qty
    return received
