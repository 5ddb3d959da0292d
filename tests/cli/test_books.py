"""Loading and saving on the command line: all or nothing, and the same again."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Say


def test_a_question_without_a_database_makes_none(say: Say, tmp_path: Path) -> None:
    said = say("outage", "--db", tmp_path / "typo.db")

    assert said.status == 2
    assert "no database at" in said.err
    assert list(tmp_path.iterdir()) == []


def test_a_sound_book_is_loaded_and_answered(say: Say, book: Path, tmp_path: Path) -> None:
    database = tmp_path / "site.db"
    loaded = say("load", book, "--db", database, "--json")
    (position,) = say("outage", "--db", database, "--json").document["positions"]

    assert loaded.status == 0
    assert loaded.document["added"]["positions"] == 1
    assert position["restore_days"] == 31.0
    assert position["assumed"] is True
    assert position["cost"] == 31000.0


def test_the_same_book_twice_changes_nothing(say: Say, book: Path, tmp_path: Path) -> None:
    database = tmp_path / "site.db"
    say("load", book, "--db", database)
    again = say("load", book, "--db", database, "--json")

    assert again.status == 0
    assert again.document["added"] == {}
    assert again.document["updated"] == {}


def test_a_dry_run_writes_nothing(say: Say, book: Path, tmp_path: Path) -> None:
    said = say("load", book, "--db", tmp_path / "site.db", "--dry-run")

    assert said.status == 0
    assert "Would load" in said.out
    assert not (tmp_path / "site.db").exists()


def test_the_first_fault_is_told_with_the_number_of_others(
    say: Say, book: Path, tmp_path: Path
) -> None:
    (book / "parts.csv").write_text("part,unit_cost\nP1,abc\nP2,-1\n", encoding="utf-8")
    said = say("load", book, "--db", tmp_path / "site.db")

    assert said.status == 2
    assert said.out == ""
    assert said.err == ("parts.csv row 2 column unit_cost: 'abc' is not a number and 1 more\n")
    assert not (tmp_path / "site.db").exists()


def test_a_dry_run_tells_every_fault(say: Say, book: Path, tmp_path: Path) -> None:
    (book / "parts.csv").write_text("part,unit_cost\nP1,abc\nP2,-1\n", encoding="utf-8")
    said = say("load", book, "--db", tmp_path / "site.db", "--dry-run")

    assert said.status == 2
    assert len(said.err.splitlines()) == 2


def test_a_faulty_book_leaves_a_full_database_as_it_was(
    say: Say, book: Path, tmp_path: Path
) -> None:
    database = tmp_path / "site.db"
    say("load", book, "--db", database)
    before = database.read_bytes()
    (book / "needs.csv").write_text("crane,item,needs\nC1,travel,nowhere\n", encoding="utf-8")
    said = say("load", book, "--db", database)

    assert said.status == 2
    assert "needs.csv row 2 column needs" in said.err
    assert database.read_bytes() == before


@pytest.mark.parametrize("name", ["saved", "saved.xlsx"])
def test_saving_loading_and_saving_gives_the_same_bytes(
    say: Say, demo_database: Path, tmp_path: Path, name: str
) -> None:
    first, second = tmp_path / "1" / name, tmp_path / "2" / name
    first.parent.mkdir()
    second.parent.mkdir()
    say("save", first, "--db", demo_database)
    loaded = say("load", first, "--db", tmp_path / "again.db")
    say("save", second, "--db", tmp_path / "again.db")

    assert loaded.status == 0
    assert _bytes(first) == _bytes(second)


def _bytes(book: Path) -> dict[str, bytes]:
    files = sorted(book.iterdir()) if book.is_dir() else [book]
    return {path.name: path.read_bytes() for path in files}


def test_the_demo_is_not_loaded_over_something(say: Say, book: Path, tmp_path: Path) -> None:
    say("load", book, "--db", tmp_path / "site.db")
    said = say("demo", "--db", tmp_path / "site.db")

    assert said.status == 2
    assert "already holds data" in said.err


def test_an_empty_fleet_is_nothing_to_answer(say: Say, book: Path, tmp_path: Path) -> None:
    (book / "cranes.csv").write_text("crane,retire_on\nC1,2020-01-01\n", encoding="utf-8")
    say("load", book, "--db", tmp_path / "site.db")
    said = say("outage", "--db", tmp_path / "site.db")

    assert said.status == 1
    assert "No position on any live crane" in said.out
