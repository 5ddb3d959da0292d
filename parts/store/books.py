"""Records in and out of the tables.

Knows how a value of each kind is stored, and nothing of what it means. Rows come in the order of
their keys, movements in the order of their entry. Invariant: what is written comes back equal.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache, partial
from itertools import islice
from operator import attrgetter
from typing import Any, TypeVar

from sqlalchemy import (
    ColumnElement,
    Connection,
    Delete,
    Select,
    Table,
    Update,
    bindparam,
    delete,
    func,
    insert,
    select,
    update,
)

from parts.errors import UnreadableValue
from parts.records.book import BOOK_FILES, FILES_BY_NAME, Book, BookFile
from parts.records.fields import Kind
from parts.records.snapshot import NeedColumns, PositionColumns
from parts.store.schema import TABLES, key_in_order

_Statement = TypeVar("_Statement", Update, Delete, Select[Any])

_CHUNK = 10_000
_KEY = "key of "  # tells the key that finds a row from the values that it is given

Progress = Callable[[int], None]
Only = Mapping[str, Sequence[str]]
"""Names of columns that hold texts, each with the texts that are asked for."""
_Asked = tuple[tuple[str, bool], ...]


def read_book(connection: Connection, names: Sequence[str] | None = None) -> Book:
    """The rows of all files, or of those named; the others are left empty."""
    book = Book()
    for book_file in BOOK_FILES:
        if names is None or book_file.name in names:
            book.rows[book_file.name] = read_rows(connection, book_file.name)
    return book


def read_rows(connection: Connection, name: str, only: Only | None = None) -> list[Any]:
    """The rows of one file as records, or those alone whose texts in some columns are among those
    given."""
    book_file = FILES_BY_NAME[name]
    names = [column.name for column in book_file.columns]
    columns = _read_columns(connection, book_file, only)
    return [
        book_file.record(**dict(zip(names, values, strict=True)))
        for values in zip(*columns, strict=True)
    ]


def count_rows(connection: Connection, name: str, only: Only) -> int:
    """How many rows of a file there are whose texts in some columns are among those given."""
    table = TABLES[name]
    asked, texts = _asked(only)
    question = select(func.count()).select_from(table).where(*_conditions(table, asked))
    return int(connection.execute(question, texts).scalar_one())


def read_position_columns(connection: Connection) -> PositionColumns:
    return PositionColumns(*_read_columns(connection, FILES_BY_NAME["positions"]))


def read_need_columns(connection: Connection) -> NeedColumns:
    return NeedColumns(*_read_columns(connection, FILES_BY_NAME["needs"]))


def read_row(connection: Connection, name: str, row: Any, *, hold: bool = False) -> Any | None:
    """The row that has the key of this one, as it stands; `hold` keeps others from changing it
    until the writing transaction ends."""
    book_file = FILES_BY_NAME[name]
    stored = connection.execute(_row(name, hold), _key_values(connection, book_file, row)).first()
    if stored is None:
        return None
    return book_file.record(
        **{
            column.name: value(found)
            for column, value, found in zip(
                book_file.columns, _values(connection, book_file), stored, strict=True
            )
        }
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
    written = (
        (partial(_add, connection, TABLES[name]), _stored(connection, book_file, new)),
        (
            partial(connection.execute, _update(name)),
            _to_find(book_file, _stored(connection, book_file, changed)),
        ),
    )
    for write, rows in written:
        for chunk in _chunks(rows):
            write(chunk)
            if progress is not None:
                progress(len(chunk))


def _add(connection: Connection, table: Table, rows: list[dict[str, Any]]) -> None:
    if connection.dialect.name == "sqlite":
        connection.execute(insert(table), rows)
        return
    # the server takes a copy in a fifth of the time that it takes over as many statements
    names = ", ".join(map(connection.dialect.identifier_preparer.quote, rows[0]))
    cursor: Any = connection.connection.cursor()
    with cursor, cursor.copy(f"COPY {table.name} ({names}) FROM STDIN") as copy:
        for row in rows:
            copy.write_row(tuple(row.values()))


class _Once(dict[Any, Any]):
    """Each distinct value of a column converted once and kept once, however often it is read.

    Names of cranes, parts and positions come by the hundred thousand and repeat.
    """

    def __init__(self, where: str, convert: Callable[[Any], Any] | None) -> None:
        super().__init__({None: None})
        self._where = where
        self._convert = convert

    def __missing__(self, stored: Any) -> Any:
        try:
            value = self[stored] = self._convert(stored) if self._convert else stored
        except (TypeError, ValueError):  # one bit on the disk, and a day is none
            raise UnreadableValue(self._where) from None
        return value


# SQLite has no days and no flags; PostgreSQL tells minus zero from zero, as nobody else does.
_FROM_STORED: dict[str, dict[Kind, Callable[[Any], Any]]] = {
    "sqlite": {Kind.DAY: datetime.date.fromisoformat, Kind.FLAG: bool},
    "postgresql": {},
}
_TO_STORED: dict[str, dict[Kind, Callable[[Any], Any]]] = {
    "sqlite": {Kind.DAY: datetime.date.isoformat, Kind.FLAG: int},
    "postgresql": {Kind.NUMBER: (0.0).__add__},
}


def _values(connection: Connection, book_file: BookFile) -> list[Callable[[Any], Any]]:
    """What makes of a stored value that of a record, for each column."""
    found = _conversions(connection.dialect.name, book_file.name)
    return [_Once(where, convert).__getitem__ for where, convert in found]


@cache
def _conversions(dialect: str, name: str) -> tuple[tuple[str, Callable[[Any], Any] | None], ...]:
    converts, book_file = _FROM_STORED[dialect], FILES_BY_NAME[name]
    named = zip(book_file.header, book_file.columns, strict=True)
    return tuple((f"{name}.{column}", converts.get(each.kind)) for column, each in named)


def _asked(only: Only) -> tuple[_Asked, dict[str, Any]]:
    """In which columns, each with whether for one text alone, and the texts."""
    asked = tuple((name, len(texts) == 1) for name, texts in only.items())
    return asked, {name: only[name][0] if one else only[name] for name, one in asked}


def _conditions(table: Table, asked: _Asked) -> list[ColumnElement[bool]]:
    return [
        table.c[name] == bindparam(name)
        if one  # a list of texts is written into the statement anew each time
        else table.c[name].in_(bindparam(name, expanding=True))
        for name, one in asked
    ]


# What follows is asked a dozen times in a step; a statement made once is compiled once.


@cache
def _in_order(name: str, asked: _Asked) -> Select[Any]:
    """All rows of a file, or those with certain texts in the columns that are asked."""
    book_file, table = FILES_BY_NAME[name], TABLES[name]
    order = [table.c.id] if name == "movements" else key_in_order(book_file, table)
    columns = (table.c[column] for column in book_file.header)
    return select(*columns).where(*_conditions(table, asked)).order_by(*order)


@cache
def _row(name: str, hold: bool) -> Select[Any]:
    book_file = FILES_BY_NAME[name]
    question = _found(select(*(TABLES[name].c[column] for column in book_file.header)), book_file)
    return question.with_for_update() if hold else question


@cache
def _update(name: str) -> Update:
    """Sets all of a row that is found by its key, in which a blank counts as an empty text."""
    return _found(update(TABLES[name]), FILES_BY_NAME[name])


def _read_columns(
    connection: Connection, book_file: BookFile, only: Only | None = None
) -> list[list[Any]]:
    # the driver's cursor: its plain tuples are taken apart at once, so rows cost nothing
    asked, texts = _asked(only or {})
    cursor = connection.execute(_in_order(book_file.name, asked), texts).cursor
    columns: list[list[Any]] = [[] for _ in book_file.columns]
    values = _values(connection, book_file)
    while chunk := cursor.fetchmany(_CHUNK):
        for column, value, stored in zip(columns, values, zip(*chunk, strict=True), strict=True):
            column.extend(map(value, stored))
    return columns


def _stored(
    connection: Connection, book_file: BookFile, rows: Sequence[Any]
) -> Iterator[dict[str, Any]]:
    """The rows as the tables hold them, by the names of the columns there."""
    names = book_file.header
    values_of = attrgetter(*(column.name for column in book_file.columns))
    converts = [
        (name, convert)
        for name, column in zip(names, book_file.columns, strict=True)
        if (convert := _TO_STORED[connection.dialect.name].get(column.kind)) is not None
    ]
    for row in rows:
        stored = dict(zip(names, values_of(row), strict=True))
        for name, convert in converts:
            if stored[name] is not None:
                stored[name] = convert(stored[name])
        yield stored


def change_row(connection: Connection, name: str, before: Any, after: Any) -> None:
    """Set what differs between two states of one row, and nothing else.

    A role may be permitted to change some columns only.
    """
    if name == "movements":
        raise ValueError("movements are only ever added")
    book_file = FILES_BY_NAME[name]
    was, shall_be = _stored(connection, book_file, [before, after])
    new = {column: value for column, value in shall_be.items() if value != was[column]}
    if new:
        keys = _key_values(connection, book_file, before)
        connection.execute(_update(name).values(new), keys)


def delete_row(connection: Connection, name: str, row: Any) -> None:
    """Take out one row, found by its key. Movements are never taken out."""
    if name == "movements":
        raise ValueError("movements are only ever added")
    book_file = FILES_BY_NAME[name]
    keys = _key_values(connection, book_file, row)
    connection.execute(_found(delete(TABLES[name]), book_file), keys)


def _chunks(rows: Iterator[dict[str, Any]]) -> Iterator[list[dict[str, Any]]]:
    while chunk := list(islice(rows, _CHUNK)):
        yield chunk


def _found(statement: _Statement, book_file: BookFile) -> _Statement:
    table = TABLES[book_file.name]
    for name, found_by in zip(book_file.key, key_in_order(book_file, table), strict=True):
        column = table.c[name.rstrip("_")]
        wanted: ColumnElement[Any] = bindparam(_KEY + column.name, type_=column.type)
        if found_by is not column:
            wanted = func.coalesce(wanted, "")
        statement = statement.where(found_by == wanted)
    return statement


def _key_values(connection: Connection, book_file: BookFile, row: Any) -> dict[str, Any]:
    """What finds one row."""
    (found,) = _to_find(book_file, _stored(connection, book_file, [row]))
    return {name: value for name, value in found.items() if name.startswith(_KEY)}


def _to_find(book_file: BookFile, rows: Iterator[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    for row in rows:
        for name in book_file.key:
            row[_KEY + name.rstrip("_")] = row.pop(name.rstrip("_"))
        yield row
