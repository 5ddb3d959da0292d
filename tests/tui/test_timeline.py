"""Days on one axis: in their order, at their places, and what is over before the axis."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tui.widgets.timeline import axis, timeline

TODAY = date(2026, 11, 25)
END = TODAY + timedelta(100)


def line(order_by: int | None, last: int | None, width: int = 51) -> str:
    """Return the timeline for days counted from today."""
    by, end = (None if each is None else TODAY + timedelta(each) for each in (order_by, last))
    return timeline(TODAY, by, end, END, width)


def test_no_day_draws_nothing() -> None:
    assert line(None, None).strip() == ""


def test_a_day_stands_at_its_share_of_the_axis() -> None:
    drawn = line(50, 100)

    assert drawn.index("◆") == 25
    assert drawn.index("┤") == 50
    assert drawn[:25] == "━" * 25
    assert drawn[26:50] == "─" * 24


def test_the_day_to_order_by_is_shown_where_both_are_one() -> None:
    assert line(100, 100) == "━" * 50 + "◆"


def test_today_is_the_first_cell() -> None:
    assert line(0, None).rstrip() == "◆"


@pytest.mark.parametrize("last", [None, -40])
def test_what_is_over_stands_at_the_beginning(last: int | None) -> None:
    assert line(-40, last).rstrip() == "◀"


def test_a_last_day_that_is_over_is_told_even_without_a_day_to_order_by() -> None:
    assert line(None, -1).rstrip() == "◀"


def test_a_day_to_order_by_that_is_over_leaves_the_last_day() -> None:
    drawn = line(-3, 100)

    assert drawn[0] == "◀"
    assert drawn[50] == "┤"


@pytest.mark.parametrize("width", range(60))
def test_a_line_is_as_wide_as_asked_or_not_drawn(width: int) -> None:
    assert len(line(30, 80, width)) == (width if width >= 12 else 0)


def test_all_in_one_day_divides_by_nothing() -> None:
    assert timeline(TODAY, TODAY, TODAY, TODAY, 20).rstrip() == "◆"


def test_the_axis_names_both_ends_where_there_is_room() -> None:
    assert axis(TODAY, END, 24) == "2026-11-25────2027-03-05"
    assert axis(TODAY, END, 21) == "today on"
