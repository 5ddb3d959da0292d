"""A site from a handful of rows, whatever file each belongs to; the day is 25 November 2026.

Unless a row says otherwise an exchange takes 16 hours, a day's work, a position fails 0.73 times a
year and a lead time is quoted by one supplier, of whom no record of being late exists.
"""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from parts.records.book import BOOK_FILES, Book
from parts.records.catalogue import Part
from parts.records.risk_answers import PartOutlook, PartRisk, PositionRisk
from parts.records.snapshot import Snapshot, snapshot_of
from parts.records.stock import Movement
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Offer, Supplier
from parts.services import risks

TODAY = date(2026, 11, 25)
YEAR = 365.25
RATE = 0.73
A_DAY = RATE / YEAR
SHOP = Supplier(supplier="S")
FILE_OF = {book_file.record: book_file.name for book_file in BOOK_FILES}


def book_of(*rows: Any) -> Book:
    book = Book()
    for row in rows:
        book[FILE_OF[type(row)]].append(row)
    return book


def site_of(*rows: Any) -> Snapshot:
    return snapshot_of(book_of(*rows), TODAY)


def near(figure: float) -> Any:
    return pytest.approx(figure, rel=1e-7, abs=1e-9)


def crane(
    *seats: Position, crane: str = "K", cost: float | None = 100.0, **facts: Any
) -> list[Any]:
    """A crane that is down when any of the positions is out."""
    return [
        Crane(crane=crane, down_cost_per_day=cost, **facts),
        Function(crane=crane, function="hoisting", lost_share=1.0),
        *seats,
        *(Need(crane=crane, item="hoisting", needs=seat.position) for seat in seats),
    ]


def seat(position: str, part: str | None, rate: float | None = RATE, **facts: Any) -> Position:
    row = {"crane": "K", "exchange_hours": 16.0, "failures_per_year": rate, **facts}
    return Position(position=position, part=part, **row)


def new(part: str, days: float, **facts: Any) -> Offer:
    return Offer(supplier="S", part=part, likely=days, **facts)


def stock(part: str, qty: int, **facts: Any) -> Movement:
    row = {"date": date(2026, 1, 5), "kind": "opening", "key": f"opening {part}", **facts}
    return Movement(part=part, qty=qty, **row)


def issues(part: str, *months: int, qty: tuple[int, ...] = ()) -> list[Movement]:
    """Issues in months counted from January 2025 = 0, after a big enough opening."""
    sizes = qty or (1,) * len(months)
    rows = [
        Movement(
            date=date(2025 + month // 12, month % 12 + 1, 10),
            part=part,
            qty=-size,
            kind="issue",
            key=f"issue {part} {month}",
        )
        for month, size in zip(months, sizes, strict=True)
    ]
    opening = stock(part, sum(sizes), date=date(2024, 12, 1))
    return [opening, *rows]


def position(site: Snapshot, name: str) -> PositionRisk:
    answer = risks.likely(risks.exposures(site))
    return next(row for row in answer.positions if row.position == name)


def part(site: Snapshot, name: str) -> PartOutlook:
    return next(row for row in risks.likely(risks.exposures(site)).parts if row.part == name)


def ranked(site: Snapshot, name: str) -> PartRisk:
    return next(row for row in risks.risks(risks.exposures(site)) if row.part == name)


def gear(*more: Any, rate: float = RATE, days: float = 100.0) -> Snapshot:
    """One gear, bought new within 100 days; 1 day of work."""
    return site_of(*crane(seat("gear", "G", rate)), Part(part="G"), SHOP, new("G", days), *more)
