"""What every story needs: a site of its own in a database, and a person at its desk.

The sites are invented, and so are their parts, prices and suppliers. Durations are days, a year has
365.25 of them, and the day is 25 November 2026 everywhere.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import Any

from parts.records.book import BOOK_FILES, Book
from parts.records.ledger import Stamp
from parts.records.snapshot import Snapshot, snapshot_of
from parts.records.stock import Movement
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Offer, Supplier
from parts.store import ledger
from parts.store.books import write_rows
from parts.store.database import new_database
from tui.desk import Desk

TODAY = date(2026, 11, 25)
DAY = TODAY.isoformat()
YEAR_DAYS = 365.25
WEEK_DAYS = 7
STORE = "main store"


def book_of(**rows: Iterable[Any]) -> Book:
    """Return the rows of each file as a book."""
    book = Book()
    for name, found in rows.items():
        book[name].extend(found)
    return book


def desk_at(path: Path, book: Book, who: str = "") -> Desk:
    """Write a book to a new database and sit down at it."""
    stamp = Stamp("2026-01-05T06:00:00Z", "keeper", "bench")
    with new_database(str(path)) as database, database.writing() as connection:
        for book_file in BOOK_FILES:
            if book_file.name == "movements":
                ledger.append(connection, book["movements"], stamp)
            else:
                write_rows(connection, book_file.name, book[book_file.name])
    return Desk(str(path), TODAY, who)


def site_of(book: Book) -> Snapshot:
    """Return the site as it is known on the day of the stories."""
    return snapshot_of(book, TODAY)


def shelf(part: str, qty: int, bin_name: str | None = None, **facts: Any) -> Movement:
    """Return what lay on the shelf when the book was opened in January."""
    return Movement(
        date=date(2026, 1, 5),
        part=part,
        qty=qty,
        kind="opening",
        store=STORE,
        bin=bin_name,
        key=f"opening {part}",
        **facts,
    )


def stopped_by(crane: str, *positions: Position, a_day: float, **facts: Any) -> dict[str, Any]:
    """Return a crane that stands still when any of these positions fails."""
    return {
        "cranes": [Crane(crane=crane, down_cost_per_day=a_day, **facts)],
        "functions": [Function(crane=crane, function="work", lost_share=1.0)],
        "positions": list(positions),
        "needs": [Need(crane=crane, item="work", needs=each.position) for each in positions],
    }


def together(*sites: dict[str, Any]) -> dict[str, Any]:
    """Return the rows of several cranes as one site."""
    names = {name for site in sites for name in site}
    return {name: [row for site in sites for row in site.get(name, ())] for name in names}


def bought(part: str, days: float, price: float, supplier: str = "maker", **facts: Any) -> Offer:
    """Return an offer of a new one."""
    return Offer(supplier=supplier, part=part, likely=days, unit_price=price, **facts)


def maker(name: str = "maker") -> Supplier:
    return Supplier(supplier=name)
