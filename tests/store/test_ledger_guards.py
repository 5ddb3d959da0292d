"""Movements are only ever added, whatever SQL is sent.

INSERT OR REPLACE deletes without firing a DELETE trigger unless recursive triggers are on
(https://www.sqlite.org/lang_conflict.html, "REPLACE"); here it is refused either way.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable

import pytest

from parts import errors
from parts.records.stock import Movement
from parts.store.books import read_rows, write_rows
from parts.store.database import Database
from tests.store.site_rows import DAY, ROWS

REPLACE = "INSERT OR REPLACE INTO movements (id, date, part, qty, kind, key, reverses) VALUES "
INSERT = "INSERT INTO movements (date, part, qty, kind, key) VALUES "


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE movements SET qty = 3",
        "UPDATE movements SET note = 'x' WHERE key = 'b'",
        "UPDATE OR REPLACE movements SET key = 'b'",
        "DELETE FROM movements",
        "DELETE FROM movements WHERE key = 'b'",
        REPLACE + "(1, '2024-02-29', 'P1', 99, 'opening', 'new', NULL)",
        REPLACE + "(NULL, '2024-02-29', 'P1', 99, 'opening', 'z first', NULL)",
        REPLACE + "(NULL, '2024-02-29', 'P1', -2, 'reversal', 'new', 'z first')",
        INSERT + "('2024-02-29', 'P1', 99, 'opening', 'b')",
        INSERT + "('2024-02-29', 'P1', 9, 'count', 'b') ON CONFLICT (key) DO UPDATE SET qty = 9",
        INSERT + "('2024-02-29', 'P1', 9, 'count', 'b') ON CONFLICT DO NOTHING",
    ],
)
@pytest.mark.parametrize("recursive", ["ON", "OFF"])
def test_a_movement_is_never_changed_removed_or_replaced(
    raw: sqlite3.Connection, refused: Callable[[str], str], sql: str, recursive: str
) -> None:
    raw.execute(f"PRAGMA recursive_triggers = {recursive}")
    before = raw.execute("SELECT * FROM movements").fetchall()

    assert "movements are only ever added" in refused(sql)
    assert raw.execute("SELECT * FROM movements").fetchall() == before


def test_a_movement_is_reversed_once(database: Database) -> None:
    again = Movement(
        date=DAY, part="P1", qty=-2, kind="reversal", reverses="z first", key="another"
    )

    with pytest.raises(errors.RowRefused), database.writing() as connection:
        write_rows(connection, "movements", [again])


def test_a_reversal_names_a_movement_that_exists(database: Database) -> None:
    of_nothing = Movement(date=DAY, part="P1", qty=1, kind="reversal", reverses="none", key="r")

    with pytest.raises(errors.RowRefused), database.writing() as connection:
        write_rows(connection, "movements", [of_nothing])


def test_movements_come_back_in_the_order_of_their_entry(database: Database) -> None:
    with database.reading() as connection:
        assert read_rows(connection, "movements") == ROWS["movements"]


def test_asking_to_change_a_movement_is_a_fault_of_the_program(database: Database) -> None:
    with pytest.raises(ValueError, match="only ever added"), database.writing() as connection:
        write_rows(connection, "movements", [], ROWS["movements"])
