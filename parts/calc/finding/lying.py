"""In which bin of which store parts lie, and which serial numbers are there.

A storekeeper names the bin when something is put away and seldom when it is taken out. So bins
are counted one by one only where every movement of the part names one; else what the store holds
lies in the bin that was named last. Invariant: the quantities of a part add up to its book stock.
"""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from parts.calc.getting.stock import stock_of
from parts.records.find_answers import Held
from parts.records.snapshot import Snapshot
from parts.records.stock import Movement


@dataclass(frozen=True, slots=True)
class Serial:
    """One unit in stock with its own number."""

    part: str
    serial: str
    store: str


def held_on(snapshot: Snapshot, only: str | None = None) -> tuple[Held, ...]:
    """Return what lies where, or where one part lies, by store, bin and part; places with nothing
    in them are left out."""
    moved = [row for row in snapshot.movements if only in (None, row.part)]
    rows = _completed(moved)
    stock = stock_of(moved, snapshot.reservations, snapshot.today)
    by_place: dict[tuple[str, str], list[Movement]] = defaultdict(list)
    for row in rows:
        by_place[row.part, row.store or ""].append(row)
    found = []
    for (part, store), moved in by_place.items():
        for bin_name, qty in _by_bin(moved).items():
            if qty > 0:
                described = snapshot.parts[part].description or ""
                usable = stock[part].usable(snapshot.today)
                found.append(Held(part, described, store, bin_name, qty, usable))
    return tuple(sorted(found, key=lambda held: (held.store, held.bin or "", held.part)))


def serials_on(snapshot: Snapshot) -> tuple[Serial, ...]:
    """Return the units in stock that have a number of their own, by number."""
    units: dict[tuple[str, str], int] = defaultdict(int)
    store: dict[tuple[str, str], str] = {}
    for row in _completed(snapshot.movements):
        if row.serial is not None:
            units[row.part, row.serial] += row.qty
            if row.qty > 0:
                store[row.part, row.serial] = row.store or ""
    there = (key for key, qty in units.items() if qty > 0)
    return tuple(Serial(part, serial, store[part, serial]) for part, serial in sorted(there))


def _completed(movements: Iterable[Movement]) -> list[Movement]:
    """Return the movements by day; a reversal without store, bin or serial takes the first's."""
    rows = sorted(movements, key=_day)
    by_key = {row.key: row for row in rows}
    return [_like(row, by_key.get(row.reverses or "")) for row in rows]


def _day(row: Movement) -> datetime.date:
    return row.date


def _like(row: Movement, first: Movement | None) -> Movement:
    if first is None:
        return row
    return replace(
        row,
        store=row.store or first.store,
        bin=row.bin or first.bin,
        serial=row.serial or first.serial,
    )


def _by_bin(moved: Sequence[Movement]) -> dict[str | None, int]:
    counted: dict[str | None, int] = defaultdict(int)
    last = None
    for row in moved:
        counted[row.bin] += row.qty
        last = row.bin or last
    if counted.get(None):
        return {last: sum(counted.values())}
    return counted
