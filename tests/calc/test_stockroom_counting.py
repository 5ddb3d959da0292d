"""A count against the book, sheets, tolerances, walks and whole sets."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from parts.calc.stockroom.count_walks import bin_order, is_on_walk, latest_bins, walked
from parts.calc.stockroom.counting import is_within, priced, totals
from parts.calc.stockroom.kits import missing_for, whole_sets
from parts.calc.stockroom.steps import booking_of
from parts.errors import StepRefused
from parts.records.catalogue import Part
from parts.records.count_answers import CountedLine, Tolerance
from parts.records.stock import Reservation
from parts.records.stock_card import MissingUnits, SetMember
from parts.records.stock_steps import Booking
from tests.calc.stockrooms import EARLIER, LAST_YEAR, TODAY, known, moved, step

FOUR = moved(4, key="four")
YESTERDAY = TODAY - timedelta(days=1)


def counted(found: int, *movements: Any, **asked: Any) -> Booking:
    return booking_of(step("count", found, **asked), known(FOUR, *movements))


def differences(booking: Booking) -> list[int]:
    return [row.qty for row in booking.movements]


def test_a_count_that_finds_what_the_book_says_books_nothing() -> None:
    booking = counted(4)

    assert booking.movements == ()
    assert booking.notes == ("as the book says: 4",)


def test_a_difference_is_a_movement_that_names_the_count() -> None:
    (row,) = counted(2, note="behind the rack").movements

    assert (row.kind, row.qty, row.store) == ("count", -2, "main")
    assert row.note == "counted 2, book 4; behind the rack"


def test_stock_that_nobody_booked_is_found_in_an_empty_store() -> None:
    booking = booking_of(step("count", 2), known(FOUR, moved(-4, "issue")))

    assert [(row.qty, row.store) for row in booking.movements] == [(2, "main")]


def test_what_was_booked_after_the_sheet_was_printed_is_no_difference() -> None:
    booking = counted(4, moved(-1, "issue", key="i", date=TODAY), after=1)

    assert booking.movements == ()
    assert booking.notes == ("issue of -1 came after the count (i)", "as the book says: 4")


def test_what_was_booked_that_day_before_the_sheet_was_printed_lies_on_the_shelf() -> None:
    there = moved(3, "receipt", date=TODAY)

    assert differences(counted(7, there, after=2)) == []
    assert differences(counted(7, there)) == []
    assert differences(counted(4, after=1)) == []


def test_what_was_booked_late_for_a_day_before_was_gone_when_somebody_counted() -> None:
    late = moved(-1, "issue", key="night", date=YESTERDAY)
    booking = counted(3, late, after=1)

    assert booking.movements == ()
    assert "booked late, for 2026-11-24 (night)" in booking.notes[0]


def test_a_count_that_is_entered_days_later_knows_what_came_after_it() -> None:
    booking = counted(4, moved(-1, "issue", date=TODAY), date=YESTERDAY)

    assert booking.movements == ()


def test_a_sheet_from_another_database_is_refused() -> None:
    with pytest.raises(StepRefused) as refusal:
        counted(4, after=2)

    assert refusal.value.field == "after"
    assert "another database" in str(refusal.value)


def test_less_than_was_taken_since_cannot_have_been_counted() -> None:
    with pytest.raises(StepRefused, match="count again"):
        counted(1, moved(-3, "issue", date=TODAY), date=YESTERDAY)


def test_a_count_below_the_minimum_or_below_the_promises_says_so() -> None:
    facts = known(
        FOUR,
        part=Part(part="P1", min_stock=3),
        reservations=[Reservation(part="P1", qty=3, for_="overhaul")],
    )

    notes = booking_of(step("count", 2), facts).notes

    assert "3 are promised to jobs, 2 can be used" in notes
    assert "2 left for use, below its minimum of 3: order more" in notes
    assert booking_of(step("count", 3), facts).notes == ("counted 3, book 4",)


def test_a_unit_with_a_serial_number_that_is_missing_is_named() -> None:
    units = known(moved(1, serial="A7"), moved(1, serial="B8"))

    assert booking_of(step("count", 1), units).notes[0] == (
        "one with a serial number may be missing (A7, B8); undo this and say which"
    )
    assert len(booking_of(step("count", 3), units).notes) == 1
    assert len(booking_of(step("count", 2), known(*units.movements, moved(1))).notes) == 1
    assert booking_of(step("count", 1, serial="B8"), units).movements[0].serial == "B8"
    assert booking_of(step("count", 3, serial="C9"), units).movements[0].serial == "C9"
    for found, serial, why in (
        (0, "A7", "this count differs by 2"),
        (1, "C9", "C9 is not in store by the book"),
        (3, "A7", "A7 is in store by the book"),
    ):
        with pytest.raises(StepRefused, match=why) as refusal:
            booking_of(step("count", found, serial=serial), units)
        assert refusal.value.field == "serial"


# Sheets


@pytest.mark.parametrize(
    ("difference", "book", "tolerance", "within"),
    [
        (0, 0, Tolerance(), True),
        (1, 100, Tolerance(), False),
        (-2, 9, Tolerance(units=2), True),
        (3, 9, Tolerance(units=2), False),
        (6, 120, Tolerance(share=0.05), True),
        (7, 120, Tolerance(share=0.05), False),
        (1, 25, Tolerance(share=0.05), True),
        (2, 25, Tolerance(share=0.05), False),
        (1, 0, Tolerance(share=1.0), False),
        (7, 100, Tolerance(share=0.07), True),  # 0.07 x 100 is a little over 7 in binary
        (29, 100, Tolerance(share=0.29), True),  # and 0.29 x 100 a little below 29
    ],
)
def test_a_tolerance_is_units_or_a_share_of_the_book_rounded_down(
    difference: int, book: int, tolerance: Tolerance, within: bool
) -> None:
    assert is_within(difference, book, tolerance) is within


def line(difference: int, cost: float | None = None, *, within: bool = False) -> CountedLine:
    bare = CountedLine(
        part="P1",
        store=None,
        book=9,
        counted=9 + difference,
        difference=difference,
        within=within or difference == 0,
    )
    return priced(bare, cost)


def test_nothing_counted_has_no_share_and_no_money() -> None:
    found = totals([])

    assert (found.lines, found.share_within, found.net, found.net_value) == (0, None, 0, None)


def test_a_plus_never_hides_a_minus() -> None:
    found = totals([line(2, 10.0), line(-2, 3.0), line(0, 5.0)])

    assert (found.net, found.absolute) == (0, 4)
    assert (found.net_value, found.absolute_value) == (14.0, 26.0)
    assert (found.within, found.share_within) == (1, 1 / 3)


def test_a_line_without_a_cost_is_told_and_not_taken_for_nothing() -> None:
    found = totals([line(2), line(-1, 3.0), line(-1, 2.0), line(0), line(0)])

    assert (found.net_value, found.without_cost) == (-5.0, 1)
    assert totals([line(2)]).net_value is None


def test_bins_are_walked_as_they_hang_on_the_wall() -> None:
    bins = ["R10", "r2", "R2-B3", "RA", "7", "A"]

    assert sorted(bins, key=bin_order) == ["7", "A", "r2", "R2-B3", "R10", "RA"]
    assert walked([(None, "main", "P1"), ("R10", "main", "P2"), ("R2", "main", "P3")]) == [
        ("R2", "main", "P3"),
        ("R10", "main", "P2"),
        (None, "main", "P1"),
    ]


@pytest.mark.parametrize(
    ("name", "first", "last", "on_walk"),
    [
        (None, None, None, True),
        (None, "A", None, False),
        ("R2", "R2", "R2", True),
        ("R2-B3", "R1", "R2", True),
        ("R10", "R1", "R2", False),
        ("R10", "R1", "R1", False),
        ("A05", "A", "A", True),
        ("R10", "R9", None, True),
        ("r1", None, "R2", True),
    ],
)
def test_a_walk_goes_from_one_bin_to_another_with_both_ends(
    name: str | None, first: str | None, last: str | None, on_walk: bool
) -> None:
    assert is_on_walk(name, first, last) is on_walk


def test_a_part_lies_in_the_bin_in_which_it_was_last_put_away() -> None:
    rows = [
        moved(1, bin="A1"),
        moved(1, bin="A2", date=EARLIER),
        moved(-1, "issue", bin="A1", date=TODAY),
        moved(1, date=TODAY),
        moved(1, store=None, bin="C3", date=LAST_YEAR),
    ]

    assert latest_bins(rows) == {("P1", "main"): "A2", ("P1", ""): "C3"}


# Whole sets


KIT = [
    SetMember("bearing", 2, 6),
    SetMember("seal", 1, 1, 38.0),  # four lie there, three of them past their life
    SetMember("gasket", 1, 3),
    SetMember("shim", 4, 12),
    SetMember("O-ring", 2, 2, 3.5),
]


def test_a_set_of_nothing_is_no_set() -> None:
    assert whole_sets([]) == 0
    assert whole_sets([SetMember("seal", 1, -2)]) == 0


def test_three_kits_on_the_book_are_one_that_is_complete() -> None:
    """A worked example of a seal kit, reckoned by hand: one kit, 90.00 for two more."""
    lacks = missing_for(KIT, 3)

    assert whole_sets(KIT) == 1
    assert lacks == (MissingUnits("seal", 2, 76.0), MissingUnits("O-ring", 4, 14.0))
    assert sum(each.cost or 0.0 for each in lacks) == 90.0


def test_one_unit_that_lacks_is_told() -> None:
    assert missing_for([SetMember("seal", 1, 0)], 1) == (MissingUnits("seal", 1, None),)


def test_what_lacks_without_a_known_cost_has_none() -> None:
    assert missing_for([replace(KIT[1], unit_cost=None)], 2) == (MissingUnits("seal", 1, None),)
