"""A database that holds the invented site, and ways past the program into it."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from parts.records.book import BOOK_FILES
from parts.store.books import write_rows
from parts.store.connections import SETTINGS
from parts.store.database import Database, new_database
from tests.store.site_rows import ROWS


@pytest.fixture
def where(tmp_path: Path) -> str:
    """The path of a filled database."""
    path = tmp_path / "site.db"
    with new_database(str(path)) as database, database.writing() as connection:
        for book_file in BOOK_FILES:
            write_rows(connection, book_file.name, ROWS[book_file.name])
    return str(path)


@pytest.fixture
def database(where: str) -> Iterator[Database]:
    opened = Database.open(where)
    yield opened
    opened.close()


@pytest.fixture
def raw(where: str) -> Iterator[sqlite3.Connection]:
    """A connection past the program, with the settings that it promises."""
    connection = sqlite3.connect(where, isolation_level=None)
    for setting in SETTINGS:
        connection.execute(f"PRAGMA {setting}")
    yield connection
    connection.close()


@pytest.fixture
def refused(raw: sqlite3.Connection) -> Callable[[str], str]:
    """Run SQL that must be refused, and tell the name of the refusal."""

    def run(sql: str) -> str:
        with pytest.raises(sqlite3.IntegrityError) as refusal:
            raw.execute(sql)
        return f"{refusal.value.sqlite_errorname}: {refusal.value}"

    return run
