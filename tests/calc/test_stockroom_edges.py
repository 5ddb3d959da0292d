"""Where a rule begins and ends: the unit, the day and the word at its edge."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from parts.calc.stockroom.steps import booking_of
from parts.calc.stockroom.undoing import reversals
from parts.errors import StepRefused
from parts.records.history import Failure
from tests.calc.stockrooms import DRIVE, EARLIER, TODAY, at_drive, known, moved, step

YESTERDAY, TOMORROW = TODAY - timedelta(days=1), TODAY + timedelta(days=1)
HERE: dict[str, Any] = {"crane": "C1", "position": "drive"}


def test_as_many_as_sit_there_are_exchanged_without_a_remark_and_one_more_is_remarked() -> None:
    two = at_drive(moved(5), position=replace(DRIVE, qty=2))

    assert booking_of(step("issue", 2, **HERE), two).notes == ()
    assert booking_of(step("issue", 3, **HERE), two).notes == ("3 taken where 2 sit",)


def test_a_failure_may_be_restored_on_the_day_on_which_it_happened() -> None:
    asked = step("issue", failed_on=EARLIER, restored_on=EARLIER, **HERE)
    (edit,) = [each for each in booking_of(asked, at_drive(moved(5))).edits
               if each.file == "failures"]  # fmt: skip

    assert isinstance(edit.after, Failure)
    assert (edit.after.failed_on, edit.after.restored_on) == (EARLIER, EARLIER)


def test_a_count_knows_what_came_between_it_and_today_and_nothing_that_lies_ahead() -> None:
    between = moved(-1, "issue", key="i", date=YESTERDAY)
    ahead = moved(2, "receipt", key="ahead", date=TOMORROW)
    booking = booking_of(step("count", 5, date=EARLIER), known(moved(5), between, ahead))

    assert booking.movements == ()
    assert booking.notes == ("issue of -1 came after the count (i)", "as the book says: 5")


@pytest.mark.parametrize(("found", "serial", "why"), [
    (2, "A1", "P1 A1 is in store by the book"),
    (0, "B2", "P1 B2 is not in store by the book"),
])  # fmt: skip
def test_a_serial_number_that_a_count_cannot_mean_is_told_as_it_stands_in_the_book(
    found: int, serial: str, why: str
) -> None:
    with pytest.raises(StepRefused, match=why):
        booking_of(step("count", found, serial=serial), known(moved(1, serial="A1")))


def test_an_undoing_leaves_no_later_day_short() -> None:
    taken_since = moved(-2, "issue", key="i", date=TODAY)
    received = moved(2, "receipt", key="in", date=EARLIER)

    with pytest.raises(StepRefused, match=f"would have ended {TODAY} with -2"):
        reversals("in", [received, taken_since], new_key="u", date=YESTERDAY)


def test_what_lies_in_one_store_makes_up_for_no_day_of_another() -> None:
    there = known(moved(1, store="crib", date=TODAY), moved(5, store="main"))

    with pytest.raises(StepRefused, match=f"P1 in crib would have ended {EARLIER} with -1"):
        booking_of(step("issue", store="crib", date=EARLIER), there)
