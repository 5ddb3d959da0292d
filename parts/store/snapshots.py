"""The site as it is known on a day, read in one transaction.

Knows which tables are long enough to be read as columns. Invariant: a snapshot never mixes two
states of the database.
"""

from __future__ import annotations

import datetime

from parts.records.book import BOOK_FILES
from parts.records.snapshot import Snapshot, snapshot_of
from parts.store.books import read_book, read_need_columns, read_position_columns
from parts.store.database import Database

_AS_RECORDS = [
    book_file.name for book_file in BOOK_FILES if book_file.name not in ("positions", "needs")
]


def read_snapshot(database: Database, today: datetime.date) -> Snapshot:
    """The site as it is known on the day `today`."""
    with database.reading() as connection:
        book = read_book(connection, _AS_RECORDS)
        positions, needs = read_position_columns(connection), read_need_columns(connection)
    return snapshot_of(book, today, positions, needs)
