"""One database, whichever kind keeps it: opened, made new, read and written in whole transactions.

Knows neither kind; the one that an address names is loaded with it. Invariants: opening never makes
a database; a new one appears complete or not at all; what fails leaves nothing changed.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path
from typing import TypeVar

from sqlalchemy import Connection

from parts import errors

__all__ = ["Connection", "Database", "new_database"]  # a Connection is what one works on

_TIMES = 5
_SERVERS = ("postgresql:", "postgresql+", "postgres:")

Found = TypeVar("Found")


class Database(ABC):
    """A database that may be read and written; `where` is what people call it."""

    where: str

    @staticmethod
    def open(where: str) -> Database:
        """The database at a path or address, in its newest form."""
        if is_on_server(where):
            from parts.store import postgres

            return postgres.open_database(where)
        from parts.store import sqlite

        return sqlite.open_database(where)

    @abstractmethod
    def reading(self) -> AbstractContextManager[Connection]:
        """A view of the data that does not move; writing through it is refused."""

    @abstractmethod
    def writing(self, *, alone: bool = False) -> AbstractContextManager[Connection]:
        """What is written is kept when all went well, else undone.

        On SQLite every writer is alone. On PostgreSQL several write at once, each row locked by
        the one who changes it; `alone` keeps all others out, for work that rests on everything.
        """

    def work(self, function: Callable[[Connection], Found]) -> Found:
        """Write by a function that may be called again when others wrote the same rows.

        The last time nobody else writes, so that however many want the same rows, it ends.
        """
        for _ in range(_TIMES - 1):
            try:
                with self.writing() as connection:
                    return function(connection)
            except errors.DatabaseOvertaken:
                continue
        with self.writing(alone=True) as connection:
            return function(connection)

    def copy_to(self, target: Path) -> None:
        """A copy of everything as one file, made while others go on writing."""
        from parts.store.row_copies import copy_rows

        with self.reading() as connection:
            copy_rows(connection, target)

    @property
    def beside(self) -> Path:
        """The file name that copies are named after when nobody names them."""
        return Path("longpole.db")

    @abstractmethod
    def close(self) -> None:
        """Let go of it; a closed database is not used again."""


def is_on_server(where: str) -> bool:
    """Whether an address leads to a server; everything else is a file."""
    return where.startswith(_SERVERS)


def known_as(where: str) -> str:
    """What people call the database at a path or address; no password is part of that."""
    if not is_on_server(where):
        return where
    from parts.store.postgres_address import address_of

    return address_of(where).where


def new_database(where: str) -> AbstractContextManager[Database]:
    """A database to fill, which is there when the block ends well and vanishes otherwise."""
    if is_on_server(where):
        from parts.store import postgres

        return postgres.new_database(where)
    from parts.store import sqlite

    return sqlite.new_database(where)
