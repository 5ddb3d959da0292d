"""What each step with the stock enters, and what it is refused for."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from parts.calc.stockroom.steps import MOST, booking_of
from parts.calc.stockroom.undoing import step_of
from parts.errors import ShortStock, StepRefused
from parts.records.catalogue import Part
from parts.records.stock import Reservation
from parts.records.stock_steps import Booking, StepKind
from parts.records.structure import Crane, Position
from tests.calc.stockrooms import EARLIER, LAST_YEAR, NEXT_YEAR, TODAY, known, moved, step

FIVE = moved(5, key="five")
Y2030 = NEXT_YEAR.replace(year=2030)


def entered(booking: Booking) -> list[tuple[str, int, str | None]]:
    return [(row.kind, row.qty, row.store) for row in booking.movements]


def refused(facts: Any, asked: Any) -> StepRefused:
    with pytest.raises(StepRefused) as refusal:
        booking_of(asked, facts)
    return refusal.value


# What no step may be


@pytest.mark.parametrize("qty", [0, -1, MOST + 1, 10**12])
@pytest.mark.parametrize("kind", ["issue", "receive", "return", "scrap", "transfer"])
def test_a_quantity_is_one_to_a_thousand_million_units(kind: StepKind, qty: int) -> None:
    refusal = refused(known(FIVE), step(kind, qty, condition="usable", note="x", to_bin="B"))

    assert refusal.field == "qty"
    assert "1 to 1,000,000,000 whole units" in str(refusal)


def test_a_count_may_find_nothing_but_never_less() -> None:
    assert entered(booking_of(step("count", 0), known(FIVE))) == [("count", -5, "main")]
    assert refused(known(FIVE), step("count", -1)).field == "qty"


def test_a_step_is_booked_once_it_was_done() -> None:
    assert refused(known(FIVE), step("issue", date=NEXT_YEAR)).field == "date"


@pytest.mark.parametrize(
    ("fact", "text", "why"),
    [
        ("note", "a\x1b[2Jb", "control character U+001B"),
        ("by", " keeper", "begins or ends with a blank"),
        ("store", "", "left blank"),
        ("serial", "\u3000", "left blank"),
        ("bin", "x" * 10_001, "10,000 characters"),
        ("key", "k/2", "stroke"),
        ("cause", "a\x00", "U+0000"),
    ],
)
def test_a_text_that_no_site_book_can_hold_is_refused(fact: str, text: str, why: str) -> None:
    named: dict[str, Any] = {fact: text}
    refusal = refused(known(FIVE), replace(step("issue"), **named))

    assert refusal.field == fact
    assert why in str(refusal)


def test_the_longest_text_is_kept_whole() -> None:
    booking = booking_of(step("issue", note="x" * 10_000), known(FIVE))

    assert len(booking.movements[0].note or "") == 10_000


def test_a_position_or_an_order_that_is_not_there_is_refused() -> None:
    assert refused(known(FIVE), step("issue", crane="C1", position="none")).field == "position"
    assert refused(known(FIVE), step("issue", order="4711")).field == "order"


# Taking out


def test_an_issue_takes_what_is_there_from_where_it_is_kept() -> None:
    assert entered(booking_of(step("issue", 5), known(FIVE))) == [("issue", -5, "main")]


def test_more_than_is_there_is_refused_with_all_three_figures() -> None:
    refusal = refused(known(FIVE), step("issue", 8))

    assert isinstance(refusal, ShortStock)
    assert "on hand 5, asked 8, short 3" in str(refusal)


def test_nothing_is_issued_of_a_part_that_was_never_there() -> None:
    assert "on hand 0, asked 1, short 1" in str(refused(known(), step("issue")))


def test_of_several_stores_one_is_named() -> None:
    facts = known(FIVE, moved(1, store="crib"))

    assert refused(facts, step("issue")).field == "store"
    assert entered(booking_of(step("issue", store="crib"), facts)) == [("issue", -1, "crib")]


def test_a_store_without_a_name_is_told_among_the_others() -> None:
    facts = known(FIVE, moved(1, store=None))

    assert "(no named store 1, main 5)" in str(refused(facts, step("issue")))

    empty = known(FIVE, moved(1, store=None), moved(-5, "issue"), moved(-1, "issue", store=None))

    assert "(no named store 0, main 0)" in str(refused(empty, step("count", 1)))


def test_each_store_knows_its_own_states() -> None:
    facts = known(
        moved(1, store="crib"),
        moved(2, condition="quarantine"),
        moved(3, condition="in_repair"),
        moved(4, expires_on=EARLIER),
        moved(5, store="crib", condition="quarantine"),
    )

    assert (facts.book("main"), facts.book("crib"), facts.book(None)) == (9, 6, 0)
    assert (facts.in_state("main", "quarantine"), facts.in_state("crib", "quarantine")) == (2, 5)
    assert (facts.in_state("main", "in_repair"), facts.in_state("crib", "in_repair")) == (3, 0)
    assert (facts.expired_in("main"), facts.expired_in("crib"), facts.usable) == (4, 0, 1)


def test_what_expires_first_goes_first_and_each_lot_is_a_movement() -> None:
    facts = known(moved(2, expires_on=Y2030), moved(3, expires_on=NEXT_YEAR), moved(1))

    booking = booking_of(step("issue", 6), facts)

    assert [(row.qty, row.expires_on, row.key) for row in booking.movements] == [
        (-3, NEXT_YEAR, "k"),
        (-2, Y2030, "k/2"),
        (-1, None, "k/3"),
    ]
    assert [row.qty for row in booking_of(step("issue", 3), facts).movements] == [-3]
    scrap = booking_of(step("scrap", 6, note="old"), facts)
    assert [row.expires_on for row in scrap.movements] == [NEXT_YEAR, Y2030, None]


def test_a_named_lot_is_taken_from_and_no_other() -> None:
    facts = known(moved(2, expires_on=Y2030), moved(3, expires_on=NEXT_YEAR))

    told = "in main to be used until 2030-06-01: on hand 2, asked 3, short 1"

    assert told in str(refused(facts, step("issue", 3, expires_on=Y2030)))
    assert told in str(refused(facts, step("scrap", 3, expires_on=Y2030, note="old")))


def test_what_is_past_its_life_is_not_issued() -> None:
    facts = known(moved(2, expires_on=EARLIER))

    assert "besides 2 past shelf life" in str(refused(facts, step("issue")))
    one = known(moved(1, expires_on=EARLIER))
    assert "besides 1 past shelf life" in str(refused(one, step("issue")))
    assert "qualified person" in str(refused(facts, step("issue", expires_on=EARLIER)))


def test_what_has_expired_goes_to_quarantine_before_an_undated_unit_is_taken() -> None:
    there = moved(2, expires_on=EARLIER), moved(1)
    booking = booking_of(step("issue"), known(*there))
    after = known(*there, *booking.movements)

    assert "2 past shelf life lay beside it: moved to quarantine (k-expired)" in booking.notes
    assert (after.book("main"), after.usable, after.in_state("main", "quarantine")) == (2, 0, 2)
    assert [row.qty for row in step_of("k", booking.movements)] == [-1]


def test_expired_units_are_moved_by_hand_where_serial_numbers_tell_units_apart() -> None:
    facts = known(moved(2, expires_on=EARLIER), moved(1, serial="A7"))

    assert "move them to quarantine" in str(refused(facts, step("issue", serial="A7")))


def test_a_unit_of_a_dated_lot_takes_its_lot_along() -> None:
    facts = known(moved(1, serial="A7", expires_on=NEXT_YEAR), moved(1, expires_on=Y2030))
    (row,) = booking_of(step("issue", serial="A7"), facts).movements

    assert row.expires_on == NEXT_YEAR
    assert "lies in main, usable, to be used until 2027-06-01" in str(
        refused(facts, step("issue", serial="A7", expires_on=Y2030))
    )


def test_the_last_day_of_use_is_a_day_of_use() -> None:
    facts = known(moved(2, expires_on=TODAY))

    assert entered(booking_of(step("issue", expires_on=TODAY), facts)) == [("issue", -1, "main")]
    assert entered(booking_of(step("issue"), facts)) == [("issue", -1, "main")]


def test_what_is_short_in_a_state_or_in_no_named_store_is_named_so() -> None:
    held = moved(2, condition="in_repair", store=None)

    assert "in no named store in repair: on hand 2, asked 3" in str(
        refused(known(held), step("scrap", 3, condition="in_repair", note="lost"))
    )


def test_a_step_dated_back_judges_shelf_life_by_its_own_day() -> None:
    lot = moved(2, expires_on=EARLIER)
    facts = replace(known(lot), day=EARLIER)

    assert entered(booking_of(step("issue", date=EARLIER), facts)) == [("issue", -1, "main")]


@pytest.mark.parametrize("condition", ["quarantine", "in_repair"])
def test_what_is_held_back_is_not_issued(condition: str) -> None:
    facts = known(moved(2, condition=condition))

    assert "2 in quarantine or repair" in str(refused(facts, step("issue")))
    assert refused(facts, step("issue", condition=condition)).field == "condition"


def test_a_scrap_says_why_and_takes_what_has_expired_too() -> None:
    facts = known(moved(2, expires_on=EARLIER))

    assert refused(facts, step("scrap", 2)).field == "note"
    assert entered(booking_of(step("scrap", 2, note="hardened"), facts)) == [("scrap", -2, "main")]


def test_taking_below_the_minimum_says_to_order_more() -> None:
    facts = known(FIVE, part=Part(part="P1", min_stock=4))

    assert booking_of(step("issue"), facts).notes == ()
    assert booking_of(step("issue", 2), facts).notes == (
        "3 left for use, below its minimum of 4: order more",
    )


def test_scrapping_tells_what_is_left_for_use_and_for_promises() -> None:
    expired = moved(3, expires_on=EARLIER)
    facts = known(FIVE, expired, part=Part(part="P1", min_stock=4), reservations=[PROMISED])

    assert booking_of(step("scrap", 3, expires_on=EARLIER, note="hard"), facts).notes == ()
    assert booking_of(step("scrap", 4, note="wet"), facts).notes == ()
    assert booking_of(step("scrap", 5, note="wet"), facts).notes == (
        "4 are promised to jobs, 3 can be used",
        "3 left for use, below its minimum of 4: order more",
    )


def test_scrapping_what_is_held_back_leaves_as_much_for_use() -> None:
    held = moved(3, condition="quarantine")
    facts = known(FIVE, held, part=Part(part="P1", min_stock=5))

    assert booking_of(step("scrap", 3, condition="quarantine", note="bent"), facts).notes == ()


# Promises


PROMISED = Reservation(part="P1", qty=4, for_="overhaul")


def test_what_is_promised_to_others_is_left_to_them() -> None:
    facts = known(FIVE, reservations=[PROMISED])

    refusal = refused(facts, step("issue", 2))

    assert refusal.field == "for"
    assert "usable 5, promised 4 (4 for overhaul), asked 2" in str(refusal)
    assert entered(booking_of(step("issue", 1), facts)) == [("issue", -1, "main")]


def test_the_job_takes_its_own_and_the_promise_shrinks() -> None:
    facts = known(FIVE, reservations=[PROMISED])

    (edit,) = booking_of(step("issue", 3, for_="overhaul"), facts).edits

    assert edit.after == replace(PROMISED, qty=1)


def test_a_promise_to_another_job_stays_as_it_is() -> None:
    other = Reservation(part="P1", qty=1, for_="other")
    facts = known(FIVE, reservations=[PROMISED, other])

    assert [edit.before for edit in booking_of(step("issue", for_="other"), facts).edits] == [other]
    assert booking_of(step("issue"), known(FIVE, reservations=[other])).edits == ()


def test_a_promise_that_is_served_is_released() -> None:
    facts = known(FIVE, reservations=[PROMISED])

    (edit,) = booking_of(step("issue", 4, for_="overhaul"), facts).edits

    assert edit.after == replace(PROMISED, released_on=TODAY)


def test_a_job_may_take_its_own_even_where_too_much_is_promised() -> None:
    more = Reservation(part="P1", qty=9, for_="other")
    facts = known(FIVE, reservations=[PROMISED, more])

    assert entered(booking_of(step("issue", 4, for_="overhaul"), facts)) == [("issue", -4, "main")]
    assert refused(facts, step("issue", 5, for_="overhaul")).field == "for"


def test_a_job_without_a_promise_is_refused_and_a_released_one_binds_nobody() -> None:
    released = replace(PROMISED, released_on=TODAY)
    facts = known(FIVE, reservations=[released])

    assert refused(facts, step("issue", for_="overhaul")).field == "for"
    assert entered(booking_of(step("issue", 5), facts)) == [("issue", -5, "main")]


# Putting back, moving, care


def test_what_comes_back_has_a_condition_and_goes_where_the_part_is_kept() -> None:
    assert refused(known(FIVE), step("return")).field == "condition"

    (row,) = booking_of(step("return", condition="in_repair"), known(FIVE)).movements

    assert (row.kind, row.qty, row.store, row.condition) == ("return", 1, "main", "in_repair")


def test_what_is_taken_off_a_crane_is_said_to_be_still_on_record_there() -> None:
    place = Position(crane="C1", position="drive", part="P1")
    facts = known(FIVE, crane=Crane(crane="C1"), position=place)

    booking = booking_of(step("return", condition="usable", crane="C1", position="drive"), facts)

    assert "still has P1 on record" in booking.notes[0]


def test_a_transfer_takes_and_puts_as_one_step() -> None:
    booking = booking_of(step("transfer", 2, to_store="crib", to_bin="7"), known(FIVE))

    assert entered(booking) == [("transfer", -2, "main"), ("transfer", 2, "crib")]
    assert [row.key for row in booking.movements] == ["k", "k/to"]
    assert [row.bin for row in booking.movements] == [None, "7"]


def test_a_transfer_goes_somewhere_and_a_new_state_has_a_reason() -> None:
    assert refused(known(FIVE), step("transfer")).field == "to_store"
    assert refused(known(FIVE), step("transfer", to_store="main")).field == "to_store"
    assert refused(known(FIVE), step("transfer", to_condition="quarantine")).field == "note"


def test_a_lot_that_was_looked_at_gets_a_new_day_of_expiry() -> None:
    facts = known(moved(2, expires_on=EARLIER))

    out, back = booking_of(step("transfer", 2, to_expires_on=Y2030, note="good"), facts).movements

    assert (out.expires_on, back.expires_on) == (EARLIER, Y2030)


def test_care_moves_nothing_and_needs_something_to_care_for() -> None:
    assert entered(booking_of(step("care", 0), known(FIVE))) == [("care", 0, "main")]
    assert "on hand 0, asked 1, short 1" in str(refused(known(), step("care", 0)))


# Serial numbers


ONE = moved(1, serial="A7", key="one")


def test_a_serial_number_belongs_to_one_unit() -> None:
    assert refused(known(ONE, FIVE), step("issue", 2, serial="A7")).field == "serial"
    assert refused(known(FIVE), step("receive", 2, serial="A7")).field == "serial"


def test_a_unit_goes_out_of_what_is_there_and_comes_in_once() -> None:
    assert refused(known(ONE), step("issue", serial="B8")).field == "serial"
    for back in (step("receive", serial="A7"), step("return", serial="A7", condition="usable")):
        assert refused(known(ONE), back).field == "serial"
    assert entered(booking_of(step("issue", serial="A7"), known(ONE))) == [("issue", -1, "main")]


def test_where_every_unit_has_a_serial_number_one_is_named() -> None:
    assert "A7" in str(refused(known(ONE), step("issue")))
    assert entered(booking_of(step("issue"), known(ONE, FIVE))) == [("issue", -1, "main")]
    assert isinstance(refused(known(ONE), step("issue", 2)), ShortStock)
    seven = [moved(1, serial=f"A{number}") for number in range(7)]
    assert str(refused(known(*seven), step("issue"))).endswith("A0, A1, A2, A3, A4")


def test_a_unit_is_taken_from_the_lot_in_which_it_lies() -> None:
    held = moved(1, serial="Q1", condition="quarantine", store="crib")
    facts = known(FIVE, held)

    assert "what is in quarantine is not issued" in str(refused(facts, step("issue", serial="Q1")))
    elsewhere = refused(facts, step("scrap", serial="Q1", store="main", note="x"))
    assert elsewhere.field == "serial"
    assert str(elsewhere) == "P1 Q1 lies in crib, quarantine"

    (row,) = booking_of(step("scrap", serial="Q1", note="cracked"), facts).movements

    assert (row.store, row.condition, row.serial) == ("crib", "quarantine", "Q1")


@pytest.mark.parametrize("reloaded", [False, True])
def test_a_unit_lies_where_it_went_last_in_whatever_order_its_day_is_told(reloaded: bool) -> None:
    day = [
        moved(1, "return", key="z", serial="A7", date=TODAY),
        moved(-1, "transfer", key="a", serial="A7", date=TODAY),
        moved(1, "transfer", key="a/to", serial="A7", date=TODAY, store="crib"),
    ]
    rows = sorted(day, key=lambda row: row.key) if reloaded else day

    assert known(*rows).unit("A7") == ("crib", None, "usable")


def test_a_unit_whose_issue_was_undone_lies_where_it_lay() -> None:
    rows = [
        moved(1, serial="A7", expires_on=NEXT_YEAR, condition="quarantine", key="in"),
        moved(-1, "scrap", key="out", serial="A7", expires_on=NEXT_YEAR, condition="quarantine"),
        moved(1, "reversal", key="u", serial="A7", reverses="out"),
    ]

    assert known(*rows).unit("A7") == ("main", NEXT_YEAR, "quarantine")
    assert known(*rows[:2]).unit("A7") is None


# Days


def test_no_store_ends_a_day_with_less_than_nothing() -> None:
    facts = known(moved(3, date=EARLIER))

    refusal = refused(facts, step("issue", date=LAST_YEAR))

    assert refusal.field == "date"
    assert "would have ended 2025-06-01 with -1" in str(refusal)


def test_what_was_taken_later_is_not_there_to_be_taken_before() -> None:
    facts = known(FIVE, moved(-5, "issue", date=TODAY))

    assert isinstance(refused(facts, step("issue", date=EARLIER)), ShortStock)
