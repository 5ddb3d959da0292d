"""A new database is there whole or not at all."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from parts import errors
from parts.records.structure import Crane
from parts.store.books import Progress, read_rows, write_rows
from parts.store.database import Database, new_database
from tests.store.conftest import permissions_count

CRANES = [Crane(crane="C1")]


def make(where: Path, progress: Progress | None = None) -> None:
    with new_database(str(where)) as database, database.writing() as connection:
        write_rows(connection, "cranes", CRANES, progress=progress)


def names(folder: Path) -> list[str]:
    return sorted(file.name for file in folder.iterdir())


@pytest.mark.parametrize("umask", [0o000, 0o022])
def test_only_its_owner_may_read_it(tmp_path: Path, umask: int) -> None:
    outer = os.umask(umask)
    try:
        make(tmp_path / "site.db")
    finally:
        os.umask(outer)

    assert (tmp_path / "site.db").stat().st_mode & 0o777 == 0o600


def test_it_holds_nothing_until_it_is_filled(tmp_path: Path) -> None:
    with new_database(str(tmp_path / "site.db")) as database:
        with database.reading() as connection:
            assert read_rows(connection, "cranes") == []
        with database.writing() as connection:
            write_rows(connection, "cranes", CRANES)
        with database.reading() as connection:
            assert read_rows(connection, "cranes") == CRANES


def test_it_has_no_name_until_it_is_whole(tmp_path: Path) -> None:
    with new_database(str(tmp_path / "site.db")):
        assert "site.db" not in names(tmp_path)

    assert names(tmp_path) == ["site.db"]


@pytest.mark.parametrize("failure", [RuntimeError, KeyboardInterrupt])
def test_nothing_is_left_of_it_when_filling_fails(
    tmp_path: Path, failure: type[BaseException]
) -> None:
    def fail(_: int) -> None:
        raise failure

    with pytest.raises(failure):
        make(tmp_path / "site.db", progress=fail)

    assert names(tmp_path) == []


@pytest.mark.parametrize("there", [b"", b"crane,name\n"])
def test_a_file_that_is_there_is_not_replaced(tmp_path: Path, there: bytes) -> None:
    (tmp_path / "site.db").write_bytes(there)

    with pytest.raises(errors.DatabaseExists):
        make(tmp_path / "site.db")
    assert (tmp_path / "site.db").read_bytes() == there
    assert names(tmp_path) == ["site.db"]


def test_a_file_that_came_meanwhile_is_not_replaced(tmp_path: Path) -> None:
    with pytest.raises(errors.DatabaseExists), new_database(str(tmp_path / "site.db")):
        (tmp_path / "site.db").write_bytes(b"came first")

    assert (tmp_path / "site.db").read_bytes() == b"came first"
    assert names(tmp_path) == ["site.db"]


def test_the_journal_of_a_database_that_is_gone_is_not_worked_into_it(tmp_path: Path) -> None:
    journal = tmp_path / "site.db-journal"
    journal.write_bytes(b"of another")

    with pytest.raises(errors.DatabaseUnwritable, match=r"site\.db-journal of an older one"):
        make(tmp_path / "site.db")
    assert journal.read_bytes() == b"of another"
    journal.write_bytes(b"")
    make(tmp_path / "site.db")


def test_a_missing_or_read_only_folder_says_so(tmp_path: Path) -> None:
    with pytest.raises(errors.DatabaseUnwritable, match="No such file"):
        make(tmp_path / "none" / "site.db")
    tmp_path.chmod(0o500)
    with permissions_count(), pytest.raises(errors.DatabaseUnwritable, match="Permission denied"):
        make(tmp_path / "site.db")
    tmp_path.chmod(0o700)

    assert names(tmp_path) == []


def test_what_a_dead_process_left_is_swept_and_what_a_live_one_makes_is_not(tmp_path: Path) -> None:
    gone = subprocess.Popen([sys.executable, "-c", ""])
    gone.wait()
    stray, other = tmp_path / f".site.db-x.{gone.pid}.new", tmp_path / f".b.db-x.{gone.pid}.new"
    in_work = tmp_path / f".site.db-y.{os.getpid()}.new"
    for file in (stray, tmp_path / f"{stray.name}-journal", other, in_work):
        file.touch()
    make(tmp_path / "site.db")

    assert names(tmp_path) == sorted([other.name, in_work.name, "site.db"])


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such names")
@pytest.mark.parametrize(
    "name", ["a?b#c%20d.db", "größe [1]*.db", "it's; drop.db", os.fsdecode(b"\xff.db")]
)
def test_any_name_that_a_file_may_have_will_do(tmp_path: Path, name: str) -> None:
    make(tmp_path / name)
    with Database.open(str(tmp_path / name)).reading() as connection:
        assert read_rows(connection, "cranes") == CRANES
