"""Databases of both kinds that hold the invented site, and ways past the program into a file."""

from __future__ import annotations

import ctypes
import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import psycopg
import pytest

from parts.records.book import BOOK_FILES
from parts.store.books import write_rows
from parts.store.database import Connection, Database, new_database
from parts.store.schema import METADATA
from parts.store.sqlite import SqliteDatabase, open_database
from parts.store.sqlite_connections import SETTINGS
from tests.servers import Server, connection_to
from tests.store.site_rows import ROWS

_CAPABILITIES_VERSION_3 = 0x20080522  # capabilities(7) of Linux
_PASS_BY_PERMISSIONS = 0b110  # CAP_DAC_OVERRIDE and CAP_DAC_READ_SEARCH


KINDS = ("sqlite", "postgresql")


def fill(address: str) -> str:
    """Make the invented site at an address where nothing is."""
    with new_database(address) as database, database.writing() as connection:
        write_site(connection)
    return address


def write_site(connection: Connection) -> None:
    for book_file in BOOK_FILES:
        write_rows(connection, book_file.name, ROWS[book_file.name])


@pytest.fixture
def where(tmp_path: Path) -> str:
    """The path of a filled database."""
    return fill(str(tmp_path / "site.db"))


@pytest.fixture
def file_database(where: str) -> Iterator[SqliteDatabase]:
    with closing(open_database(where)) as opened:
        yield opened


@pytest.fixture(scope="session")
def _kept_on_server(server: Server) -> Iterator[str]:
    """Making a database takes a second, so that one serves test after test."""
    with server.database() as address:
        yield fill(address)


@pytest.fixture
def on_server(_kept_on_server: str) -> str:
    """The address of a filled database on the server, with no trace of the test before."""
    with connection_to(_kept_on_server) as connection, connection.transaction():
        connection.execute("SET LOCAL session_replication_role = replica")  # guards look away
        for table in METADATA.tables:
            connection.execute(f"DELETE FROM {table}")  # noqa: S608 - our own tables
    with closing(Database.open(_kept_on_server)) as database, database.writing() as working:
        write_site(working)
    return _kept_on_server


@pytest.fixture(params=KINDS)
def address(request: pytest.FixtureRequest) -> str:
    """The path or address of a filled database, of one kind and then of the other."""
    found: str = request.getfixturevalue("where" if request.param == "sqlite" else "on_server")
    return found


@pytest.fixture
def database(address: str) -> Iterator[Database]:
    with closing(Database.open(address)) as opened:
        yield opened


@pytest.fixture(params=KINDS)
def nothing(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """A path or an address at which there is nothing yet."""
    if request.param == "sqlite":
        return str(tmp_path / "new.db")
    found: str = request.getfixturevalue("nothing_on_server")
    return found


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


RULES = {
    "SQLITE_CONSTRAINT_CHECK": "value",
    "SQLITE_CONSTRAINT_DATATYPE": "type",
    "SQLITE_CONSTRAINT_NOTNULL": "blank",
    "SQLITE_CONSTRAINT_UNIQUE": "repeated",
    "SQLITE_CONSTRAINT_PRIMARYKEY": "repeated",
    "SQLITE_CONSTRAINT_FOREIGNKEY": "reference",
    "23514": "value",
    "23502": "blank",
    "23505": "repeated",
    "23503": "reference",
    "22": "value",  # what PostgreSQL's types refuse by themselves
    "42": "type",
}
"""The kind of rule by the name or the code of a refusal, as it begins."""

Refusal = Callable[[str], tuple[str, str]]


@pytest.fixture(params=KINDS)
def refusal(request: pytest.FixtureRequest) -> Iterator[Refusal]:
    """Run plain SQL in a transaction of its own, which must be refused at the latest when it
    ends, on one kind of database and then on the other; tell the rule and the words."""
    connection: Any = (
        request.getfixturevalue("raw")
        if request.param == "sqlite"
        else connection_to(request.getfixturevalue("on_server"))
    )

    def run(sql: str) -> tuple[str, str]:
        connection.execute("BEGIN")
        try:
            connection.execute(sql)
            connection.execute("COMMIT")
        except (sqlite3.IntegrityError, psycopg.Error) as refused:
            connection.execute("ROLLBACK")
            code = str(getattr(refused, "sqlite_errorname", getattr(refused, "sqlstate", "")))
            rule = next(rule for known, rule in RULES.items() if code.startswith(known))
            return rule, str(refused)
        pytest.fail(f"not refused: {sql}")

    yield run
    connection.close()


@contextmanager
def permissions_count() -> Iterator[None]:
    """Take from root the power to pass by permissions; nobody else has it."""
    if os.name == "nt":
        pytest.skip("Windows grants by other rules")
    if os.geteuid() != 0:
        yield
        return
    libc = ctypes.CDLL(None, use_errno=True)
    header = (ctypes.c_uint32 * 2)(_CAPABILITIES_VERSION_3, 0)
    powers = (ctypes.c_uint32 * 6)()
    assert libc.capget(header, powers) == 0
    fewer = (ctypes.c_uint32 * 6)(*powers)
    fewer[0] &= ~_PASS_BY_PERMISSIONS
    assert libc.capset(header, fewer) == 0
    try:
        yield
    finally:
        assert libc.capset(header, powers) == 0
