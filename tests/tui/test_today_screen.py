"""What needs each person today: what is listed for whom, and where each line leads.

The site is made up; its figures are added up in `small_site`. On top of it here: an order of the
wheel that is overdue, a brake below its minimum, and a brake that failed and is still out.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from threading import Event

import pytest

from parts.errors import NoDatabase
from parts.records.book import Book
from parts.records.history import Failure
from parts.records.snapshot import Snapshot, snapshot_of
from parts.records.supply import Order
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import (
    LARGE,
    SMALL,
    TODAY,
    DeskWith,
    opened,
    press,
    settle,
    small_book,
    words,
)
from tui.widgets.field_table import FieldTable

BOTH_SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "140x45"])
FIRST = 3
"""The line of the screen on which the first row stands."""


def busy() -> Snapshot:
    book = small_book()
    book.rows["parts"] = [
        replace(row, min_stock=2) if row.part == "BRK-2" else row for row in book["parts"]
    ]
    book["orders"].append(
        Order(order="N-7", supplier="gear shop", part="WHL-4", qty=1,
              ordered_on=date(2026, 10, 1), due_on=date(2026, 11, 20))
    )  # fmt: skip
    book["failures"].append(
        Failure(crane="HM-1", position="brake 2", failed_on=date(2026, 11, 23), note="coil burnt")
    )
    return snapshot_of(book, TODAY)


def kinds(lines: list[str]) -> list[str]:
    """What stands in the first column, row by row."""
    return [line[1:19].strip() for line in lines[FIRST:] if line[:1] == " " and line[1:19].strip()]


@BOTH_SIZES
async def test_each_person_has_a_list_and_tab_goes_round(size: tuple[int, int]) -> None:
    async with opened(busy, size=size) as pilot:
        await press(pilot, "j")

        assert "longpole › today › storeroom" in screen_lines(pilot.app)[0]
        assert "Storeroom: 2 things wait, 2 today." in words(pilot)
        await press(pilot, "tab")

        assert "longpole › today › maintenance lead" in screen_lines(pilot.app)[0]
        await press(pilot, "tab")

        assert "longpole › today › purchasing" in screen_lines(pilot.app)[0]
        await press(pilot, "tab")

        assert "longpole › today › storeroom" in screen_lines(pilot.app)[0]


async def test_where_nothing_waits_it_says_so_for_everybody() -> None:
    async with opened(lambda: snapshot_of(Book(), TODAY)) as pilot:
        await press(pilot, "j")
        for name in ("Storeroom", "Maintenance lead", "Purchasing"):
            assert f"{name}: nothing is waiting." in words(pilot)
            assert "Nothing is waiting." in screen_text(pilot.app)
            await press(pilot, "enter", "tab")

        await press(pilot, "escape")

        assert "longpole › fleet" in screen_lines(pilot.app)[0]


async def test_the_line_under_the_cursor_says_why_and_where_it_leads() -> None:
    async with opened(busy, size=LARGE) as pilot:
        await press(pilot, "j")
        lines = screen_lines(pilot.app)

        assert "! due in" in lines[FIRST]
        assert "1 of WHL-4 from gear shop was due on 2026-11-20" in lines[FIRST]
        assert "! below the limit" in lines[FIRST + 1]
        assert "Due in · N-7 · 2026-11-20, 5 d ago" in words(pilot)
        assert "Overdue by 5 days, no new date." in words(pilot)
        assert "Enter opens the late orders at N-7. Record: orders N-7/WHL-4" in words(pilot)
        await press(pilot, "down")

        assert "0 usable and 0 on order, below 2." in words(pilot)
        assert "Enter opens the part BRK-2." in words(pilot)


async def test_on_a_small_screen_what_waits_is_read_whole_and_the_file_has_each_column_once() -> (
    None
):
    async with opened(busy) as pilot:
        await press(pilot, "j")
        lines = screen_lines(pilot.app)

        assert lines[FIRST].split("  ")[0] == " ! N-7"
        assert lines[FIRST].endswith("  1 of WHL-4 from gear shop was due on 2026-11-20")
        titles, _ = pilot.app.screen.query_one(FieldTable).listing()
        assert titles == ("What", "About", "Day", "What waits")


async def test_an_overdue_order_leads_to_the_late_orders() -> None:
    async with opened(busy, size=LARGE) as pilot:
        await press(pilot, "j", "enter")

        assert "longpole › purchasing › late orders" in screen_lines(pilot.app)[0]
        assert "Order N-7 of WHL-4 from gear shop: overdue by 5 days" in words(pilot)
        await press(pilot, "escape")

        assert "longpole › today › storeroom" in screen_lines(pilot.app)[0]


async def test_of_several_late_orders_the_one_chosen_is_under_the_cursor() -> None:
    book = small_book()
    book["orders"].extend(
        Order(order=order, supplier="gear shop", part="WHL-4", qty=1,
              ordered_on=date(2026, 10, 1), due_on=due_on)
        for order, due_on in (("N-7", date(2026, 11, 1)), ("N-8", date(2026, 11, 20)))
    )  # fmt: skip
    async with opened(lambda: snapshot_of(book, TODAY), size=LARGE) as pilot:
        await press(pilot, "j", "down", "enter")

        assert "Order N-8 of WHL-4 from gear shop: overdue by 5 days" in words(pilot)


async def test_a_part_below_its_limit_leads_to_the_part() -> None:
    async with opened(busy, size=LARGE) as pilot:
        await press(pilot, "j", "down", "enter")

        assert "longpole › part › BRK-2" in screen_lines(pilot.app)[0]


async def test_an_open_failure_leads_to_its_position() -> None:
    async with opened(busy, size=LARGE) as pilot:
        await press(pilot, "j", "tab")

        assert kinds(screen_lines(pilot.app))[0] == "! open failure"
        assert "Coil burnt." in words(pilot)
        await press(pilot, "enter")

        assert "longpole › HM-1 › brake 2" in screen_lines(pilot.app)[0].replace("fleet › ", "")


async def test_each_kind_of_the_maintenance_lead_leads_to_its_place() -> None:
    opens = {
        "· risk has risen": "longpole › part › WHL-4",
        "new notice": "longpole › WHL-4 › last order",
        "last day to buy": "longpole › WHL-4 › last order",
        "! working period": "longpole › fleet › HM-1",
    }
    async with opened(busy, size=LARGE) as pilot:
        await press(pilot, "j", "tab")
        for kind, trail in opens.items():
            at = kinds(screen_lines(pilot.app)).index(kind)
            await press(pilot, "home", *["down"] * at, "enter")

            assert trail in screen_lines(pilot.app)[0], kind
            await press(pilot, "escape")


async def test_what_to_order_and_what_to_ask_open_the_lists_of_purchasing_at_the_line() -> None:
    async with opened(busy, size=LARGE) as pilot:
        await press(pilot, "j", "tab", "tab")
        found = kinds(screen_lines(pilot.app))
        await press(pilot, *["down"] * found.index("! order now"), "enter")

        assert "longpole › purchasing › what to order" in screen_lines(pilot.app)[0]
        assert "BRK-2 shoe brake Order 2 now from brake works" in words(pilot)
        await press(pilot, "escape", "home", *["down"] * found.index("no price given"), "enter")

        assert "longpole › purchasing › what to ask" in screen_lines(pilot.app)[0]


async def test_the_person_chosen_last_is_there_again_in_the_next_run() -> None:
    desk = DeskWith(busy)
    async with opened(desk) as pilot:
        await press(pilot, "j", "tab", "escape", "j")

        assert "longpole › today › maintenance lead" in screen_lines(pilot.app)[0]
    async with opened(DeskWith(busy)) as pilot:
        await press(pilot, "j")

        assert "longpole › today › maintenance lead" in screen_lines(pilot.app)[0]


@pytest.mark.parametrize("remembered", ["nobody", 7, ["storeroom"], None])
async def test_a_person_that_is_none_is_forgotten(remembered: object) -> None:
    desk = DeskWith(busy)
    desk.remember("person", remembered)
    async with opened(desk) as pilot:
        await press(pilot, "j")

        assert "longpole › today › storeroom" in screen_lines(pilot.app)[0]


async def test_it_opens_from_other_screens_and_not_twice_from_itself() -> None:
    async with opened(busy) as pilot:
        await press(pilot, "enter", "j")

        assert "longpole › today" in screen_lines(pilot.app)[0]
        depth = len(pilot.app.screen_stack)
        await press(pilot, "j")

        assert len(pilot.app.screen_stack) == depth


class SlowDesk(DeskWith):
    """A desk whose counts take until somebody lets them go."""

    def __init__(self) -> None:
        super().__init__(busy)
        self.go = Event()

    def last_counted(self) -> dict[tuple[str, str], date]:
        """Wait, then return that nothing was ever counted."""
        self.go.wait(20)
        return {}


async def test_until_it_is_reckoned_it_says_so_and_tab_can_be_pressed_already() -> None:
    desk = SlowDesk()
    async with opened(desk) as pilot:
        await pilot.press("j")
        await pilot.press("tab")
        await pilot.pause()

        assert "Reckoning ..." in screen_text(pilot.app)
        desk.go.set()
        await settle(pilot)

        assert "longpole › today › maintenance lead" in screen_lines(pilot.app)[0]


class DeskWithoutCounts(DeskWith):
    """A desk whose database is gone when the counts are asked for."""

    def last_counted(self) -> dict[tuple[str, str], date]:
        """Refuse."""
        raise NoDatabase("site.db")


async def test_a_database_that_is_gone_meanwhile_is_told_in_a_sentence() -> None:
    async with opened(DeskWithoutCounts(busy)) as pilot:
        await press(pilot, "j", "tab", "enter")

        assert str(NoDatabase("site.db"))[1:40] in words(pilot)
