"""A delivery: what must be known of it, and what it does to its order."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from parts.calc.stockroom.steps import booking_of
from parts.errors import StepRefused
from parts.records.catalogue import Part
from parts.records.stock import Movement
from parts.records.supply import Order
from tests.calc.stockrooms import EARLIER, LAST_YEAR, NEXT_YEAR, TODAY, known, moved, step

ORDER = Order(order="4711", supplier="S1", part="P1", qty=4, ordered_on=LAST_YEAR, due_on=EARLIER)
AGEING = Part(part="P1", shelf_life_months=60.0)


def received(qty: int = 1, facts: Any = None, **asked: Any) -> Movement:
    (row,) = booking_of(step("receive", qty, **asked), facts or known()).movements
    return row


def refused(facts: Any, qty: int = 1, **asked: Any) -> StepRefused:
    with pytest.raises(StepRefused) as refusal:
        booking_of(step("receive", qty, **asked), facts)
    return refusal.value


def test_a_first_delivery_lies_where_it_is_said_and_a_later_one_where_the_part_is_kept() -> None:
    assert received().store is None
    assert received(store="crib").store == "crib"
    assert received(facts=known(moved(1), moved(-1, "issue"))).store == "main"


def test_a_first_delivery_goes_to_the_only_store_and_asks_where_there_are_several() -> None:
    several = known(site_stores=("crib", "main"))

    assert received(facts=known(site_stores=("main",))).store == "main"
    assert received(facts=several, store="crib").store == "crib"
    assert "was never in store; say in which: crib, main" in str(refused(several))


def test_a_part_that_ages_has_a_last_day() -> None:
    assert "keeps 60 months" in str(refused(known(part=AGEING), expires_on=None))
    assert refused(known(part=AGEING), expires_on=EARLIER).field == "expires_on"
    assert received(facts=known(part=AGEING), expires_on=NEXT_YEAR).expires_on == NEXT_YEAR
    assert received(facts=known(part=AGEING), expires_on=TODAY).expires_on == TODAY
    assert received(facts=known(part=AGEING), condition="quarantine").condition == "quarantine"


def test_a_part_that_bears_load_has_a_certificate() -> None:
    assert refused(known(load_bearing=True)).field == "certificate"

    row = received(facts=known(load_bearing=True), certificate="C-9", note="blue box")

    assert row.note == "certificate C-9; blue box"


def test_what_goes_into_quarantine_says_that_it_counts_for_nothing_yet() -> None:
    booking = booking_of(step("receive", condition="quarantine"), known(load_bearing=True))

    assert "not counted as usable" in booking.notes[0]


def test_a_part_of_an_order_leaves_it_open() -> None:
    booking = booking_of(step("receive", 3, order="4711"), known(orders=[ORDER]))

    assert booking.edits == ()
    assert booking.notes == ("3 of 4 received, 1 to come",)


def test_the_last_of_an_order_closes_it_and_tells_how_late_it_is() -> None:
    there = moved(3, "receipt", order="4711")
    booking = booking_of(step("receive", order="4711"), known(there, orders=[ORDER]))

    assert [edit.after for edit in booking.edits] == [replace(ORDER, received_on=TODAY)]
    assert booking.notes == ("order 4711 is complete", "24 days later than due")


@pytest.mark.parametrize("due_on", [None, TODAY])
def test_what_is_due_on_no_day_or_on_its_day_is_neither_late_nor_soon(due_on: Any) -> None:
    due = replace(ORDER, due_on=due_on)
    booking = booking_of(step("receive", 4, order="4711"), known(orders=[due]))

    assert booking.notes == ("order 4711 is complete",)


def test_nothing_comes_before_it_was_ordered() -> None:
    later = replace(ORDER, ordered_on=TODAY)

    assert refused(known(orders=[later]), order="4711", date=EARLIER).field == "date"
    assert received(facts=known(orders=[later]), order="4711").order == "4711"


@pytest.mark.parametrize(
    ("days", "told"), [(3, "3 days sooner than due"), (-1, "1 day later than due")]
)
def test_what_comes_before_or_after_it_is_due_says_so(days: int, told: str) -> None:
    due = replace(ORDER, due_on=TODAY + timedelta(days=days))
    booking = booking_of(step("receive", 4, order="4711"), known(orders=[due]))

    assert told in booking.notes


def test_more_than_was_ordered_is_kept_only_when_somebody_says_so() -> None:
    refusal = refused(known(orders=[ORDER]), 5, order="4711")

    assert "4 ordered, 0 received, 5 now: 1 too many" in str(refusal)

    booking = booking_of(step("receive", 5, order="4711", over=True), known(orders=[ORDER]))

    assert "1 more than ordered" in booking.notes


def test_a_receipt_that_was_undone_is_still_to_come() -> None:
    there = moved(4, "receipt", key="r", order="4711", date=EARLIER)
    undone = moved(-4, "reversal", reverses="r", date=EARLIER, order="4711")
    booking = booking_of(step("receive", 4, order="4711"), known(there, undone, orders=[ORDER]))

    assert "order 4711 is complete" in booking.notes


def test_an_order_that_is_closed_or_holds_no_such_part_is_refused() -> None:
    closed = replace(ORDER, received_on=EARLIER)

    assert "received in full on 2026-11-01" in str(refused(known(orders=[closed]), order="4711"))
    assert "has no P1 on it" in str(refused(known(), order="4711"))


def test_an_order_whose_receipt_lies_ahead_is_corrected_first() -> None:
    ahead = replace(ORDER, received_on=NEXT_YEAR)

    assert "2027-06-01, which lies ahead" in str(refused(known(orders=[ahead]), order="4711"))
