"""The tables refuse by themselves what no program should have let through.

Plain SQL is used throughout, so that the program's own checks take no part.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable

import psycopg
import pytest

from parts.records.book import BOOK_FILES
from parts.store.schema import TABLES
from tests.servers import connection_to
from tests.store.conftest import Refusal

Refused = Callable[[str], str]


def setting(table: str, column: str, value: str) -> str:
    return f"UPDATE {table} SET {column} = {value}"  # noqa: S608 - a test's own words


def test_every_file_has_a_strict_table_with_its_columns(raw: sqlite3.Connection) -> None:
    strict = {
        name
        for _, name, kind, _, _, is_strict in raw.execute("PRAGMA table_list")
        if kind == "table" and is_strict
    }
    columns = {
        name: tuple(row[1] for row in raw.execute(f"PRAGMA table_info({name})") if row[1] != "id")
        for name in strict
    }

    of_the_book = {book_file.name: book_file.header for book_file in BOOK_FILES}
    beside_it = {"postings", "balances", "counts", "changes"}
    assert {name: columns.get(name) for name in of_the_book} == of_the_book
    assert strict - of_the_book.keys() == beside_it


@pytest.mark.parametrize(
    ("table", "column", "value"),
    [
        ("positions", "qty", "'many'"),
        ("positions", "qty", "1.5"),
        ("positions", "load_bearing", "'yes'"),
        ("parts", "unit_cost", "'cheap'"),
        ("parts", "min_stock", "x'00'"),
        ("cranes", "bay", "x'00'"),
    ],
)
def test_a_value_of_the_wrong_type_is_refused(
    refused: Refused, table: str, column: str, value: str
) -> None:
    assert "cannot store" in refused(setting(table, column, value))


@pytest.mark.parametrize(
    ("table", "column", "value"),
    [
        ("positions", "qty", "0"),
        ("positions", "qty", "-1"),
        ("positions", "failures_per_year", "-0.001"),
        ("functions", "lost_share", "0"),
        ("functions", "lost_share", "1.001"),
        ("cranes", "cover_share", "-0.1"),
        ("cranes", "hours_per_year", "8784.1"),
        ("cranes", "capacity_t", "1.5e308"),
        ("cranes", "crane", "''"),
        ("cranes", "name", "''"),
        ("cranes", "name", f"'{'x' * 10_001}'"),
        ("currencies", "rate", "0"),
        ("offers", "kind", "'New'"),
        ("offers", "unit", "'days'"),
        ("duty", '"group"', "'M9'"),
        ("notices", "kind", "''"),
        ("reservations", '"for"', "''"),
        ("orders", '"order"', "''"),
    ],
)
def test_a_value_outside_its_bounds_is_refused(
    refusal: Refusal, table: str, column: str, value: str
) -> None:
    rule, words = refusal(setting(table, column, value))

    assert rule == "value"
    assert f"ck_{table}_" in words


def test_a_flag_is_yes_or_no(refused: Refused) -> None:
    assert "ck_positions_load_bearing" in refused(setting("positions", "load_bearing", "2"))


@pytest.mark.parametrize(
    "day",
    [
        "'2025-02-30'",
        "'2025-02-29'",
        "'2025-2-3'",
        "'2025-02-03 '",
        "'20250203'",
        "'0000-01-01'",
        "'2460000'",
        "'soon'",
    ],
)
def test_a_day_is_a_day_as_it_is_written(refused: Refused, day: str) -> None:
    found = refused(setting("cranes", "commissioned", day))

    assert "SQLITE_CONSTRAINT_CHECK: CHECK constraint failed: ck_cranes_commissioned" in found


@pytest.mark.parametrize(
    "day", ["'infinity'", "'0001-01-01 BC'", "'10000-01-01'", "'2025-02-29'", "'soon'"]
)
def test_a_day_on_a_server_is_one_of_our_calendar(on_server: str, day: str) -> None:
    with connection_to(on_server) as connection, pytest.raises(psycopg.Error) as found:
        connection.execute(setting("cranes", "commissioned", day))

    assert found.value.sqlstate in {"23514", "22007", "22008"}


@pytest.mark.parametrize(
    ("table", "column"),
    [("cranes", "crane"), ("positions", "qty"), ("orders", "ordered_on"), ("scores", "points")],
)
def test_what_must_be_known_is_never_blank(refusal: Refusal, table: str, column: str) -> None:
    assert refusal(setting(table, column, "NULL"))[0] == "blank"


@pytest.mark.parametrize(
    "sql",
    [
        "INSERT INTO offers (supplier, part, kind, order_cost, min_qty, unit) "
        "VALUES ('S1', 'P1', 'new', 0, 1, 'd')",
        "INSERT INTO notices (part, notice_on) VALUES ('P1', '2024-02-29')",
        "INSERT INTO cranes (crane, cover_share) VALUES ('C1', 0)",
        "INSERT INTO holidays (date) VALUES ('2024-02-29')",
    ],
)
def test_a_key_comes_once_even_where_a_part_of_it_is_blank(refusal: Refusal, sql: str) -> None:
    assert refusal(sql)[0] == "repeated"


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE functions SET crane = 'C9'",
        "UPDATE positions SET parent = 'Z' WHERE position = 'A'",
        "UPDATE positions SET part = 'P9'",
        "UPDATE companions SET companion = 'P9'",
        "UPDATE substitutes SET substitute = 'P9'",
        "UPDATE offers SET supplier = 'S9'",
        "UPDATE notices SET supplier = 'S9' WHERE kind > ''",
        "UPDATE failures SET position = 'Z'",
        "UPDATE failures SET crane = 'C2'",
        "UPDATE observations SET position = 'Z'",
        "UPDATE upgrade_effects SET upgrade = 'U9'",
        "UPDATE upgrade_effects SET new_part = 'P9'",
        "DELETE FROM positions WHERE position = 'B' AND crane = 'C1'",
        "DELETE FROM cranes",
    ],
)
def test_a_reference_to_nothing_is_refused(refusal: Refusal, change: str) -> None:
    assert refusal(change)[0] == "reference"


def test_a_reference_may_be_to_what_comes_later_in_the_transaction(
    raw: sqlite3.Connection, refused: Refused
) -> None:
    raw.execute("BEGIN")
    raw.execute("UPDATE functions SET crane = 'C9'")

    assert "SQLITE_CONSTRAINT_FOREIGNKEY" in refused("COMMIT")


def test_every_reference_to_a_whole_key_is_kept_by_the_database() -> None:
    kept = {
        f"{key.parent.name}.{key.column_keys[-1]}"
        for table in TABLES.values()
        for key in table.foreign_key_constraints
    }
    referring = {
        f"{book_file.name}.{column.name}"
        for book_file in BOOK_FILES
        for column in book_file.columns
        if column.refers_to and not column.many
    }

    assert referring - kept == {"parts.default_route", "offers.route", "movements.order"}
    assert kept <= referring


def test_every_rule_has_a_name(raw: sqlite3.Connection) -> None:
    definitions = [sql for (sql,) in raw.execute("SELECT sql FROM sqlite_master WHERE sql > ''")]

    for sql in definitions:
        for rule in ("CHECK (", "FOREIGN KEY(", "UNIQUE (", "PRIMARY KEY ("):
            lines = [line for line in sql.splitlines() if rule in line]
            assert all("CONSTRAINT " in line.split(rule)[0] for line in lines)
