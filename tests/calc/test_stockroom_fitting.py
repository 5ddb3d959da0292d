"""What an issue changes at the position where the part is fitted."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from parts.calc.stockroom.steps import booking_of
from parts.errors import StepRefused
from parts.records.catalogue import Companion, PartClass, Substitute
from parts.records.history import Failure, Observation
from parts.records.stock_steps import Booking
from tests.calc.stockrooms import (
    CRANE,
    DRIVE,
    EARLIER,
    LAST_YEAR,
    NEXT_YEAR,
    TODAY,
    known,
    moved,
    step,
)
from tests.calc.stockrooms import at_drive as at

FIVE = moved(5)
OTHER = replace(DRIVE, part="P0")
HERE = {"crane": "C1", "position": "drive"}
FAILURE = Failure(crane="C1", position="drive", failed_on=EARLIER, part="P1")


def fit(facts: Any, qty: int = 1, **asked: Any) -> Booking:
    return booking_of(step("issue", qty, **(HERE | asked)), facts)


def refused(facts: Any, **asked: Any) -> StepRefused:
    with pytest.raises(StepRefused) as refusal:
        fit(facts, **asked)
    return refusal.value


def edits(booking: Booking) -> dict[str, Any]:
    return {edit.file: edit.after for edit in booking.edits}


def test_an_issue_for_no_position_changes_nothing_but_the_stock() -> None:
    assert booking_of(step("issue"), known(FIVE)).edits == ()


def test_a_failure_has_a_position() -> None:
    with pytest.raises(StepRefused) as refusal:
        booking_of(step("issue", failed_on=EARLIER), known(FIVE))

    assert refusal.value.field == "position"


def test_a_planned_exchange_moves_the_day_since_when_it_is_fitted() -> None:
    assert edits(fit(at(FIVE))) == {"positions": replace(DRIVE, installed=TODAY)}


def test_a_position_that_takes_two_keeps_its_age_when_one_is_exchanged() -> None:
    pair = replace(DRIVE, qty=2)
    booking = fit(at(FIVE, position=pair))

    assert booking.edits == ()
    assert "1 of 2 exchanged" in booking.notes[0]
    assert edits(fit(at(FIVE, position=pair), 2))["positions"].installed == TODAY
    assert fit(at(FIVE, position=pair), 2).notes == ()
    assert fit(at(FIVE, position=pair), 3).notes == ("3 taken where 2 sit",)


def test_a_part_may_be_fitted_where_none_is_on_record() -> None:
    booking = fit(at(FIVE, position=replace(DRIVE, part=None)))

    assert edits(booking)["positions"].part == "P1"
    assert "had no part on record" in booking.notes[0]


def test_a_part_that_does_not_belong_there_is_refused() -> None:
    refusal = refused(at(FIVE, position=OTHER))

    assert refusal.field == "position"
    assert "takes P0, and P1 is no substitute" in str(refusal)


@pytest.mark.parametrize(
    ("row", "may"),
    [
        (Substitute(part="P0", substitute="P1"), True),
        (Substitute(part="P1", substitute="P0", both_ways=True), True),
        (Substitute(part="P1", substitute="P0"), False),
    ],
)
def test_a_substitute_stands_in_one_way_unless_it_goes_both(row: Substitute, may: bool) -> None:
    facts = at(FIVE, position=OTHER, substitutes=[row])

    if may:
        assert edits(fit(facts))["positions"].part == "P1"
    else:
        assert refused(facts).field == "position"


def test_where_load_is_borne_a_substitute_needs_its_approval() -> None:
    row = Substitute(part="P0", substitute="P1")
    bears: dict[str, Any] = {"position": OTHER, "position_bears_load": True}

    assert "recorded approval" in str(refused(at(FIVE, substitutes=[row], **bears)))

    approved = fit(at(FIVE, substitutes=[replace(row, approval="E-12")], **bears))

    assert "P1 stands in for P0, approved by E-12" in approved.notes
    assert any("a qualified person inspects" in note for note in approved.notes)


def test_what_is_used_up_with_the_part_is_drawn_for_its_position() -> None:
    seals = Companion(part="P0", companion="P1", qty=2)
    booking = fit(at(FIVE, position=OTHER, goes_with=[seals]), 2, failed_on=EARLIER)

    assert edits(booking) == {"failures": replace(FAILURE, part="P0")}
    assert booking.notes == ("used up with P0 at C1/drive",)


def test_a_retired_crane_takes_nothing() -> None:
    facts = at(FIVE, crane=replace(CRANE, retire_on=TODAY))

    assert refused(facts).field == "crane"
    assert edits(fit(at(FIVE, crane=replace(CRANE, retire_on=NEXT_YEAR))))


def test_what_goes_with_the_part_and_what_test_follows_is_said() -> None:
    facts = at(
        FIVE,
        part_class=PartClass(part_class="brakes", recommission="rated_load"),
        companions=[
            Companion(part="P1", companion="P2", qty=2),
            Companion(part="P1", companion="P3", chance=0.5),
        ],
    )

    notes = fit(facts, 2).notes

    assert "goes with 4 P2" in notes
    assert any("a load test at rated load" in note for note in notes)


# Failures


def test_the_failure_is_recorded_with_the_issue() -> None:
    booking = fit(
        at(FIVE), failed_on=EARLIER, restored_on=TODAY, cause="worn", consumed=("P2", "P3")
    )

    assert edits(booking)["failures"] == replace(
        FAILURE, restored_on=TODAY, cause="worn", consumed="P2+P3"
    )


def test_after_a_failure_the_day_of_fitting_stays_so_that_the_failed_units_age_is_known() -> None:
    assert "positions" not in edits(fit(at(FIVE), failed_on=EARLIER, restored_on=TODAY))


def test_a_failure_on_record_is_restored_by_the_issue() -> None:
    known_cause = replace(FAILURE, cause="dust")
    booking = fit(at(FIVE, failures=[known_cause]), failed_on=EARLIER, restored_on=TODAY)

    assert edits(booking)["failures"] == replace(known_cause, restored_on=TODAY)


def test_a_failure_that_is_restored_already_stays_as_it_is() -> None:
    facts = at(FIVE, failures=[replace(FAILURE, restored_on=EARLIER)])

    assert refused(facts, failed_on=EARLIER).field == "failed_on"


def test_a_part_whose_name_joins_two_is_not_listed_as_consumed() -> None:
    assert refused(at(FIVE), failed_on=EARLIER, consumed=("P2", "A+B")).field == "consumed"


def test_days_of_a_failure_stand_in_order() -> None:
    assert refused(at(FIVE), failed_on=NEXT_YEAR).field == "failed_on"
    assert refused(at(FIVE), failed_on=EARLIER, restored_on=LAST_YEAR).field == "restored_on"

    same_day = fit(at(FIVE), failed_on=TODAY, restored_on=TODAY)

    assert edits(same_day)["failures"] == replace(FAILURE, failed_on=TODAY, restored_on=TODAY)


# Days and meters


def test_an_exchange_that_is_entered_late_does_not_set_back_a_later_one() -> None:
    newer = replace(DRIVE, installed=TODAY)
    booking = fit(at(FIVE, position=newer), date=EARLIER)
    same_day = fit(at(FIVE, position=replace(newer, part=None)))

    assert edits(same_day)["positions"] == newer
    assert booking.edits == ()
    assert "a later exchange is on record" in booking.notes[0]


def reading(value: str, **facts: Any) -> Observation:
    named = {"date": EARLIER, "what": "hours_meter", **HERE, **facts}
    return Observation(value=value, **named)


@pytest.mark.parametrize(
    ("readings", "hours"),
    [
        ([], None),
        ([reading("1200.5")], 1200.5),
        ([reading("0", date=TODAY)], 0.0),
        ([reading("nan"), reading("inf"), reading("-3"), reading("new meter")], None),
        ([reading("900", date=LAST_YEAR), reading("1200")], 1200.0),
        ([reading("7", date=NEXT_YEAR), reading("8", what="tread_wear_pct")], None),
    ],
)
def test_the_hour_meter_is_kept_as_it_was_last_read(
    readings: list[Observation], hours: float | None
) -> None:
    assert edits(fit(at(FIVE, readings=readings)))["positions"].hours_at_install == hours
