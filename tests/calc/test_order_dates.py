"""Days on which orders have to go out: the calendar first, then a site's last days."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from parts.calc.buying.deadlines import Deadlines
from parts.calc.buying.order_dates import WorkingCalendar, order_by
from parts.records.purchase_answers import Deadline
from parts.records.site import Holiday
from parts.records.supply import Notice
from tests.calc.purchase_site import at, crane, new, part, site
from tests.calc.small_snapshot import TODAY

WEEKDAYS = WorkingCalendar("1111100", frozenset())
FRIDAY, SATURDAY, MONDAY = date(2027, 1, 1), date(2027, 1, 2), date(2027, 1, 4)


def test_without_a_last_day_there_is_no_day() -> None:
    assert order_by(None, None, 20.0, WEEKDAYS) is None


def test_a_worked_day_stands_and_others_move_back() -> None:
    assert WEEKDAYS.on_or_before(MONDAY) == MONDAY
    assert WEEKDAYS.on_or_before(SATURDAY) == FRIDAY


def test_holidays_and_weekends_in_a_row_are_all_skipped() -> None:
    closed = WorkingCalendar("1111100", frozenset({FRIDAY, MONDAY}))

    assert closed.on_or_before(MONDAY) == date(2026, 12, 31)


def test_the_earlier_of_last_order_and_last_shipment_less_lead_time_counts() -> None:
    buy, ship = date(2027, 2, 23), date(2027, 3, 31)

    assert order_by(buy, ship, 10.0, WEEKDAYS) == buy
    assert order_by(buy, ship, 50.0, WEEKDAYS) == date(2027, 2, 9)
    assert order_by(None, ship, 49.2, WEEKDAYS) == date(2027, 2, 9)
    assert order_by(buy, None, 500.0, WEEKDAYS) == buy


def ends(on: date | None, ship: date | None = None, **facts: Any) -> Notice:
    return Notice(part="A", notice_on=date(2026, 6, 1), kind="discontinuance",
                  last_buy_on=on, last_ship_on=ship, **facts)  # fmt: skip


def listed(**files: Any) -> tuple[Deadline, ...]:
    files.setdefault("offers", [new()])
    files.setdefault("parts", [part(default_lead_days=200.0)])
    return Deadlines(site([at("P", "A", failures_per_year=0.5)], **files)).answer()


def test_a_part_without_end_is_not_in_the_list() -> None:
    assert listed() == ()


def test_an_end_that_is_past_is_not_in_the_list() -> None:
    assert listed(notices=[ends(TODAY - timedelta(days=1))]) == ()


def test_an_end_ahead_is_listed_with_its_day_its_quantity_and_its_record() -> None:
    (line,) = listed(notices=[ends(date(2027, 2, 28))])

    assert line.order_by == date(2027, 2, 26)
    assert line.days_left == (date(2027, 2, 26) - TODAY).days
    assert line.quantity > 0
    assert line.cost == pytest.approx(100.0 * line.quantity)
    assert line.record == "notices A/2026-06-01"


def test_today_is_not_too_late() -> None:
    (line,) = listed(notices=[ends(TODAY)])

    assert (line.order_by, line.days_left) == (TODAY, 0)


def test_a_shipment_that_the_confident_lead_time_misses_leaves_days_below_nothing() -> None:
    last = TODAY + timedelta(days=25)
    offer = new(likely=20.0, low=10.0, high=60.0)
    (line,) = listed(notices=[ends(None, last)], offers=[offer])

    assert line.lead_days is not None
    assert line.lead_days > 25.0
    assert line.days_left is not None
    assert line.days_left < 0


def test_where_another_supplier_goes_on_nothing_presses() -> None:
    assert listed(notices=[ends(date(2027, 2, 28), supplier="S")],
                  offers=[new(), new(supplier="T")]) == ()  # fmt: skip


def test_an_end_after_the_last_crane_presses_nobody() -> None:
    early = crane(retire_on=date(2027, 1, 15))

    assert listed(notices=[ends(date(2027, 2, 28))], cranes=[early]) == ()


def test_an_end_that_nobody_offers_is_shown_without_a_quantity() -> None:
    (line,) = listed(notices=[ends(date(2027, 2, 26))], offers=[])

    assert (line.supplier, line.quantity, line.order_by) == (None, 0, date(2027, 2, 26))
    assert "no usable offer" in line.reason


def test_holidays_of_the_site_move_the_day_back() -> None:
    (line,) = listed(notices=[ends(date(2027, 2, 26))], holidays=[Holiday(date=date(2027, 2, 26))])

    assert line.order_by == date(2027, 2, 25)
