"""Databases on a PostgreSQL server that come and go with a test, and ways past the program into it.

The server is that of TEST_PG_URL; nothing else on it is touched but the roles of the program.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any
from uuid import uuid4

import psycopg
from sqlalchemy.engine import make_url

from parts.records.roles import ROLES
from parts.services.roles import set_up_roles

ADDRESS = "TEST_PG_URL"
WITHOUT = "needs a PostgreSQL server, which scripts/test.py starts where one is installed"
_OF_OURS = """
SELECT count(*) FROM pg_stat_activity
WHERE datname = current_database() AND application_name = 'longpole'
"""


class Server:
    def __init__(self, address: str) -> None:
        self._url = make_url(address).set(drivername="postgresql")

    @contextmanager
    def database(self) -> Iterator[str]:
        """The address of a new database that holds nothing."""
        name = f"longpole_test_{uuid4().hex}"
        with self.connection() as connection:
            connection.execute(f"CREATE DATABASE {name} TEMPLATE template0 ENCODING UTF8")
        try:
            yield self.address(name)
        finally:
            with self.connection() as connection:
                connection.execute(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")

    def address(self, name: str, user: str | None = None) -> str:
        url = self._url.set(database=name)
        if user is not None:
            url = url.set(username=user)
        return url.render_as_string(hide_password=False)

    def connection(self) -> psycopg.Connection[Any]:
        """Past the program, as whoever the address names."""
        return connection_to(self._url.render_as_string(hide_password=False))


@contextmanager
def people_at(
    server: Server, address: str, set_up: Callable[[str], object] = set_up_roles
) -> Iterator[dict[str, str]]:
    """The address of one database for a person in each role, by the role's last word, with which
    their login ends too. Roles are the whole server's, so tests take turns at setting them up."""
    name = name_of(address)
    logins = {role.name: f"{name}_{role.name.removeprefix('longpole_')}" for role in ROLES}
    with server.connection() as turn:
        turn.execute("SELECT pg_advisory_lock(1)")
        set_up(address)
        for role, login in logins.items():
            turn.execute(f"CREATE ROLE {login} LOGIN IN ROLE {role}")
    try:
        yield {
            login.rpartition("_")[2]: server.address(name, user=login) for login in logins.values()
        }
    finally:
        with connection_to(address) as owner:
            owner.execute(f"DROP ROLE {', '.join(logins.values())}")
            owner.execute(f"DROP OWNED BY {', '.join(logins)}")


def server_of_the_tests() -> Server | None:
    address = os.environ.get(ADDRESS)
    return Server(address) if address else None


def name_of(address: str) -> str:
    return make_url(address).database or ""


def connection_to(address: str) -> psycopg.Connection[Any]:
    return psycopg.connect(address.replace("+psycopg", ""), autocommit=True)


def have_all_ended(address: str) -> bool:
    """Whether every session of the program ends by itself: none waits for somebody who types, and
    what each wrote is counted by then."""
    with connection_to(address) as other:
        return any(other.execute(_OF_OURS).fetchone() == (0,) for _ in range(10_000))


def empty(address: str) -> None:
    """Leave nothing in a database, as the server makes a new one."""
    with connection_to(address) as connection:
        connection.execute("DROP SCHEMA public CASCADE")
        connection.execute("CREATE SCHEMA public AUTHORIZATION pg_database_owner")
        connection.execute("GRANT USAGE ON SCHEMA public TO PUBLIC")
