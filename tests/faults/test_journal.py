"""What is told of a record that somebody else changed, and what the journal keeps."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from parts.errors import EditedMeanwhile, UnreadableValue
from parts.records.catalogue import Part
from parts.records.stock_steps import Edit
from parts.services import copies
from parts.store import journal
from parts.store.database import Database
from tests.faults.ledger_machine import tamper
from tests.services.storeroom import KEEPER, ROWS, take, undo

COIL: Part = ROWS["parts"][0]
STAMP = KEEPER.stamp()


def put(at: Path, before: Part | None, after: Part | None) -> None:
    with closing(Database.open(str(at))) as opened, opened.writing() as connection:
        journal.put(connection, Edit("parts", before, after), STAMP)


def test_only_what_differs_is_told_and_that_it_was_changed(at: Path) -> None:
    put(at, COIL, replace(COIL, min_stock=9))
    with pytest.raises(EditedMeanwhile) as told:
        put(at, COIL, replace(COIL, min_stock=1))

    assert told.value.differences == (("min_stock", "3", "9"),)
    assert "parts COIL was changed by somebody" in str(told.value)


@pytest.mark.parametrize("text", ["{", '"a text"', '{"min_stock": "n"}'])
def test_a_line_of_the_journal_that_cannot_be_read_is_told_in_words(at: Path, text: str) -> None:
    issue = take(str(at), "issue", "COIL", crane="C1", position="brake/coil")
    tamper(at, f"UPDATE changes SET after = '{text}' WHERE movement = '{issue.key}'")  # noqa: S608

    with pytest.raises(UnreadableValue, match=r"changes.* is damaged"):
        undo(str(at), issue.key)
    assert not copies.verify(str(at)).sound


def test_a_record_that_is_gone_is_told_as_taken_out(at: Path) -> None:
    dummy = Part(part="NEW")
    put(at, None, dummy)
    put(at, dummy, None)
    with pytest.raises(EditedMeanwhile, match="parts NEW was taken out by somebody") as told:
        put(at, dummy, replace(dummy, min_stock=1))

    assert told.value.differences == ()


def test_a_record_that_came_meanwhile_is_told_with_what_it_holds(at: Path) -> None:
    with pytest.raises(EditedMeanwhile, match="parts COIL was changed by somebody") as told:
        put(at, None, COIL)

    assert ("min_stock", "", "3") in told.value.differences
