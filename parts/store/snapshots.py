"""The site as it is known on a day, read in one transaction.

Knows which tables are long enough to be read as columns. Invariant: a snapshot never mixes two
states of the database.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable

from parts.records.book import BOOK_FILES, Book
from parts.records.snapshot import Snapshot, snapshot_of
from parts.store.books import read_need_columns, read_position_columns, read_rows
from parts.store.database import Connection, Database

Progress = Callable[[str], None]
_AS_RECORDS = [
    book_file.name for book_file in BOOK_FILES if book_file.name not in ("positions", "needs")
]


def read_snapshot(
    database: Database, today: datetime.date, progress: Progress | None = None
) -> Snapshot:
    """The site as it is known on the day `today`; what `progress` raises ends the reading."""
    with database.reading() as connection:
        return snapshot_in(connection, today, progress)


def snapshot_in(
    connection: Connection, today: datetime.date, progress: Progress | None = None
) -> Snapshot:
    """The same inside a transaction, beside whatever else is read there."""
    tell = progress or _untold
    book = Book()
    for name in _AS_RECORDS:
        tell(f"Reading {name}")
        book.rows[name] = read_rows(connection, name)
    tell("Reading positions")
    positions, needs = read_position_columns(connection), read_need_columns(connection)
    tell("Putting the site together")
    return snapshot_of(book, today, positions, needs)


def _untold(_: str) -> None:
    """Tell nobody."""
