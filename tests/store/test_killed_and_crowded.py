"""A process that is killed leaves all or nothing, and writers at the same time lose nothing.

A kill proves nothing about a power cut: what was handed to the system is written all the same.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

from parts import errors
from parts.records.book import Book
from parts.store.books import read_book
from parts.store.database import Database
from tests.store import adder, filler
from tests.store.site_rows import ROWS

ROOT = Path(__file__).parents[2]
ROUNDS = 10


def run(module: ModuleType, *arguments: str) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", module.__name__, *arguments]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=ROOT)


def kill_after(batch: int, how: str, where: str) -> None:
    """Start filling and kill it at once when it says that so many batches are written."""
    with run(filler, how, where) as process:
        assert process.stdout is not None
        for _ in range(batch + 1):
            assert process.stdout.readline()
        process.kill()


def finish(how: str, where: str) -> None:
    with run(filler, how, where) as process:
        process.communicate()
    assert process.returncode == 0


def book_in(where: str) -> Book:
    database = Database.open(where)
    with database.reading() as connection:
        return read_book(connection)


def is_whole(book: Book) -> bool:
    return len(book["positions"]) >= filler.BATCHES * filler.BATCH


def test_a_first_load_that_is_killed_leaves_no_database_and_can_be_repeated(tmp_path: Path) -> None:
    where = tmp_path / "site.db"
    for batch in range(ROUNDS):
        kill_after(batch, "new", str(where))
        if where.exists():  # killed after the last batch, it may have got to the end
            assert batch == filler.BATCHES - 1
            assert is_whole(book_in(str(where)))
            where.unlink()
    finish("new", str(where))

    assert is_whole(book_in(str(where)))
    assert [file.name for file in tmp_path.glob("*.new")] == []


@pytest.mark.parametrize("batch", [0, filler.BATCHES // 2])
def test_a_first_load_on_a_server_that_is_killed_leaves_it_empty_and_can_be_repeated(
    nothing_on_server: str, batch: int
) -> None:
    kill_after(batch, "new", nothing_on_server)
    with pytest.raises(errors.NoDatabase):
        book_in(nothing_on_server)
    finish("new", nothing_on_server)

    assert is_whole(book_in(nothing_on_server))


def test_a_load_on_a_server_that_is_killed_leaves_it_as_it_was(on_server: str) -> None:
    before = book_in(on_server)
    kill_after(filler.BATCHES // 2, "again", on_server)

    assert book_in(on_server) == before


def test_a_load_that_is_killed_leaves_the_database_as_it_was(where: str) -> None:
    before = book_in(where)
    for batch in range(ROUNDS):
        kill_after(batch, "again", where)
        after = book_in(where)
        if after != before:
            assert batch == filler.BATCHES - 1
            assert is_whole(after)
            return
    finish("again", where)

    assert is_whole(book_in(where))


def test_writers_at_the_same_time_lose_nothing(address: str) -> None:
    writers, times = 4, 100
    processes = [run(adder, address, str(times)) for _ in range(writers)]
    for process in processes:
        process.communicate()

    failed = [process for process in processes if process.returncode]

    part = book_in(address)["parts"][0]

    assert not failed
    assert part.min_stock == ROWS["parts"][0].min_stock + writers * times
