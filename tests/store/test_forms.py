"""An older database is brought to the newest form, after a copy of it was kept."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, create_engine

from parts import errors
from parts.records.structure import Crane
from parts.store import forms
from parts.store.books import write_rows
from parts.store.database import Database
from parts.store.schema import APPLICATION_ID, FORM, METADATA
from tests.store.conftest import fill, permissions_count

DEFINITIONS = (
    "SELECT type, name, tbl_name, sql FROM sqlite_master "
    "WHERE tbl_name <> 'alembic_version' ORDER BY type, name"
)


@pytest.fixture
def older(tmp_path: Path) -> Path:
    """A database from before the first migration: ours by its header, and without a table."""
    file = tmp_path / "site.db"
    with closing(sqlite3.connect(file)) as connection:
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    return file


def form_in(file: Path) -> int:
    with closing(sqlite3.connect(file)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        return int(connection.execute("PRAGMA user_version").fetchone()[0])


def test_the_migrations_leave_exactly_the_tables_of_the_records(where: str, tmp_path: Path) -> None:
    again = fill(str(tmp_path / "again.db"))  # the tests say what the migrations said to the first
    engine = create_engine(f"sqlite:///{tmp_path / 'tables.db'}")
    METADATA.create_all(engine)
    engine.dispose()
    with (
        closing(sqlite3.connect(where)) as migrated,
        closing(sqlite3.connect(again)) as said_again,
        closing(sqlite3.connect(tmp_path / "tables.db")) as made,
    ):
        expected = made.execute(DEFINITIONS).fetchall()

        assert migrated.execute(DEFINITIONS).fetchall() == expected
        assert said_again.execute(DEFINITIONS).fetchall() == expected


def test_the_form_is_the_number_of_the_newest_migration(raw: sqlite3.Connection) -> None:
    config = Config()
    config.set_main_option("script_location", str(Path(forms.__file__).parent / "migrations"))

    assert ScriptDirectory.from_config(config).get_heads() == [f"{FORM:04}"]
    assert raw.execute("SELECT version_num FROM alembic_version").fetchall() == [(f"{FORM:04}",)]
    assert raw.execute("PRAGMA user_version").fetchone() == (FORM,)


def test_an_older_database_is_renewed_beside_a_copy_of_it(older: Path) -> None:
    before = older.read_bytes()
    database = Database.open(str(older))
    with database.writing() as connection:
        write_rows(connection, "cranes", [Crane(crane="C1")])

    assert form_in(older) == FORM
    copy = older.with_name("site-form-0.db")
    assert form_in(copy) == 0
    assert copy.read_bytes()[100:] == before[100:]
    assert copy.stat().st_mode & 0o077 == 0


def test_an_earlier_copy_is_not_written_over(older: Path) -> None:
    earlier = older.with_name("site-form-0.db")
    earlier.write_bytes(b"precious")
    Database.open(str(older))

    assert earlier.read_bytes() == b"precious"
    assert form_in(older.with_name("site-form-0-2.db")) == 0


def test_without_room_for_a_copy_the_database_stays_as_it_is(older: Path) -> None:
    before = older.read_bytes()
    older.parent.chmod(0o500)
    with permissions_count(), pytest.raises(errors.DatabaseUnwritable, match="no copy could be"):
        Database.open(str(older))
    older.parent.chmod(0o700)

    assert older.read_bytes() == before
    assert [file.name for file in older.parent.iterdir()] == [older.name]


def test_a_renewal_that_fails_leaves_the_older_form(
    older: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    renew = forms.renew

    def renew_and_fail(connection: Connection) -> None:
        renew(connection)
        raise KeyboardInterrupt

    monkeypatch.setattr(forms, "renew", renew_and_fail)
    with pytest.raises(KeyboardInterrupt):
        Database.open(str(older))
    monkeypatch.undo()

    assert form_in(older) == 0
    with closing(sqlite3.connect(older)) as connection:
        assert connection.execute("SELECT count(*) FROM sqlite_master").fetchone() == (0,)
    Database.open(str(older))
    assert form_in(older) == FORM
