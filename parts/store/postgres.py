"""A database on a PostgreSQL server, in which several people work at once.

Knows connections, locks and forms; knows no table of the book. Invariants: a database that others
use is not touched; a new one is filled in a single transaction; no connection is kept, so none
waits inside a transaction while somebody types.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import psycopg
from sqlalchemy import Connection, create_engine
from sqlalchemy.pool import NullPool

from parts import errors
from parts.records.roles import ROLES
from parts.store import forms
from parts.store.database import Database
from parts.store.postgres_address import Address, address_of
from parts.store.postgres_trouble import in_our_words, no_connection
from parts.store.schema import APPLICATION_ID, FORM

_SETTINGS = (
    "search_path=public",  # the guards name it, so that nobody can put a table of theirs before it
    "lock_timeout=5s",
    "statement_timeout=30s",
    "idle_in_transaction_session_timeout=60s",
    "extra_float_digits=1",  # a figure comes back as it was written
    "datestyle=ISO",
    "timezone=UTC",
)
# Nobody waits for one who works alone longer than the lock's 5 seconds; the work itself may last.
_UNHURRIED = "SET LOCAL statement_timeout = '1h'; SET LOCAL idle_in_transaction_session_timeout = 0"
_FOR_THE_DRIVER: dict[str, Any] = {
    "application_name": "longpole",
    "client_encoding": "UTF8",
    "connect_timeout": 10,
    # a cable that was pulled is noticed within a minute, not after two hours
    "keepalives_idle": 20,
    "keepalives_interval": 5,
    "keepalives_count": 4,
    "tcp_user_timeout": 40_000,
}
_READ = {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}
_WRITE = {"isolation_level": "READ COMMITTED"}
_WITH_OTHERS = f"SELECT pg_advisory_xact_lock_shared({APPLICATION_ID})"
_ALONE = f"SELECT pg_advisory_xact_lock({APPLICATION_ID})"
_OTHERS_TABLES = """
SELECT count(*) FROM pg_class JOIN pg_namespace ON pg_namespace.oid = relnamespace
WHERE nspname = 'public' AND relkind IN ('r', 'p', 'f', 'v', 'm', 'S') AND NOT EXISTS
(SELECT 1 FROM pg_depend WHERE objid = pg_class.oid AND deptype = 'e')
"""


class PostgresDatabase(Database):
    """A database that a server has, whatever it holds."""

    def __init__(self, address: Address) -> None:
        self.where = address.where
        options = address.options | {"options": _options(address.options.get("options", ""))}

        def connect() -> psycopg.Connection:
            address.refuse_open_password_file()
            try:
                return psycopg.connect(**(_FOR_THE_DRIVER | options))
            except psycopg.Error as refused:
                raise no_connection(refused, address) from None  # its text may hold a password

        self._engine = create_engine(
            "postgresql+psycopg://", creator=connect, poolclass=NullPool, hide_parameters=True
        )

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        engine = self._engine.execution_options(**_READ)
        with in_our_words(self.where), engine.begin() as connection:
            yield connection

    @contextmanager
    def writing(self, *, alone: bool = False) -> Iterator[Connection]:
        engine = self._engine.execution_options(**_WRITE)
        with in_our_words(self.where), engine.begin() as connection:
            connection.exec_driver_sql(_ALONE if alone else _WITH_OTHERS)
            if alone:
                connection.exec_driver_sql(_UNHURRIED)
            yield connection

    def close(self) -> None:
        self._engine.dispose()

    def renew(self, form: int) -> None:
        """Bring it to the newest form, which its owner alone may do."""
        try:
            with self.writing(alone=True) as connection:
                if forms.form_on_server(connection) != FORM:  # somebody may have been first
                    forms.renew(connection)
                    _renew_rights(connection)
        except errors.NotPermitted:
            raise errors.OlderDatabase(self.where, form, FORM) from None


class _InTheMaking(Database):
    """A database inside the one transaction that makes and fills it."""

    def __init__(self, where: str, connection: Connection) -> None:
        self.where = where
        self._connection = connection

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        yield self._connection

    @contextmanager
    def writing(self, *, alone: bool = False) -> Iterator[Connection]:
        yield self._connection

    def close(self) -> None:
        """Its maker closes it."""


def open_database(where: str) -> PostgresDatabase:
    """The database that an address names, in its newest form."""
    database = PostgresDatabase(address_of(where))
    with database.reading() as connection:
        form = _form_of(connection, database.where)
    if form is None:
        raise errors.NoDatabase(database.where)
    if form > FORM:
        raise errors.NewerDatabase(database.where, form, FORM)
    if form < FORM:
        database.renew(form)
    return database


@contextmanager
def new_database(where: str) -> Iterator[Database]:
    """An empty database to fill, which is empty again when the block fails."""
    database = PostgresDatabase(address_of(where))
    with database.writing(alone=True) as connection:
        if _form_of(connection, database.where) is not None:
            raise errors.DatabaseExists(database.where)
        _refuse_other_letters(connection, database.where)
        forms.renew(connection)
        yield _InTheMaking(database.where, connection)


def _form_of(connection: Connection, where: str) -> int | None:
    """The form of a database of ours, None where there is nothing at all."""
    form = forms.form_on_server(connection)
    if form is None and connection.exec_driver_sql(_OTHERS_TABLES).scalar_one():
        raise errors.NotOurDatabase(where, "it holds the tables of another program")
    return form


def _renew_rights(connection: Connection) -> None:
    """Give the roles that are set up their rights on what is new."""
    from parts.store import postgres_roles

    there = [role for role in ROLES if postgres_roles.is_there(connection, role)]
    postgres_roles.grant_rights(connection, there)


def _refuse_other_letters(connection: Connection, where: str) -> None:
    letters = connection.exec_driver_sql("SHOW server_encoding").scalar_one()
    if letters != "UTF8":
        raise errors.DatabaseUnwritable(where, f"it keeps its texts in {letters}, not in UTF8")


def _options(given: str) -> str:
    return " ".join([given, *(f"-c {setting}" for setting in _SETTINGS)]).strip()
