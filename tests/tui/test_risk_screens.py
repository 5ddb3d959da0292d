"""Risks, their explanation, a crane's year, what is running out: what is said, where keys lead.

The site is made up; its figures are added up in `small_site`.
"""

from __future__ import annotations

import pytest

from parts.records.book import Book
from parts.records.catalogue import Companion
from parts.records.snapshot import snapshot_of
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import LARGE, SMALL, TODAY, opened, press, settle, small_book, words
from tui.widgets.table import RowTable

BOTH_SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "140x45"])


@BOTH_SIZES
async def test_what_nobody_knows_stands_at_the_head_of_the_risks_and_is_no_nought(
    size: tuple[int, int],
) -> None:
    async with opened(size=size) as pilot:
        await press(pilot, "k")
        first = screen_lines(pilot.app)[3]

        assert "risks, ranked by what a year may take" in screen_lines(pilot.app)[0]
        assert "not known  not known" in first
        assert "Nobody knows what" in words(pilot)
        assert "It stands at the head because its place is not known." in words(pilot)


async def test_the_risks_of_a_site_without_cranes_say_so() -> None:
    async with opened(lambda: snapshot_of(Book(), TODAY)) as pilot:
        await press(pilot, "k")

        assert "No part sits in a position of a crane in use." in screen_text(pilot.app)
        await press(pilot, "enter", "tab", "escape")

        assert "longpole › fleet" in screen_lines(pilot.app)[0]


async def test_the_highlighted_part_tells_its_year_and_draws_its_drivers() -> None:
    async with opened(size=LARGE) as pilot:
        await press(pilot, "k", "down")
        text = words(pilot)

        assert "In a year 0.1 failures in 1 position take 6.1 days of work and 54,900 EUR." in text
        assert "If it fails today on HM-1, 61 days of work are lost." in text
        for driver in ("age not known", "sources █", "lead time █"):
            assert driver in text


async def test_tab_ranks_the_other_way_and_typing_filters() -> None:
    async with opened(size=LARGE) as pilot:
        await press(pilot, "k", "tab")

        assert "ranked by how hard to get" in screen_lines(pilot.app)[0]
        await press(pilot, *"kwheel")

        assert "none (4 in all)" in screen_text(pilot.app)
        assert "No line holds what you typed." in screen_text(pilot.app)
        await press(pilot, "escape", *"drive WH")

        assert "1 of 1 (4 in all)" in screen_text(pilot.app)
        await press(pilot, "enter")

        assert "longpole › part › WHL-4" in screen_lines(pilot.app)[0]
        await press(pilot, "escape", "escape", "escape")

        assert "longpole › fleet" in screen_lines(pilot.app)[0]


# How a figure came about


async def test_each_term_is_told_in_full_and_leads_to_its_record() -> None:
    async with opened(size=SMALL) as pilot:
        await press(pilot, "enter", "down", "enter", "x")
        lines = screen_lines(pilot.app)

        assert lines[0].startswith(" longpole › HM-1 › pinion › explained")
        assert "If HM-1/pinion fails today, HM-1 stands still for 61.0 days" in words(pilot)
        assert "Enter opens the position HM-1/pinion." in words(pilot)
        await press(pilot, *["down"] * 2)

        assert "Record: offers gear shop/PIN-7/made/pinion route" in words(pilot)
        await press(pilot, "enter")

        assert "longpole › part › PIN-7" in screen_lines(pilot.app)[0]


async def test_a_term_without_a_screen_says_where_its_record_stands() -> None:
    async with opened(size=LARGE) as pilot:
        await press(pilot, "enter", "end", "up", "up", "enter", "p", "x")
        text = words(pilot)
        assert "longpole › REL-1 › explained" in text
        row = next(n for n, line in enumerate(screen_lines(pilot.app)) if "classes relays" in line)
        await press(pilot, *["down"] * (row - 3), "enter")

        assert "it stands in the file classes of the site book" in words(pilot)


async def test_a_click_on_the_term_under_the_cursor_leads_to_its_record() -> None:
    async with opened(size=LARGE) as pilot:
        await press(pilot, "enter", "down", "enter", "x")
        await pilot.click(RowTable, offset=(5, 1))
        await settle(pilot)

        assert "If pinion breaks today" in screen_text(pilot.app)


async def test_the_part_that_sets_the_date_gives_its_ways_at_the_position() -> None:
    book = small_book()
    book["companions"].append(Companion(part="WHL-4", companion="PIN-7"))
    async with opened(lambda: snapshot_of(book, TODAY), size=LARGE) as pilot:
        await press(pilot, "end", "up", "down", "enter", "enter")
        text = words(pilot)

        assert "Every way to get PIN-7, which sets the date today" in text
        assert "have it made by gear shop" in text
