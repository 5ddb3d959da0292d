"""A copy, which is one SQLite file, put into an empty database on a server.

Row by row, so postings, seals and numbers are those of the copy: what people entered in a file
goes on on a server. Only the owner can do it, since the guards look away for that one transaction.
Invariant: the database holds all of the copy, guards and all, or nothing.
"""

from __future__ import annotations

from contextlib import closing
from typing import Any

from sqlalchemy import Connection, Table, func, select

from parts.store import sqlite
from parts.store.postgres import new_database
from parts.store.postgres_guards import ONLY_ADDED
from parts.store.schema import METADATA

_CHUNK = 10_000


def put_copy(copy: str, where: str) -> None:
    """Fill an empty database with what a copy holds."""
    with (
        closing(sqlite.open_database(copy)) as source,
        source.reading() as read,
        new_database(where) as made,
        made.writing() as written,
    ):
        _say(written, *(f"ALTER TABLE {name} DISABLE TRIGGER USER" for name in ONLY_ADDED))
        for table in METADATA.sorted_tables:
            _put(read, written, table)
        _say(written, "SET CONSTRAINTS ALL IMMEDIATE")
        _say(written, *(f"ALTER TABLE {name} ENABLE TRIGGER USER" for name in ONLY_ADDED))


def _put(read: Connection, written: Connection, table: Table) -> None:
    found: Any = read.execute(select(table)).cursor
    names = ", ".join(written.dialect.identifier_preparer.format_column(c) for c in table.columns)
    cursor: Any = written.connection.cursor()
    # a copy is text, and a day or a flag as a file has it is read by the server as its own
    with cursor, cursor.copy(f"COPY {table.name} ({names}) FROM STDIN") as rows:
        while chunk := found.fetchmany(_CHUNK):
            for row in chunk:
                rows.write_row(row)
    if "id" in table.columns and (last := written.scalar(select(func.max(table.c.id)))):
        _say(written, f"SELECT setval('{table.name}_id_seq', {last})")


def _say(connection: Connection, *statements: str) -> None:
    for statement in statements:
        connection.exec_driver_sql(statement)
