"""Figures and sentences are what a keeper would say, and what is not known is never nought.

No outside source: the thousands separator and the decimal point are those of the command line.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.records.answers import CraneOutage, PositionOutage, Step
from parts.records.states import State
from tui import formats, sentences

OUTAGE = PositionOutage(
    crane="HM-1",
    position="pinion",
    part="PIN-7",
    description="pinion shaft",
    state=State.DOWN,
    lost_share=1.0,
    restore_days=61.0,
    hands_on_days=1.0,
    lost_days=61.0,
    cost=None,
    assumed=False,
    hours_assumed=False,
    load_bearing=False,
    decide=None,
    replaced="pinion",
    fitted="PIN-7",
    functions_lost=("hoisting",),
    long_pole=(
        Step("PIN-7: turning", 20.0, record="routes R/turning"),
        Step("PIN-7: cut: teeth", 40.0, record="routes R/cut: teeth"),
        Step("hands-on at HM-1/pinion, 16 h", 1.0),
    ),
)
UNKNOWN = replace(
    OUTAGE, restore_days=None, lost_days=None, long_pole=(), reason="no part is recorded"
)


def test_what_is_not_known_is_never_nought() -> None:
    assert formats.days(None) == formats.money(None, "EUR") == formats.day(None) == "not known"


@pytest.mark.parametrize(
    ("value", "expected"),
    [(0.0, "0 days"), (0.01, "less than 0.1 days"), (1.0, "1 day"), (77.04, "77 days")],
)
def test_days_in_a_sentence(value: float, expected: str) -> None:
    assert formats.days_in_words(value) == expected


@pytest.mark.parametrize(
    ("value", "expected"),
    [(0.0, "0 EUR"), (12.5, "12.50 EUR"), (99.999, "100.00 EUR"), (1234567.8, "1,234,568 EUR")],
)
def test_money_has_separators_and_the_currency(value: float, expected: str) -> None:
    assert formats.money(value, "EUR") == expected


def test_money_without_a_currency_says_so() -> None:
    assert formats.money(5.0, None) == "5 (currency not set)"


@given(st.floats(0, 1, exclude_min=True))
def test_a_share_above_nothing_never_reads_as_nothing(value: float) -> None:
    assert formats.share(value) not in ("0 %", "0.0 %")


def test_dates_and_lists() -> None:
    assert formats.day(date(2026, 11, 25)) == "2026-11-25"
    assert formats.listed([]) == ""
    assert formats.listed(["a"]) == "a"
    assert formats.listed(("a", "b", "c")) == "a, b and c"
    assert formats.count(1, "crane") == "1 crane"
    assert formats.count(1200, "crane") == "1,200 cranes"


# Sentences


def test_a_route_is_one_wait_of_which_the_longest_operation_is_named() -> None:
    assert sentences.waits_for(OUTAGE) == "PIN-7: 2 operations"
    assert sentences.answer(OUTAGE) == (
        "If pinion breaks today, HM-1 stands still for 61 days, because PIN-7 needs 2 operations, "
        "60 days; the longest is cut: teeth, 40 days."
    )


def test_one_step_is_named_as_it_is() -> None:
    bought = (Step("PIN-7: new from S1", 9.0), Step("hands-on at HM-1/pinion, 16 h", 1.0))
    outage = replace(OUTAGE, long_pole=bought, restore_days=10.0)

    assert sentences.waits_for(outage) == "PIN-7: new from S1"
    assert sentences.answer(outage).endswith("10 days, because of PIN-7: new from S1, 9 days.")


def test_an_assembly_exchanged_instead_is_named() -> None:
    assert "gearbox is exchanged as a whole" in sentences.answer(
        replace(OUTAGE, replaced="gearbox")
    )


def test_nobody_knows_is_a_sentence_with_its_reason() -> None:
    assert sentences.waits_for(UNKNOWN) == "no part is recorded"
    assert sentences.answer(UNKNOWN) == (
        "If pinion breaks today, nobody knows when HM-1 is restored: no part is recorded."
    )


def test_a_part_of_the_work_lost_is_said_as_a_share() -> None:
    reduced = replace(OUTAGE, state=State.REDUCED, lost_share=0.3)

    assert "HM-1 loses 30 % of its work for 61 days" in sentences.answer(reduced)
    assert sentences.state_word(reduced) == "◆ reduced"


def test_a_twin_that_bears_load_is_never_said_to_be_in_service() -> None:
    twin = replace(OUTAGE, state=State.IN_SERVICE, lost_share=0.0, decide="bears load: ...")

    assert sentences.state_word(twin) == "◆ ask first"
    assert "its twin is all that is left on HM-1" in sentences.answer(twin)
    assert "loses no work" not in sentences.answer(twin)


def test_a_twin_that_bears_no_load_carries_on() -> None:
    twin = replace(OUTAGE, state=State.IN_SERVICE, lost_share=0.0)

    assert sentences.state_word(twin) == "● in service"
    assert "loses no work that is recorded" in sentences.answer(twin)


def test_an_assumption_is_one_only_where_something_is_known() -> None:
    assert sentences.is_assumed(replace(OUTAGE, assumed=True))
    assert sentences.is_assumed(replace(OUTAGE, hours_assumed=True))
    assert not sentences.is_assumed(replace(UNKNOWN, assumed=True, hours_assumed=True))


def test_an_assumed_step_says_so_once() -> None:
    step = Step("assumed: what is usual", 5.0, assumed=True)

    assert sentences.step_words(step, OUTAGE) == "assumed: what is usual"
    assert sentences.step_words(replace(step, step="turning"), OUTAGE) == "turning (assumed)"


def test_a_fleet_of_nothing_and_of_one() -> None:
    one = CraneOutage("HM-1", "", "", 3, OUTAGE, 0)

    assert sentences.fleet_answer((), 0) == "0 cranes, 0 positions."
    assert sentences.fleet_answer((one,), 0) == "1 crane, 3 positions. Longest: HM-1, 61 days."
