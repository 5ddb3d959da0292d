"""Steps in any order, refused ones among them; scripts/faults has the same in large."""

from __future__ import annotations

import pytest
from faults import model

from tests.faults import ledger_machine

STEPS, RUNS = 10_000, 5


@pytest.mark.parametrize("number", range(RUNS))
def test_whatever_steps_are_taken_the_ledger_says_what_lies_there(number: int) -> None:
    told = ledger_machine.run(STEPS // RUNS, number)

    assert told.total() * RUNS >= STEPS
    assert {"issue", "issue refused", "transfer", "count", "scrap", "undone"} <= told.keys()
    assert {"asked again", "key taken", "undoing asked again", "alteration found"} <= told.keys()


def test_movements_by_the_thousand_differ_in_nothing_from_a_dictionary() -> None:
    told = model.compared(2_000, seed=1)

    assert told["movements"] >= 2_000
    assert told["refused or empty"] > 100
    assert told["differences"] == 0
