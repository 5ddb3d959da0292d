"""On a server too, what was entered stays, and who entered it is told by the server.

Plain SQL is used throughout, as the owner, who may do more than anybody else.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from contextlib import closing
from typing import Any

import psycopg
import pytest

from parts.records.book import FILES_BY_NAME
from parts.records.ledger import Stamp
from parts.store.database import Database
from parts.store.postgres_guards import ONLY_ADDED
from parts.store.seals import FIRST, seal
from parts.store.soundness import damage_of
from tests.servers import connection_to
from tests.store.conftest import fill

Connection = psycopg.Connection[Any]
INSERT = "INSERT INTO movements (date, part, qty, kind, store, note, key) VALUES "
CHANGE = "INSERT INTO changes (at, who, place, file, key) VALUES ('then', 'me', 'here', 'f', 'k')"
COUNT = (
    "INSERT INTO counts (sheet, part, store, counted_on, counted, book, at, who, place) "
    "VALUES ('S', 'P1', '', '2024-02-29', 0, 0, 'then', 'me', 'here')"
)


@pytest.fixture
def owner(on_server: str) -> Iterator[Connection]:
    with connection_to(on_server) as connection:
        connection.execute(CHANGE)
        connection.execute(COUNT)
        yield connection


@pytest.mark.parametrize("table", ONLY_ADDED)
@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE {} SET {} = {}",
        "DELETE FROM {}",
        "TRUNCATE {} CASCADE",
        "TRUNCATE cranes, {} CASCADE",
    ],
)
def test_what_was_entered_is_never_changed_or_removed(
    owner: Connection, table: str, sql: str
) -> None:
    column = owner.execute(f"SELECT * FROM {table}").description[0].name  # type: ignore[index]  # noqa: S608
    before = owner.execute(f"SELECT * FROM {table}").fetchall()  # noqa: S608
    with pytest.raises(psycopg.errors.RestrictViolation, match="are only ever added"):
        owner.execute(sql.format(table, column, column))

    assert before
    assert owner.execute(f"SELECT * FROM {table}").fetchall() == before  # noqa: S608


@pytest.mark.parametrize(
    ("sql", "refusal"),
    [
        (
            INSERT + "('2024-02-29', 'P1', 9, 'count', NULL, NULL, 'b') "
            "ON CONFLICT (key) DO UPDATE SET qty = 9",
            psycopg.errors.RestrictViolation,
        ),
        (
            INSERT + "('2024-02-29', 'P1', 9, 'count', NULL, NULL, 'b')",
            psycopg.errors.UniqueViolation,
        ),
        (
            INSERT + "('2024-02-29', 'P1', -1, 'issue', NULL, NULL, 'n')",
            psycopg.errors.CheckViolation,
        ),
        ("UPDATE balances SET qty = -1", psycopg.errors.CheckViolation),
    ],
)
def test_no_movement_takes_anothers_place_and_no_balance_falls_below_nothing(
    owner: Connection, sql: str, refusal: type[Exception]
) -> None:
    asked = "SELECT * FROM movements, balances"
    before = owner.execute(asked).fetchall()
    with pytest.raises(refusal):
        owner.execute(sql)

    assert owner.execute(asked).fetchall() == before


def test_a_repeated_key_that_is_passed_over_leaves_no_posting(owner: Connection) -> None:
    before = owner.execute("SELECT count(*) FROM postings").fetchall()
    owner.execute(
        INSERT + "('2024-02-29', 'P1', 9, 'count', NULL, NULL, 'b') ON CONFLICT DO NOTHING"
    )

    assert owner.execute("SELECT count(*) FROM postings").fetchall() == before


def test_the_server_tells_who_and_when(owner: Connection) -> None:
    owner.execute(INSERT + "('2024-02-29', 'P2', 3, 'opening', 'A', 'x', 'n')")
    now = datetime.datetime.now(datetime.UTC)
    stamps = [
        row
        for table in ("postings", "changes", "counts")
        for row in owner.execute(
            f"SELECT at, who, place FROM {table} ORDER BY at DESC LIMIT 1"  # noqa: S608
        )
    ]

    assert len(stamps) == 3
    for at, who, place in stamps:
        entered = datetime.datetime.strptime(at, "%Y-%m-%dT%H:%M:%S%z")
        assert abs(now - entered) < datetime.timedelta(minutes=5)
        assert who == owner.info.user
        assert place == "the server"


AWKWARD = [
    "('0001-01-01', 'P2', 9007199254740993, 'opening', 'Süd, 1:2', E'a\\nb''c\\\\', 'k,1')",
    "('9999-12-31', 'P2', -9007199254740993, 'issue', 'Süd, 1:2', '–', '2:k')",
    "('2024-02-29', 'P2', 1, 'opening', NULL, '🪝 e\u0301', '3')",
]


def test_the_servers_seals_are_those_that_the_program_reckons(owner: Connection) -> None:
    owner.execute("SET datestyle = 'German'")
    for values in AWKWARD:
        owner.execute(INSERT + values)
    columns = ", ".join(f'm."{name}"' for name in FILES_BY_NAME["movements"].header)
    rows = owner.execute(
        f"SELECT p.number, p.at, p.who, p.place, p.seal, {columns} "  # noqa: S608
        "FROM postings p JOIN movements m ON m.id = p.movement ORDER BY m.id"
    ).fetchall()
    last: dict[tuple[str, str], tuple[int, str]] = {}
    for number, at, who, place, sealed, *stored in rows:
        day, part, store = stored[0].isoformat(), stored[1], stored[4] or ""
        before = last.get((part, store), (0, FIRST))
        expected = seal(before[1], number, Stamp(at, who, place), [day, *stored[1:]])

        assert number == before[0] + 1
        assert sealed == expected
        last[part, store] = (number, sealed)
    balances = owner.execute("SELECT part, store, movements, seal FROM balances").fetchall()

    assert {(part, store): (count, sealed) for part, store, count, sealed in balances} == last
    assert len(rows) >= len(AWKWARD) + 3


def test_a_table_of_ones_own_does_not_stand_in_for_the_ledger(owner: Connection) -> None:
    owner.execute("CREATE TEMP TABLE balances (part text, store text, qty int)")
    owner.execute("CREATE TEMP TABLE postings (movement int)")
    owner.execute("SET search_path = pg_temp, public")
    owner.execute(INSERT + "('2024-02-29', 'P2', 3, 'opening', 'A', 'x', 'n')")

    assert owner.execute("SELECT qty FROM public.balances WHERE part = 'P2'").fetchall() == [(3,)]
    assert owner.execute("SELECT count(*) FROM postings").fetchall() == [(0,)]


@pytest.mark.parametrize(
    ("sql", "guards"),
    [
        ("SELECT", set()),
        ("DROP TRIGGER changes_stamped ON changes", {"changes_stamped"}),
        (
            "ALTER TABLE movements DISABLE TRIGGER USER",
            {"movements_only_added", "movements_entered"},
        ),
        (
            "CREATE OR REPLACE FUNCTION longpole_refuse() RETURNS trigger LANGUAGE plpgsql "
            "AS 'BEGIN RETURN NEW; END'",
            {"longpole_refuse"},
        ),
    ],
)
def test_guards_that_the_owner_took_away_are_missed(
    nothing_on_server: str, sql: str, guards: set[str]
) -> None:
    fill(nothing_on_server)
    with connection_to(nothing_on_server) as connection:
        connection.execute(sql)
    with closing(Database.open(nothing_on_server)) as opened, opened.reading() as reading:
        found = [damage.subject for damage in damage_of(reading)]

    assert set(found) == guards
    assert len(found) == len(guards)
