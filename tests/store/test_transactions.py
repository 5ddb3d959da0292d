"""Every connection has the settings that are promised, and a transaction is kept whole or undone.

Settings: https://www.sqlite.org/pragma.html.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from threading import Thread

import pytest
from sqlalchemy import Connection
from sqlalchemy.exc import DBAPIError

from parts import errors
from parts.records.structure import Crane
from parts.store.books import read_rows, write_rows
from parts.store.database import Database, new_database
from parts.store.schema import FORM
from tests.store.site_rows import ROWS

PROMISED = {
    "busy_timeout": 5000,
    "foreign_keys": 1,
    "recursive_triggers": 1,
    "trusted_schema": 0,
    "cell_size_check": 1,
    "mmap_size": 0,
    "journal_mode": "truncate",
    "synchronous": 2,  # FULL
    "application_id": 0x4C506F6C,
    "user_version": FORM,
}
NEW = Crane(crane="C3")


def settings_of(connection: Connection) -> dict[str, object]:
    return {
        name: connection.exec_driver_sql(f"PRAGMA {name}").scalar_one_or_none() for name in PROMISED
    }


def test_every_connection_has_the_promised_settings(
    file_database: Database, tmp_path: Path
) -> None:
    found: list[dict[str, object]] = []

    def read() -> None:
        with file_database.reading() as connection:
            found.append(settings_of(connection))

    with file_database.reading():
        read()  # a second connection beside the first
    with file_database.writing() as connection:
        found.append(settings_of(connection))
    thread = Thread(target=read)
    thread.start()
    thread.join()
    with new_database(str(tmp_path / "new.db")) as new, new.writing() as connection:
        found.append(settings_of(connection))

    assert found == [PROMISED] * 4


def test_what_was_written_is_kept_when_all_went_well(database: Database) -> None:
    with database.writing() as connection:
        write_rows(connection, "cranes", [NEW])
    with database.reading() as connection:
        assert read_rows(connection, "cranes") == [*ROWS["cranes"], NEW]


def test_nothing_is_kept_when_something_failed(database: Database) -> None:
    def interrupted(_: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt), database.writing() as connection:
        write_rows(connection, "cranes", [NEW], progress=interrupted)
    with pytest.raises(errors.RowRefused), database.writing() as connection:
        write_rows(connection, "cranes", [NEW, *ROWS["cranes"]])
    with database.reading() as connection:
        assert read_rows(connection, "cranes") == ROWS["cranes"]


def test_a_refusal_repeats_no_value_of_the_row(database: Database) -> None:
    with pytest.raises(errors.RowRefused) as refusal, database.writing() as connection:
        write_rows(connection, "cranes", [Crane(crane="C3", name="secret", cover_share=2.0)])

    assert "ck_cranes_cover_share" in str(refusal.value)
    assert "secret" not in str(refusal.value)
    assert "secret" not in str(refusal.value.__cause__)


def test_reading_cannot_write(database: Database) -> None:
    with pytest.raises(errors.DatabaseUnwritable), database.reading() as connection:
        write_rows(connection, "cranes", [NEW])


def test_a_view_does_not_move_while_it_is_read(file_database: Database) -> None:
    with file_database.reading() as view:
        before = read_rows(view, "suppliers")
        assert view.exec_driver_sql("SELECT count(*) FROM cranes").scalar_one() == 2
        with pytest.raises(errors.DatabaseBusy):  # a reader holds up the end of a writing
            _write_impatiently(file_database)

        assert read_rows(view, "suppliers") == before


def _write_impatiently(database: Database) -> None:
    with database.writing() as connection:
        connection.exec_driver_sql("PRAGMA busy_timeout = 1")
        write_rows(connection, "cranes", [NEW])


def test_a_full_disk_leaves_the_database_as_it_was(file_database: Database) -> None:
    with pytest.raises(errors.DatabaseUnwritable, match="the disk is full"):
        _write_with_little_room(file_database)
    with file_database.reading() as connection:
        assert read_rows(connection, "cranes") == ROWS["cranes"]


def _write_with_little_room(database: Database) -> None:
    many = [Crane(crane=f"D{number}", name="x" * 5000) for number in range(100)]
    with database.writing() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar_one()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages + 3}")
        write_rows(connection, "cranes", many)


def test_a_fault_of_the_program_is_not_dressed_up(database: Database) -> None:
    with pytest.raises(DBAPIError), database.reading() as connection:
        connection.exec_driver_sql("SELECT nonsense FROM cranes")


def test_opening_does_not_wait_for_the_migrations_library(where: str) -> None:
    asked = (
        "import sys; from parts.store.database import Database; Database.open(sys.argv[1]); "
        "sys.exit('alembic' in sys.modules)"
    )

    assert subprocess.run([sys.executable, "-c", asked, where], check=False).returncode == 0
