"""A seal on paper: it stands as long as nothing before it was altered, whatever came after."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from parts.errors import LongpoleError
from parts.records.book import FILES_BY_NAME
from parts.records.ledger import Stamp
from parts.services import copies
from parts.store.seals import FIRST, seal
from tests.services.storeroom import take

COLUMNS = FILES_BY_NAME["movements"].header


def told(where: str, printed: str | None = None) -> list[str]:
    return [damage.sentence() for damage in copies.verify(where, printed).damage]


def test_a_seal_stands_whatever_is_booked_after_it(storeroom: str) -> None:
    printed = [copies.verify(storeroom).seal]
    for number in range(3):
        take(storeroom, "transfer", "COIL", 1, store="main", to_store="crib", key=f"k{number}")
        printed.append(copies.verify(storeroom).seal)

    assert len(set(printed)) == 4
    assert [told(storeroom, each) for each in printed] == [[]] * 4
    assert told(storeroom, f"  {printed[0].upper()}\n") == []


@pytest.mark.parametrize("text", ["", "abc", "12-abc", "-" + "0" * 64, "١-" + "0" * 64])
def test_what_is_no_seal_is_told(in_file: str, text: str) -> None:
    with pytest.raises(LongpoleError, match="is no seal as reports print them"):
        copies.verify(in_file, text)


def test_a_seal_of_another_database_or_of_more_movements_does_not_stand(in_file: str) -> None:
    number, _, sealed = copies.verify(in_file).seal.partition("-")

    assert told(in_file, f"{number}-{'0' * 64}") == [
        "history was rewritten: the first 6 movements are not those that were sealed"
    ]
    assert told(in_file, f"{int(number) + 1}-{sealed}")
    assert told(in_file, f"{int(number) - 1}-{sealed}")


def test_a_history_that_was_rewritten_whole_is_found_by_the_paper_alone(in_file: str) -> None:
    take(in_file, "issue", "COIL", 1)
    printed = copies.verify(in_file).seal
    take(in_file, "issue", "COIL", 1, key="later")
    rewrite(Path(in_file))

    assert told(in_file) == []
    assert told(in_file, printed) == [
        "history was rewritten: the first 7 movements are not those that were sealed"
    ]


def rewrite(path: Path) -> None:
    """Make an old issue of one coil another person's, and every seal after it right again."""
    with closing(sqlite3.connect(path)) as past:
        guards = past.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall()
        for name, _ in guards:
            past.execute(f"DROP TRIGGER {name}")
        past.execute("UPDATE movements SET \"by\" = 'somebody else' WHERE key = 'k'")
        names = ", ".join(f'm."{name}"' for name in COLUMNS)
        question = (
            f"SELECT p.movement, p.number, p.at, p.who, p.place, {names} FROM movements m "  # noqa: S608
            "JOIN postings p ON p.movement = m.id WHERE m.part = 'COIL' ORDER BY p.number"
        )
        before = FIRST
        for movement, number, at, who, place, *stored in past.execute(question).fetchall():
            before = seal(before, number, Stamp(at, who, place), stored)
            past.execute("UPDATE postings SET seal = ? WHERE movement = ?", (before, movement))
        past.execute("UPDATE balances SET seal = ? WHERE part = 'COIL'", (before,))
        for _, sql in guards:
            past.execute(sql)
        past.commit()
