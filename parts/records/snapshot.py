"""The site as it is known on one day: the only thing that a reckoning reads.

Rows dated after that day are not yet known and are left out here, once, so that no reckoning has
to think of it. Positions and needs come by the hundred thousand and are held as columns; all else
as records. Knows no SQL and reads no clock.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

from parts.records.book import Book
from parts.records.catalogue import Companion, Part, PartClass, PartNumber, Substitute
from parts.records.history import Duty, Failure, Observation, Upgrade, UpgradeEffect
from parts.records.settings import site_of
from parts.records.site import Holiday, Score, Site
from parts.records.stock import Movement, Reservation
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Currency, Notice, Offer, Operation, Order, Supplier


@dataclass(frozen=True, slots=True)
class PositionColumns:
    """All positions, one sequence a column, in key order (crane, position)."""

    crane: Sequence[str]
    position: Sequence[str]
    parent: Sequence[str | None]
    part: Sequence[str | None]
    qty: Sequence[int]
    installed: Sequence[datetime.date | None]
    hours_at_install: Sequence[float | None]
    exchange_hours: Sequence[float | None]
    load_bearing: Sequence[bool]
    failures_per_year: Sequence[float | None]

    def __len__(self) -> int:
        return len(self.crane)

    def row(self, index: int) -> Position:
        return Position(**{f.name: getattr(self, f.name)[index] for f in fields(Position)})


@dataclass(frozen=True, slots=True)
class NeedColumns:
    """All needs, one sequence a column, in key order (crane, item, needs)."""

    crane: Sequence[str]
    item: Sequence[str]
    needs: Sequence[str]
    group: Sequence[str | None]
    at_least: Sequence[int | None]

    def __len__(self) -> int:
        return len(self.crane)


def columns_of(column_class: Any, record_class: type, rows: Iterable[Any]) -> Any:
    """Turn records into one of the column classes above."""
    ordered = list(rows)
    return column_class(*([getattr(row, f.name) for row in ordered] for f in fields(record_class)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    """The site on the day `today`."""

    today: datetime.date
    site: Site
    classes: dict[str, PartClass]
    scores: tuple[Score, ...]
    holidays: tuple[Holiday, ...]
    cranes: dict[str, Crane]
    functions: tuple[Function, ...]
    parts: dict[str, Part]
    part_numbers: tuple[PartNumber, ...]
    positions: PositionColumns
    needs: NeedColumns
    companions: tuple[Companion, ...]
    substitutes: tuple[Substitute, ...]
    suppliers: dict[str, Supplier]
    offers: tuple[Offer, ...]
    routes: tuple[Operation, ...]
    movements: tuple[Movement, ...]
    reservations: tuple[Reservation, ...]
    currencies: dict[str, Currency]
    orders: tuple[Order, ...]
    failures: tuple[Failure, ...]
    notices: tuple[Notice, ...]
    duty: tuple[Duty, ...]
    observations: tuple[Observation, ...]
    upgrades: tuple[Upgrade, ...]
    upgrade_effects: tuple[UpgradeEffect, ...]

    def is_live(self, crane: str) -> bool:
        """Not retired on the day of the snapshot."""
        retire_on = self.cranes[crane].retire_on
        return retire_on is None or retire_on > self.today

    def on(self, earlier: datetime.date) -> Snapshot:
        """The site as it was known on an earlier day; what carries no date is as it is today."""
        dated = {name: getattr(self, name) for name in _KNOWN_FROM}
        tables: dict[str, Any] = {
            name: {key: row for key, row in rows.items() if known_rows(name, [row], earlier)}
            if isinstance(rows, dict)
            else tuple(known_rows(name, rows, earlier))
            for name, rows in dated.items()
        }
        return replace(self, today=earlier, **tables)


# The date by which a row of each file becomes known; files not named are always known.
_KNOWN_FROM = {
    "offers": "quoted_on",
    "movements": "date",
    "currencies": "dated",
    "orders": "ordered_on",
    "failures": "failed_on",
    "notices": "notice_on",
    "observations": "date",
}
# Dates that are struck out, rather than their row, while they lie ahead.
_STRUCK_OUT = {"orders": "received_on", "failures": "restored_on"}

# Files that are looked up by their key.
_KEYED_BY = {
    "classes": "part_class",
    "cranes": "crane",
    "parts": "part",
    "suppliers": "supplier",
    "currencies": "currency",
}


def known_rows(name: str, rows: Iterable[Any], today: datetime.date) -> list[Any]:
    """The rows of a file as they are known on a day."""
    known_from, struck_out = _KNOWN_FROM.get(name), _STRUCK_OUT.get(name)
    known = list(rows)
    if known_from is not None:
        known = [row for row in known if (getattr(row, known_from) or today) <= today]
    if struck_out is not None:
        known = [
            replace(row, **{struck_out: None})
            if (getattr(row, struck_out) or today) > today
            else row
            for row in known
        ]
    return known


def snapshot_of(
    book: Book,
    today: datetime.date,
    positions: PositionColumns | None = None,
    needs: NeedColumns | None = None,
) -> Snapshot:
    """The snapshot of a book; the two long tables may come ready as columns."""
    known = {name: known_rows(name, rows, today) for name, rows in book.rows.items()}
    if positions is None:
        by_key = sorted(known["positions"], key=lambda row: (row.crane, row.position))
        positions = columns_of(PositionColumns, Position, by_key)
    if needs is None:
        needs = columns_of(
            NeedColumns,
            Need,
            sorted(known["needs"], key=lambda row: (row.crane, row.item, row.needs)),
        )
    tables: dict[str, Any] = {
        f.name: tuple(known[f.name]) for f in fields(Snapshot) if f.name in known
    }
    for name, keyed_by in _KEYED_BY.items():
        tables[name] = {getattr(row, keyed_by): row for row in tables[name]}
    tables |= {"site": site_of(known["site"]), "positions": positions, "needs": needs}
    return Snapshot(today=today, **tables)
