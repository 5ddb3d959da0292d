"""Snapshots of a few records, for tests of arithmetic that needs no database."""

from __future__ import annotations

from datetime import date
from typing import Any

from parts.records.book import Book
from parts.records.snapshot import Snapshot, snapshot_of

TODAY = date(2026, 11, 25)


def snapshot_with(today: date = TODAY, **files: list[Any]) -> Snapshot:
    """The snapshot of a book that holds these rows, by file."""
    book = Book()
    for name, rows in files.items():
        book[name].extend(rows)
    return snapshot_of(book, today)
