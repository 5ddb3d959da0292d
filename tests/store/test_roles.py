"""Every role may do what the records say and nothing else; the server itself is asked.

An action is tried on no row at all: the server looks at the right before it looks for rows.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, replace
from typing import Any

import psycopg
import pytest

from parts import errors
from parts.records.roles import ROLES, Role
from parts.records.stock import Movement
from parts.store.books import change_row, read_book, read_rows, write_rows
from parts.store.database import Database
from parts.store.postgres_roles import set_up_roles
from parts.store.schema import METADATA, TABLES
from parts.store.snapshots import read_snapshot
from tests.servers import Server, connection_to, name_of, people_at
from tests.store.conftest import fill
from tests.store.site_rows import DAY, ROWS

Connection = psycopg.Connection[Any]
Allowed = set[tuple[str, str]]
"""An action, and the table or the column that it is done to."""


@dataclass(frozen=True)
class Site:
    """A database with its roles, and for one person in each the address of it."""

    address: str
    people: dict[str, str]

    def seen_by(self, role: str) -> str:
        return self.people[role.removeprefix("longpole_")]


def set_up(address: str) -> None:
    with closing(Database.open(address)) as database:
        set_up_roles(database)
        set_up_roles(database)  # which changes nothing


@pytest.fixture(scope="module")
def site(server: Server) -> Iterator[Site]:
    with server.database() as address, people_at(server, fill(address), set_up) as people:
        yield Site(address, people)


def tries() -> Iterator[tuple[str, str, str]]:
    """Every action on every table and column: its name, what it is done to, the statement."""
    for table in METADATA.tables.values():
        name = table.name
        yield "read", name, f"SELECT * FROM {name}"  # noqa: S608
        yield "take out", name, f"DELETE FROM {name} WHERE false"  # noqa: S608
        yield "empty", name, f"TRUNCATE {name} CASCADE"
        yield "alter", name, f"ALTER TABLE {name} DISABLE TRIGGER USER"
        for column in table.columns:
            of = f"{name}.{column.name}"
            entry = f'INSERT INTO {name} ("{column.name}") SELECT NULL WHERE false'
            change = f'UPDATE {name} SET "{column.name}" = "{column.name}" WHERE false'  # noqa: S608
            yield "add", of, entry
            yield "change", of, change


def said_of(role: Role) -> Allowed:
    allowed = {("read", name) for name in METADATA.tables}
    for right in role.rights:
        columns = [column.name for column in METADATA.tables[right.table].columns]
        if right.adds:
            allowed |= {("add", f"{right.table}.{name}") for name in columns if name != "id"}
        if right.takes_out:
            allowed.add(("take out", right.table))
        allowed |= {("change", f"{right.table}.{name}") for name in right.changes}
    return allowed


def is_permitted(connection: Connection, statement: str) -> bool:
    try:
        with connection.transaction(force_rollback=True):
            connection.execute(statement)
    except psycopg.errors.InsufficientPrivilege:
        return False
    return True


@pytest.mark.parametrize("role", ROLES, ids=lambda role: role.name)
def test_a_role_may_do_what_is_said_of_it_and_nothing_else(site: Site, role: Role) -> None:
    with connection_to(site.seen_by(role.name)) as connection:
        allowed = {(act, of) for act, of, sql in tries() if is_permitted(connection, sql)}

    assert allowed == said_of(role)


@pytest.mark.parametrize(
    ("role", "sql"),
    [
        ("longpole_reading", "UPDATE site SET value = 'x'"),
        ("longpole_storeroom", "UPDATE offers SET unit_price = 1"),
        ("longpole_storeroom", "UPDATE orders SET unit_price = 1"),
        ("longpole_storeroom", "UPDATE balances SET qty = 99"),
        ("longpole_storeroom", "UPDATE positions SET load_bearing = false"),
        ("longpole_storeroom", "DELETE FROM observations"),
        ("longpole_purchasing", "INSERT INTO reservations (part, qty) VALUES ('P1', 1)"),
        ("longpole_purchasing", "UPDATE parts SET min_stock = 0"),
        ("longpole_maintenance", "INSERT INTO movements (part) VALUES ('P1')"),
        ("longpole_maintenance", "INSERT INTO postings (movement) VALUES (1)"),
        ("longpole_maintenance", "UPDATE longpole_form SET version_num = '1'"),
        ("longpole_maintenance", "CREATE TABLE mine (a int)"),
        ("longpole_storeroom", "SELECT longpole_post(m, '', 'them', '') FROM movements m"),
    ],
)
def test_nobody_works_in_the_trade_of_another(site: Site, role: str, sql: str) -> None:
    with connection_to(site.seen_by(role)) as connection:
        assert not is_permitted(connection, sql)


@pytest.mark.parametrize("column", ["id", "at", "who", "seal"])
def test_nobody_can_say_that_somebody_else_entered_a_movement(site: Site, column: str) -> None:
    with connection_to(site.seen_by("longpole_storeroom")) as connection:
        names = [name.name for name in TABLES["movements"].columns]
        table = "movements" if column in names else "postings"

        assert not is_permitted(connection, f'INSERT INTO {table} ("{column}") VALUES (NULL)')  # noqa: S608


@pytest.mark.parametrize("role", ROLES, ids=lambda role: role.name)
def test_every_role_can_ask_every_question(site: Site, role: Role) -> None:
    with closing(Database.open(site.seen_by(role.name))) as database:
        snapshot = read_snapshot(database, DAY)
        with database.reading() as connection:
            book = read_book(connection)

    assert len(snapshot.movements) == len(ROWS["movements"])
    assert all(len(book[name]) >= len(rows) for name, rows in ROWS.items())


def test_the_storeroom_enters_a_movement_in_its_own_name(site: Site) -> None:
    entered = Movement(date=DAY, part="P2", qty=2, kind="opening", store="A", by="boss", key="mine")
    with closing(Database.open(site.seen_by("longpole_storeroom"))) as database:
        with database.writing() as connection:
            write_rows(connection, "movements", [entered])
            position = read_rows(connection, "positions")[0]
            change_row(connection, "positions", position, replace(position, installed=DAY))
            order = read_rows(connection, "orders")[0]
            change_row(connection, "orders", order, replace(order, received_on=DAY))
        with pytest.raises(errors.NotPermitted, match="permission denied for table orders"):
            _change_price(database)
    with connection_to(site.address) as owner:
        posted = owner.execute(
            "SELECT who FROM postings JOIN movements ON id = movement WHERE key = 'mine'"
        ).fetchall()

    assert posted == [(f"{name_of(site.address)}_storeroom",)]


def _change_price(database: Database) -> None:
    with database.writing() as connection:
        order = read_rows(connection, "orders")[0]
        change_row(connection, "orders", order, replace(order, unit_price=1.0))


def test_a_right_that_was_given_past_the_records_is_taken_back(site: Site) -> None:
    with connection_to(site.address) as owner:
        owner.execute("GRANT UPDATE (qty) ON balances TO longpole_storeroom")
        owner.execute("GRANT DELETE ON cranes TO longpole_storeroom")
    with closing(Database.open(site.address)) as database:
        set_up_roles(database)
    with connection_to(site.seen_by("longpole_storeroom")) as connection:
        assert not is_permitted(connection, "UPDATE balances SET qty = 1")
        assert not is_permitted(connection, "DELETE FROM cranes")


def test_who_is_not_the_owner_sets_up_nothing(site: Site) -> None:
    with (
        closing(Database.open(site.seen_by("longpole_maintenance"))) as database,
        pytest.raises(errors.NotPermitted),
    ):
        set_up_roles(database)


def test_a_file_has_no_roles(file_database: Database) -> None:
    with pytest.raises(errors.NoRoles, match="who may open it may change it"):
        set_up_roles(file_database)
