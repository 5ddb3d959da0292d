"""The plan, last orders, purchasing and what if: what is said, what keys do, what nonsense gets.

The site is made up; its figures are added up in `small_site`. Here the pinion can be bought for
5,000 EUR: it fails 0.1 times a year and stands 61 days, so that a spare saves nearly all of 60
days x 0.1 = 6.0 days and 54,000 EUR of the 55,053 EUR a year.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from threading import Event
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from parts.records.book import Book
from parts.records.catalogue import Part
from parts.records.plan_answers import PlanAnswer
from parts.records.snapshot import Snapshot, snapshot_of
from parts.records.structure import Position
from parts.records.supply import Offer, Order
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import LARGE, SMALL, TODAY, opened, press, settle, small_book, words
from tui.screens.plan import PlanScreen
from tui.site import Site

BOTH_SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "140x45"])
NONSENSE = ["abc", "-5", "12,5", "1e5", "[/x]", "\x1b[2J", "nan", "9" * 190]


def priced() -> Snapshot:
    book = small_book()
    book["offers"].append(
        Offer(supplier="gear shop", part="PIN-7", likely=61.0, unit_price=5000.0, approval="drawn")
    )
    return snapshot_of(book, TODAY)


async def put(pilot: Pilot[None], text: str) -> None:
    """Put a text into the line, as a paste would."""
    pilot.app.screen.query_one(Input).value = text
    await settle(pilot)


# The plan


@BOTH_SIZES
async def test_the_plan_begins_at_the_knee_and_tells_what_it_changes(
    size: tuple[int, int],
) -> None:
    async with opened(priced, size=size) as pilot:
        await press(pilot, "b")
        text = words(pilot)

        assert "longpole › plan" in screen_lines(pilot.app)[0]
        assert "Budget 5,000 EUR" in text
        assert "Of 5,000 EUR the plan spends 5,000 EUR." in text
        assert "A year's exposure falls from 55,053 EUR to" in text
        assert "keeping it costs" in text
        line = next(each for each in screen_lines(pilot.app) if each.startswith(" PIN-7"))
        assert "spare" in line
        assert "5,000" in line
        assert "Keep 1 unit of PIN-7 more (pinion shaft, 7 teeth) from gear shop, order by" in text
        assert "55,053 │█" in text
        assert "▲ this plan: 5,000 leaves" in text or "◈ this plan, at the knee" in text
        await press(pilot, "enter")

        assert "longpole › part › PIN-7" in screen_lines(pilot.app)[0]


async def test_the_plan_follows_the_budget_that_is_typed() -> None:
    async with opened(priced, size=LARGE) as pilot:
        await press(pilot, "b")
        await put(pilot, "4999")

        assert "This plan buys nothing. The budget is too small" in words(pilot)
        assert "▲ this plan: 0 leaves 55,053" in words(pilot)
        assert "No line to order." in screen_text(pilot.app)
        await press(pilot, "backspace", "backspace", "backspace", "backspace", *"5 000")

        assert "Of 5,000 EUR the plan spends 5,000 EUR." in words(pilot)


async def test_plus_and_minus_step_the_budget_and_never_below_nothing() -> None:
    async with opened(priced, size=LARGE) as pilot:
        await press(pilot, "b")
        await put(pilot, "20")
        await press(pilot, "minus", "minus")

        assert pilot.app.screen.query_one(Input).value == "0"
        await press(pilot, "plus")

        assert float(pilot.app.screen.query_one(Input).value) > 0
        assert "the plan buys nothing" in words(pilot).casefold().replace("this", "the")


@BOTH_SIZES
@pytest.mark.parametrize("nonsense", NONSENSE)
async def test_nonsense_in_the_budget_gets_a_sentence_and_the_plan_stays(
    nonsense: str, size: tuple[int, int]
) -> None:
    async with opened(priced, size=size) as pilot:
        await press(pilot, "b")
        await put(pilot, nonsense)
        beside = screen_lines(pilot.app)[1].partition("EUR")[2]

        assert beside.strip().endswith((".", "?"))
        assert "the plan spends 5,000 EUR" in words(pilot)
        await press(pilot, "plus")

        assert screen_lines(pilot.app)[1].partition("EUR")[2].strip() == "type it, or + and -"


async def test_letters_are_typed_and_do_nothing_else() -> None:
    async with opened(priced) as pilot:
        await press(pilot, "b", *"qkbt")

        assert isinstance(pilot.app.screen, PlanScreen)
        assert pilot.app.screen.query_one(Input).value.endswith("qkbt")


async def test_tab_tells_how_the_plan_was_chosen_and_what_is_left_out() -> None:
    async with opened(priced) as pilot:
        await press(pilot, "b", "tab")
        text = words(pilot)

        assert "Buying step by step" in text
        assert "as nobody offers them at a price: REL-1, SEAL-3, WHL-4." in text
        await press(pilot, "tab")

        assert "this plan" in words(pilot)


async def test_a_site_where_nothing_is_worth_buying_says_why() -> None:
    async with opened() as pilot:
        await press(pilot, "b", "plus", "enter", "down", "tab", "tab")
        text = words(pilot)

        assert "This plan buys nothing. Nothing to gain:" in text
        assert "there is nothing to draw" in text


async def test_an_empty_site_has_a_plan_that_says_why_it_is_empty() -> None:
    async with opened(lambda: snapshot_of(Book(), TODAY)) as pilot:
        await press(pilot, "b", "plus", "enter")

        assert "No failure is expected anywhere" in words(pilot)


async def test_escape_leaves_while_everything_is_weighed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    weighed, plan = Event(), Site.plan

    def slow(site: Site, budget: float) -> PlanAnswer:
        weighed.wait(20)
        return plan(site, budget)

    monkeypatch.setattr(Site, "plan", slow)
    async with opened(priced) as pilot:
        await pilot.press("b", "7")

        assert "Weighing every purchase" in screen_text(pilot.app)
        await pilot.press("escape")

        assert "longpole › fleet" in screen_lines(pilot.app)[0]
        weighed.set()
        await settle(pilot)
        await press(pilot, "b")

        assert "the plan spends 5,000 EUR" in words(pilot)


async def test_a_budget_typed_while_everything_is_weighed_is_answered(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    weighed, plan = Event(), Site.plan

    def slow(site: Site, budget: float) -> PlanAnswer:
        weighed.wait(20)
        return plan(site, budget)

    monkeypatch.setattr(Site, "plan", slow)
    async with opened(priced) as pilot:
        await pilot.press("b", *"7000")
        weighed.set()
        await settle(pilot)

        assert "Of 7,000 EUR the plan spends 5,000 EUR" in words(pilot)


# Last orders


@BOTH_SIZES
async def test_last_orders_stand_on_one_axis_and_lead_to_the_units(size: tuple[int, int]) -> None:
    async with opened(size=size) as pilot:
        await press(pilot, "g")
        line = next(each for each in screen_lines(pilot.app) if each.startswith(" WHL-4"))

        assert "2027-02-23" in line
        assert "90 d" in line
        assert line.endswith("━◆")
        assert "Order from gear shop by 2027-02-23: 90 d are left." in words(pilot)
        await press(pilot, "enter")
        text = words(pilot)

        assert "longpole › WHL-4 › last order" in screen_lines(pilot.app)[0]
        assert "Its price is not known: ask for a quotation." in text
        assert "for 80 % it would take 10." in text


@BOTH_SIZES
async def test_the_units_of_a_last_order_tell_one_fewer_and_one_more(
    size: tuple[int, int],
) -> None:
    async with opened(worth_taking, size=size) as pilot:
        await press(pilot, "g", "enter")
        text = words(pilot)

        for lot in ("One fewer, ", "Advised, ", "One more, "):
            assert lot in text
        assert "yes ← advised" in text
        assert "lasts with a chance of" in text
        assert "On paper, " in text
        assert "critical ratio 0." in text
        await press(pilot, "enter")

        assert "longpole › part › WHL-4" in screen_lines(pilot.app)[0]


def worth_taking() -> Snapshot:
    """The site with a price for the wheel, a slow other way, and a cost a day for its crane."""
    book = small_book()
    book.rows["offers"] = [
        replace(row, unit_price=800.0) if row.part == "WHL-4" else row for row in book["offers"]
    ]
    book.rows["cranes"] = [
        replace(row, down_cost_per_day=1000.0) if row.crane == "HM-2" else row
        for row in book["cranes"]
    ]
    book["offers"].append(Offer(supplier="brake works", part="WHL-4", kind="used", likely=90.0))
    return snapshot_of(book, TODAY)


async def test_a_site_without_last_days_says_so() -> None:
    async with opened(lambda: snapshot_of(Book(), TODAY)) as pilot:
        await press(pilot, "g", "enter")

        assert "No last day is known" in screen_text(pilot.app)


@BOTH_SIZES
async def test_more_last_days_than_lines_leave_every_axis_whole(size: tuple[int, int]) -> None:
    book = small_book()
    for name in (f"Q{n:02}" for n in range(60)):
        book["parts"].append(Part(part=name))
        book["offers"].append(Offer(supplier="gear shop", part=name, likely=10.0))
        book["positions"].append(Position(crane="HM-2", position=name, part=name))
        book["notices"].append(replace(book["notices"][0], part=name))
    async with opened(lambda: snapshot_of(book, TODAY), size=size) as pilot:
        await press(pilot, "g")
        lines = [line for line in screen_lines(pilot.app) if line.startswith(" Q")]

        assert len(lines) > 8
        assert not any("…" in line for line in lines)


async def test_the_axis_follows_the_width_of_the_window() -> None:
    async with opened(size=SMALL) as pilot:
        await press(pilot, "g")
        await pilot.resize_terminal(*LARGE)
        await settle(pilot)
        line = next(each for each in screen_lines(pilot.app) if each.startswith(" WHL-4"))

        assert len(line) > 130


# Purchasing


def with_an_order() -> Snapshot:
    book = small_book()
    order: Any = Order(
        order="A-1",
        supplier="brake works",
        part="BRK-2",
        qty=2,
        ordered_on=date(2026, 9, 1),
        due_on=date(2026, 10, 1),
    )
    book["orders"].append(order)
    book.rows["parts"] = [
        replace(row, min_stock=3) if row.part == "SEAL-3" else row for row in book["parts"]
    ]
    return snapshot_of(book, TODAY)


@BOTH_SIZES
async def test_what_to_order_now_stands_alone_until_all_is_asked_for(
    size: tuple[int, int],
) -> None:
    async with opened(with_an_order, size=size) as pilot:
        await press(pilot, "o")
        text = words(pilot)

        assert "longpole › purchasing › what to order" in screen_lines(pilot.app)[0]
        assert "1 part to order now" in text
        assert "Order 3 now from gear shop" in text
        assert "WHL-4" not in text
        await press(pilot, "a")

        assert "WHL-4" in words(pilot)
        await press(pilot, "enter")

        assert "longpole › part › SEAL-3" in screen_lines(pilot.app)[0]


@BOTH_SIZES
async def test_late_orders_and_enquiries_are_a_tab_away(size: tuple[int, int]) -> None:
    async with opened(with_an_order, size=size) as pilot:
        await press(pilot, "o", "tab")

        assert "1 order late." in words(pilot)
        assert "Order A-1 of BRK-2 from brake works: overdue by 55 days" in words(pilot)
        await press(pilot, "tab")
        text = words(pilot)

        assert "things to ask 2 suppliers." in text
        assert "look for a second one" in text
        await press(pilot, "enter")

        assert "longpole › part › BRK-2" in screen_lines(pilot.app)[0]
        await press(pilot, "escape", "tab")

        assert "what to order" in screen_lines(pilot.app)[0]


async def test_a_site_without_anything_to_purchase_says_so() -> None:
    async with opened(lambda: snapshot_of(Book(), TODAY)) as pilot:
        await press(pilot, "o", "enter", "a")
        assert "Nothing has to be ordered today." in screen_text(pilot.app)
        await press(pilot, "tab", "enter", "a")

        assert "Every open order is coming as promised" in screen_text(pilot.app)
        await press(pilot, "tab", "enter")

        assert "nothing to ask any supplier" in screen_text(pilot.app)
