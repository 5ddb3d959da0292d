"""A change by anybody is noticed once it is written, and only then."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path
from shutil import copyfile

import pytest

from parts.exchange.writer import write_site_book
from parts.services.books import load_book, load_demo
from parts.services.changes import Watch
from parts.store.database import Database
from tests.servers import connection_to, have_all_ended
from tests.services.storeroom import fill
from tests.tui.small_site import small_book


@pytest.fixture
def database(tmp_path: Path) -> str:
    write_site_book(small_book(), tmp_path / "book")
    where = str(tmp_path / "site.db")
    load_book(tmp_path / "book", where)
    return where


@pytest.fixture
def watch(database: str) -> Iterator[Watch]:
    watch = Watch(database)
    watch.mark()
    yield watch
    watch.close()


def write(database: str, note: str) -> None:
    with closing(Database.open(database)) as opened, opened.writing() as connection:
        connection.exec_driver_sql("UPDATE cranes SET name = ?", (note,))


def test_nothing_written_is_no_change(database: str, watch: Watch) -> None:
    with closing(Database.open(database)) as opened, opened.reading() as connection:
        connection.exec_driver_sql("SELECT * FROM cranes").all()

    assert not watch.changed()


def test_what_was_written_is_a_change_until_it_is_taken_as_seen(
    database: str, watch: Watch
) -> None:
    write(database, "other")

    assert watch.changed()
    assert watch.changed()
    watch.mark()
    assert not watch.changed()


def test_what_was_undone_is_no_change(database: str, watch: Watch) -> None:
    with (
        closing(Database.open(database)) as opened,
        suppress(ZeroDivisionError),
        opened.writing() as connection,
    ):
        connection.exec_driver_sql("UPDATE cranes SET name = 'other'")
        raise ZeroDivisionError

    assert not watch.changed()


def test_another_file_in_its_place_is_a_change(database: str, watch: Watch, tmp_path: Path) -> None:
    copyfile(database, tmp_path / "copy.db")
    (tmp_path / "copy.db").replace(database)

    assert watch.changed()
    watch.mark()
    write(database, "other")
    assert watch.changed()


def test_a_database_that_goes_away_is_no_change_and_one_that_comes_is(tmp_path: Path) -> None:
    where = str(tmp_path / "later.db")
    watch = Watch(where)
    watch.mark()

    assert not watch.changed()
    load_demo(where)
    assert watch.changed()
    watch.mark()
    Path(where).unlink()
    assert not watch.changed()
    watch.close()


def test_watching_keeps_nobody_from_writing(database: str, watch: Watch) -> None:
    for number in range(3):
        watch.changed()
        write(database, f"name {number}")

    assert watch.changed()


def test_a_server_tells_a_change_once_it_is_written_and_looking_leaves_nothing_open(
    nothing_on_server: str,
) -> None:
    watch = Watch(fill(nothing_on_server))
    assert have_all_ended(nothing_on_server)
    watch.mark()
    with connection_to(nothing_on_server) as other:
        other.execute("SELECT * FROM cranes")

        assert not watch.changed()
        other.execute("UPDATE cranes SET name = 'other'")
    assert any(watch.changed() for _ in range(1000))
    watch.mark()
    assert not watch.changed()
    assert have_all_ended(nothing_on_server)
    watch.close()
