"""A site book laid over what the database holds: the site as it would stand after loading.

Adds and overrides by key and deletes nothing. Knows no SQL and writes nothing. Movements are only
ever added: the same key with the same contents is the same line, with other contents a fault.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from operator import attrgetter
from typing import Any

from parts.exchange.movement_keys import with_keys
from parts.exchange.places import DATABASE, Origin, ReadBook, Refused, named, quoted
from parts.records.answers import Fault
from parts.records.book import BOOK_FILES, Book, BookFile

APPEND_ONLY = "movements"


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of one file as they would stand, refused ones last, with where each comes from.

    A row of the database has no origin. `unread` names, for a refused row, the columns that hold
    None because their cell could not be read. Rows may be missing where `complete` is False.
    """

    file: BookFile
    records: list[Any]
    origins: list[Origin | None]
    unread: Mapping[int, frozenset[str]]
    complete: bool

    def is_unread(self, index: int, column: str) -> bool:
        return column in self.unread.get(index, ())

    def fault(self, index: int, column: str | None, value: object, reason: str) -> Fault:
        origin = self.origins[index]
        where, row = origin or (f"{DATABASE} {self.place(index)}", None)
        shown_column = column.rstrip("_") if column else None
        text = "" if value is None else str(value)
        return Fault(where, row, shown_column, text, reason, self.file.name)

    def order(self, index: int) -> tuple[bool, int]:
        """What stands in the database comes first, then row by row."""
        origin = self.origins[index]
        return (origin is not None, origin.row if origin else 0)

    def place(self, index: int) -> str:
        return f"{self.file.name} {named(self.file.name, self.records[index])}"

    def where_else(self, index: int) -> str:
        """Where another row stands, for a sentence about this one."""
        origin = self.origins[index]
        return f"row {origin.row}" if origin else f"the {DATABASE}"


def _lists() -> dict[str, list[Any]]:
    return {book_file.name: [] for book_file in BOOK_FILES}


@dataclass(slots=True)
class Merged:
    """The book as it would stand, what would be new and changed in it, and the faults so far."""

    book: Book = field(default_factory=Book)
    new: dict[str, list[Any]] = field(default_factory=_lists)
    changed: dict[str, list[Any]] = field(default_factory=_lists)
    unchanged: dict[str, list[Any]] = field(default_factory=_lists)
    tables: dict[str, Rows] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def __getitem__(self, name: str) -> Rows:
        return self.tables[name]


def merge(existing: Book, read: ReadBook) -> Merged:
    """Lay a book that was read over the one that is there."""
    merged = Merged(faults=list(read.faults))
    for book_file in BOOK_FILES:
        _merge_file(book_file, existing[book_file.name], read, merged)
    return merged


def key_getter(file: BookFile) -> Callable[[Any], Any]:
    """The key of a row for looking up; a plain value where the key is one column."""
    return attrgetter(*file.key)


def _merge_file(file: BookFile, there: list[Any], read: ReadBook, merged: Merged) -> None:
    name, key_of = file.name, key_getter(file)
    incoming = read.book[name]
    if name == APPEND_ONLY:
        incoming = with_keys(incoming)
    before = {key_of(row): row for row in there}
    overridden: set[Any] = set()
    rows: list[Any] = []
    origins: list[Origin | None] = []
    for row, origin in zip(incoming, read.origins[name], strict=True):
        key = key_of(row)
        old = before.get(key)
        if old is None:
            merged.new[name].append(row)
        elif old == row:
            merged.unchanged[name].append(row)
        elif name == APPEND_ONLY:
            merged.faults.append(_altered(row, origin))
            continue
        else:
            merged.changed[name].append(row)
        overridden.add(key)
        rows.append(row)
        origins.append(origin)
    kept = [row for row in there if key_of(row) not in overridden] if overridden else list(there)
    merged.book.rows[name] = kept + rows
    here: list[Origin | None] = [None] * len(kept)
    merged.tables[name] = _table(
        file, merged.book[name], here + origins, read.refused[name], read.incomplete
    )


def _table(
    file: BookFile,
    records: list[Any],
    origins: list[Origin | None],
    refused: list[Refused],
    incomplete: set[str],
) -> Rows:
    unread = {len(records) + index: row.columns for index, row in enumerate(refused)}
    return Rows(
        file,
        records + [row.record for row in refused],
        origins + [row.origin for row in refused],
        unread,
        file.name not in incomplete,
    )


def _altered(row: Any, origin: Origin) -> Fault:
    reason = (
        f"{quoted(row.key)} is already booked with other contents; "
        "a movement is never changed, book a reversal"
    )
    return Fault(origin.where, origin.row, "key", row.key, reason, APPEND_ONLY)
