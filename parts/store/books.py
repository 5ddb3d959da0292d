"""Records in and out of the tables.

Knows how a value of each kind is stored, and nothing of what it means. Rows come in the order of
their keys, movements in the order of their entry. Invariant: what is written comes back equal.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator, Sequence
from itertools import islice
from operator import attrgetter
from typing import Any

from sqlalchemy import Connection, Select, Update, bindparam, func, insert, select, update

from parts.records.book import BOOK_FILES, FILES_BY_NAME, Book, BookFile
from parts.records.fields import Kind
from parts.records.snapshot import NeedColumns, PositionColumns
from parts.store.schema import TABLES, key_in_order

_CHUNK = 10_000
_KEY = "key of "  # tells the key that finds a row from the values that it is given

Progress = Callable[[int], None]


def read_book(connection: Connection, names: Sequence[str] | None = None) -> Book:
    """The rows of all files, or of those named; the others are left empty."""
    book = Book()
    for book_file in BOOK_FILES:
        if names is None or book_file.name in names:
            book.rows[book_file.name] = read_rows(connection, book_file.name)
    return book


def read_rows(connection: Connection, name: str) -> list[Any]:
    """The rows of one file as records."""
    book_file = FILES_BY_NAME[name]
    names = [column.name for column in book_file.columns]
    columns = _read_columns(connection, book_file)
    return [
        book_file.record(**dict(zip(names, values, strict=True)))
        for values in zip(*columns, strict=True)
    ]


def read_position_columns(connection: Connection) -> PositionColumns:
    return PositionColumns(*_read_columns(connection, FILES_BY_NAME["positions"]))


def read_need_columns(connection: Connection) -> NeedColumns:
    return NeedColumns(*_read_columns(connection, FILES_BY_NAME["needs"]))


def is_empty(connection: Connection) -> bool:
    """Whether no file has a row."""
    return all(
        connection.execute(select(TABLES[book_file.name]).limit(1)).first() is None
        for book_file in BOOK_FILES
    )


def write_rows(
    connection: Connection,
    name: str,
    new: Sequence[Any],
    changed: Sequence[Any] = (),
    progress: Progress | None = None,
) -> None:
    """Add the new rows and give the changed ones, found by their key, their new values.

    `progress` is told after each chunk how many rows it held.
    """
    if name == "movements" and changed:
        raise ValueError("movements are only ever added")
    book_file = FILES_BY_NAME[name]
    inserted = (insert(TABLES[name]), _stored(book_file, new))
    updated = (_update(book_file), _to_find(book_file, _stored(book_file, changed)))
    for statement, rows in (inserted, updated):
        for chunk in _chunks(rows):
            connection.execute(statement, chunk)
            if progress is not None:
                progress(len(chunk))


class _Once(dict[Any, Any]):
    """Each distinct value of a column converted once and kept once, however often it is read.

    Names of cranes, parts and positions come by the hundred thousand and repeat.
    """

    def __init__(self, kind: Kind) -> None:
        super().__init__({None: None})
        self._convert = _FROM_STORED.get(kind)

    def __missing__(self, stored: Any) -> Any:
        value = self[stored] = self._convert(stored) if self._convert else stored
        return value


_FROM_STORED: dict[Kind, Callable[[Any], Any]] = {
    Kind.DAY: datetime.date.fromisoformat,
    Kind.FLAG: bool,
}
_TO_STORED: dict[Kind, Callable[[Any], Any]] = {
    Kind.DAY: datetime.date.isoformat,
    Kind.FLAG: int,
}


def _in_order(book_file: BookFile) -> Select[Any]:
    table = TABLES[book_file.name]
    order = [table.c.id] if book_file.name == "movements" else key_in_order(book_file, table)
    return select(*(table.c[name] for name in book_file.header)).order_by(*order)


def _read_columns(connection: Connection, book_file: BookFile) -> list[list[Any]]:
    # the driver's cursor: its plain tuples are taken apart at once, so rows cost nothing
    cursor = connection.execute(_in_order(book_file)).cursor
    columns: list[list[Any]] = [[] for _ in book_file.columns]
    values = [_Once(column.kind).__getitem__ for column in book_file.columns]
    while chunk := cursor.fetchmany(_CHUNK):
        for column, value, stored in zip(columns, values, zip(*chunk, strict=True), strict=True):
            column.extend(map(value, stored))
    return columns


def _stored(book_file: BookFile, rows: Sequence[Any]) -> Iterator[dict[str, Any]]:
    """The rows as the tables hold them, by the names of the columns there."""
    names = book_file.header
    values_of = attrgetter(*(column.name for column in book_file.columns))
    converts = [
        (name, convert)
        for name, column in zip(names, book_file.columns, strict=True)
        if (convert := _TO_STORED.get(column.kind)) is not None
    ]
    for row in rows:
        stored = dict(zip(names, values_of(row), strict=True))
        for name, convert in converts:
            if stored[name] is not None:
                stored[name] = convert(stored[name])
        yield stored


def _chunks(rows: Iterator[dict[str, Any]]) -> Iterator[list[dict[str, Any]]]:
    while chunk := list(islice(rows, _CHUNK)):
        yield chunk


def _update(book_file: BookFile) -> Update:
    """Sets all of a row that is found by its key, in which a blank counts as an empty text."""
    found_by = key_in_order(book_file, TABLES[book_file.name])
    names = (f"{_KEY}{name.rstrip('_')}" for name in book_file.key)
    return update(TABLES[book_file.name]).where(
        *(
            column == func.coalesce(bindparam(name), "")
            for column, name in zip(found_by, names, strict=True)
        )
    )


def _to_find(book_file: BookFile, rows: Iterator[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    for row in rows:
        for name in book_file.key:
            row[_KEY + name.rstrip("_")] = row.pop(name.rstrip("_"))
        yield row
