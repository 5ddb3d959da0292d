"""Whether a database was changed since it was last looked at, without reading any of it.

Knows how either kind tells: SQLite counts the commits of others for each connection, so one
connection is kept for nothing else; PostgreSQL counts the rows written. What is counted may move
without a change that anybody would see, never the other way. Holds no lock between two looks.
"""

from __future__ import annotations

import sqlite3
from typing import Protocol

from sqlalchemy.exc import DBAPIError

from parts.store import files
from parts.store.database import is_on_server

_WRITTEN = """
SELECT coalesce(sum(n_tup_ins + n_tup_upd + n_tup_del), 0)
FROM pg_stat_user_tables WHERE schemaname = current_schema()
"""


Unwatchable = (OSError, sqlite3.Error, DBAPIError)
"""What looking may raise where the database is gone, locked or out of reach."""


class Watcher(Protocol):
    """What looks at one database."""

    def look(self) -> object:
        """Return what is another value after a change."""

    def close(self) -> None:
        """Let go of the database."""


class FileWatcher:
    """One SQLite file; a file put in its place is a change."""

    def __init__(self, where: str) -> None:
        self._path = files.path_of(where)
        self._file: tuple[int, int] | None = None
        self._connection: sqlite3.Connection | None = None

    def look(self) -> object:
        found = self._path.stat()
        if self._connection is None or self._file != (found.st_dev, found.st_ino):
            self.close()
            # whoever looks does so in turn, though not always in the same thread
            self._connection = sqlite3.connect(
                files.uri_of(self._path), uri=True, isolation_level=None, check_same_thread=False
            )
            self._file = found.st_dev, found.st_ino
        return *self._file, self._connection.execute("PRAGMA data_version").fetchone()[0]

    def close(self) -> None:
        if self._connection is not None:
            self._connection.close()
            self._connection = None


class ServerWatcher:
    """A PostgreSQL database; a look is one connection, whatever the form of the database."""

    def __init__(self, where: str) -> None:
        from parts.store.postgres import PostgresDatabase
        from parts.store.postgres_address import address_of

        self._database = PostgresDatabase(address_of(where))

    def look(self) -> object:
        with self._database.reading() as connection:
            return connection.exec_driver_sql(_WRITTEN).scalar_one()

    def close(self) -> None:
        self._database.close()


def watcher_of(where: str) -> Watcher:
    """What looks at the database at a path or address."""
    return ServerWatcher(where) if is_on_server(where) else FileWatcher(where)
