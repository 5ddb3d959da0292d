"""Site books damaged at random end in faults or in one sentence, never in another exception."""

from __future__ import annotations

from fuzz_books import fuzz


def test_three_hundred_damaged_books_raise_nothing_unforeseen() -> None:
    outcomes, failures = fuzz(300, seed=20261125, children=2)

    assert failures == []
    assert sum(outcomes.values()) == 300
    assert {"folder: faults", "workbook: faults", "workbook: no site book"} < outcomes.keys()
