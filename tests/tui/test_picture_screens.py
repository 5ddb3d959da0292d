"""Fleet heat, exposure by year, lead times and ages: what is drawn and said, and where keys lead.

The site is made up; it is told in `small_site`. Here three orders came late from the gear shop and
one in time from the brake works, and one is overdue; wheels live 10 years at the mean.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from textual.app import App

from parts.records.book import Book
from parts.records.catalogue import Part
from parts.records.snapshot import Snapshot, snapshot_of
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Order
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import (
    LARGE,
    SMALL,
    TODAY,
    opened,
    press,
    settle,
    small_book,
    small_site,
    words,
)

BOTH_SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "140x45"])
NARROW = (40, 20)


def order(name: str, supplier: str, took: int | None) -> Order:
    ordered_on = date(2026, 1, 1)
    return Order(
        order=name,
        supplier=supplier,
        part="WHL-4",
        qty=1,
        ordered_on=ordered_on,
        quoted_days=20.0,
        due_on=ordered_on + timedelta(days=20),
        received_on=None if took is None else ordered_on + timedelta(days=took),
    )


def book_with_history() -> Book:
    book = small_book()
    book["orders"].extend(
        [order(f"G{n}", "gear shop", took) for n, took in enumerate((22, 30, 26))]
    )
    book["orders"].extend([order("B1", "brake works", 20), order("B2", "brake works", None)])
    book.rows["parts"] = [
        Part(part="WHL-4", description="drive wheel", life_basis="years", life_shape=1.0,
             life_scale=10.0) if row.part == "WHL-4" else row
        for row in book["parts"]
    ]  # fmt: skip
    for n, year in enumerate((1996, 2011, 2024)):
        book["positions"].append(
            Position(
                crane="HM-2",
                position=f"idler {n}",
                part="WHL-4",
                installed=date(year, 11, 25),
                load_bearing=n == 0,
            )
        )
    return book


def site_with_history() -> Snapshot:
    return snapshot_of(book_with_history(), TODAY)


# Fleet heat


@BOTH_SIZES
async def test_fleet_heat_tells_the_cell_under_the_cursor(size: tuple[int, int]) -> None:
    async with opened(size=size) as pilot:
        await press(pilot, "z")
        lines, text = screen_lines(pilot.app), words(pilot)
        first = next(line for line in lines if line.startswith(" HM-1"))

        # 6.1 lost days a year through the pinion at 9000 a day, and what the brakes add
        assert "longpole › pictures" in lines[0]
        assert "Fleet heat" in lines[1]
        assert "picture 1 of 4" in lines[1]
        assert "HM-1, ladle crane · hoisting: █ 5" in text
        assert "EUR a year, 3 positions; most through pinion." in text
        assert "█ from 30,000 EUR" in text
        assert first.split()[1] in text.replace(" EUR", "")
        assert "Not known at 3 positions." in text


async def test_a_crane_whose_cost_nobody_knows_is_no_cheap_one() -> None:
    async with opened() as pilot:
        await press(pilot, "z")
        row = next(line for line in screen_lines(pilot.app) if line.startswith(" HM-2"))

        assert row.split()[1:] == ["?", "?"]
        await press(pilot, "u")
        row = next(line for line in screen_lines(pilot.app) if line.startswith(" HM-2"))

        assert "5.1" in row
        assert "lost days, cranes by functions" in words(pilot)


async def test_the_cursor_walks_and_enter_opens_the_worst_position() -> None:
    async with opened() as pilot:
        await press(pilot, "z", "u", "down", "right")
        assert "HM-2, yard crane · travel: █ 5.1 days lost a year" in words(pilot)
        await press(pilot, "right")
        assert "HM-2, yard crane · light: the crane has nothing there." in words(pilot)
        await press(pilot, "enter")

        assert "longpole › pictures" in screen_lines(pilot.app)[0]
        await press(pilot, "left", "enter")

        assert "longpole › fleet › HM-2 › wheel" in screen_lines(pilot.app)[0]


async def test_the_systems_can_be_the_classes_of_parts() -> None:
    async with opened() as pilot:
        await press(pilot, "z", "s")
        text = words(pilot)

        assert "cranes by classes of parts" in text
        assert "relays" in text
        await press(pilot, "y")

        assert pilot.app.clipboard.startswith("HM-1\tclass not recorded\t")


async def test_a_click_moves_to_a_cell_and_a_second_one_opens_it() -> None:
    async with opened() as pilot:
        await press(pilot, "z", "u")
        lines = screen_lines(pilot.app)
        row = next(at for at, line in enumerate(lines) if line.startswith(" HM-2"))
        column = lines[row].index("█")
        await pilot.click(offset=(column, row))
        await settle(pilot)

        assert "HM-2, yard crane · travel" in words(pilot)
        await pilot.click(offset=(column, row))
        await settle(pilot)

        assert "longpole › fleet › HM-2 › wheel" in screen_lines(pilot.app)[0]


async def test_a_click_beside_the_cells_opens_nothing() -> None:
    async with opened() as pilot:
        await press(pilot, "z")
        for offset in ((1, 4), (70, 4), (5, 14), (30, 14)):
            await pilot.click(offset=offset)
            await settle(pilot)

            assert "longpole › pictures" in screen_lines(pilot.app)[0]


def large_fleet() -> Snapshot:
    book = Book()
    for n in range(1000):
        crane = f"K-{n:04}"
        book["cranes"].append(Crane(crane=crane))
        book["functions"].extend(
            [Function(crane=crane, function=f"duty {f}", lost_share=1.0) for f in range(12)]
        )
        book["positions"].extend(
            [Position(crane=crane, position=f"place {f}", failures_per_year=0.1) for f in range(12)]
        )
        book["needs"].extend(
            [Need(crane=crane, item=f"duty {f}", needs=f"place {f}") for f in range(12)]
        )
    return snapshot_of(book, TODAY)


async def test_a_thousand_cranes_scroll_both_ways() -> None:
    async with opened(large_fleet) as pilot:
        await press(pilot, "z")
        assert "crane 1 of 1,000" in words(pilot)
        await press(pilot, "end", *["right"] * 11)
        text = words(pilot)

        assert "K-0999" in text
        assert "crane 1000 of 1,000" in text
        assert "duty 9: ? not known a year" in text
        assert "‹" in screen_text(pilot.app)
        await press(pilot, "home", *["left"] * 11)

        assert "K-0000" in words(pilot)
        assert "›" in screen_text(pilot.app)


async def test_a_site_without_cranes_says_so_on_every_picture() -> None:
    async with opened(lambda: snapshot_of(Book(), TODAY)) as pilot:
        await press(pilot, "z")
        assert "No position on any live crane." in screen_text(pilot.app)
        await press(pilot, "enter", "down", "y", "tab")
        assert "Exposure by year" in screen_text(pilot.app)
        await press(pilot, "tab")
        assert "No supplier is recorded." in screen_text(pilot.app)
        await press(pilot, "tab", "enter")

        assert "No live position holds it." in screen_text(pilot.app)


# Exposure by year


@BOTH_SIZES
async def test_the_years_stand_as_they_are_and_with_the_plan(size: tuple[int, int]) -> None:
    async with opened(size=size) as pilot:
        await press(pilot, "z", "tab")
        lines = screen_lines(pilot.app)
        years = [line for line in lines if line.startswith(" 20")]

        assert [line.split()[0] for line in years] == [f"{2026 + n}-11-25" for n in range(10)]
        assert "with plan" in next(line for line in lines if "as is" in line)
        assert "the plan spends" in words(pilot)
        assert "█" in years[0]


async def test_plus_and_minus_move_the_budget() -> None:
    async with opened() as pilot:
        await press(pilot, "z", "tab", *["minus"] * 30)
        assert "Of 0 EUR the plan spends 0 EUR" in words(pilot)
        row = next(line for line in screen_lines(pilot.app) if line.startswith(" 2026"))

        # nothing bought: both bars and both figures are the same
        assert row.split()[1:3] == row.split()[3:5]
        await press(pilot, "plus")

        assert "Of 0 EUR" not in words(pilot)


async def test_lost_days_have_decimals_where_money_has_none() -> None:
    async with opened() as pilot:
        await press(pilot, "z", "tab", "u")
        row = next(line for line in screen_lines(pilot.app) if line.startswith(" 2026"))

        assert "in lost days, twelve months each" in words(pilot)
        assert "." in row.split()[1]


# Lead times


@BOTH_SIZES
async def test_lead_times_tell_who_is_late_by_word_range_and_factor(size: tuple[int, int]) -> None:
    async with opened(site_with_history, size=size) as pilot:
        await press(pilot, "z", "tab", "tab")
        text, lines = words(pilot), screen_lines(pilot.app)
        late = next(line for line in lines if line.startswith(" gear shop"))
        on_time = next(line for line in lines if line.startswith(" brake works"))

        assert "1 of 2 suppliers took longer than promised, at the median" in text
        assert "1 have delivered nothing yet" in text
        assert late.split()[2:8] == ["▼", "late", "20", "d", "26", "d"]
        assert "● as said, 1 due" in on_time
        assert "gear shop: 3 of 3 came later than promised; 1.10 to 1.50 days for each day" in text
        assert ("├" in late) == ("┤" in late)
        await press(pilot, "down")

        assert "1 open order past the day it was due." in words(pilot)


async def test_the_strip_is_whole_or_not_there_at_any_width() -> None:
    async with opened(site_with_history, size=SMALL) as pilot:
        await press(pilot, "z", "tab", "tab")
        for width in (60, *range(66, 82), 99):
            await pilot.resize_terminal(width, 24)
            await settle(pilot)
            late = next(x for x in screen_lines(pilot.app) if x.startswith(" gear shop"))

            # two signs may share a cell, but the line always reaches its end
            assert len(late) <= width
            has_strip = any(sign in late for sign in "├┼◆◈┊")
            assert late.endswith(("┤", "◈", "▶")) == has_strip
            assert has_strip == (width >= 68 + 6)


# Ages


@BOTH_SIZES
async def test_ages_tell_what_is_beyond_its_range(size: tuple[int, int]) -> None:
    async with opened(site_with_history, size=size) as pilot:
        await press(pilot, "z", "tab", "tab", "tab")
        text, lines = words(pilot), screen_lines(pilot.app)
        rows = [line for line in lines if line.startswith(" HM-2/idler")]

        # exponential with mean 10: 90 % fail before 23.03 years
        assert "1 beyond range, 1 beyond mean, 1 within" in text
        assert ["▼ beyond range" in rows[0], "◆ beyond mean" in rows[1], "● within" in rows[2]] == [
            True
        ] * 3
        assert "30.0 y" in rows[0]
        assert "HM-2/idler 0: WHL-4 is 30.0 y old" in text
        assert "10 % fail before 1.1 y, 90 % before 23.0 y (stated)" in text
        assert "An age is no inspection" in text
        assert "Never run on a worn part" in text
        await press(pilot, "enter")

        assert "longpole › fleet › HM-2 › idler 0" in screen_lines(pilot.app)[0]


@BOTH_SIZES
async def test_more_ages_than_lines_leave_every_strip_whole(size: tuple[int, int]) -> None:
    book = book_with_history()
    idler = book["positions"][-1]
    book["positions"].extend(replace(idler, position=f"roller {n:02}") for n in range(60))
    async with opened(lambda: snapshot_of(book, TODAY), size=size) as pilot:
        await press(pilot, "z", "tab", "tab", "tab", "pagedown")
        lines = [
            line for line in screen_lines(pilot.app) if " within " in line and "roller" in line
        ]

        # two years of ten at the mean, 90 % before 2.3 means: ◆ before ┼ before ┤
        assert len(lines) > 4
        assert all("├" in line or "◈" in line for line in lines)
        assert all(line.rstrip(" ▁▂▃▄▅▆▇█").endswith("┤") for line in lines)


async def test_the_ages_of_one_part_open_from_its_screen() -> None:
    async with opened(site_with_history, size=LARGE) as pilot:
        await press(pilot, "end", "enter", "enter", "p", "s")
        text = words(pilot)

        assert "longpole › part › WHL-4 › pictures" in screen_lines(pilot.app)[0]
        assert "Ages at positions of WHL-4 against expected life" in text
        assert "pinion" not in text
        await press(pilot, "tab", "escape")

        assert "longpole › part › WHL-4" in screen_lines(pilot.app)[0]


# All pictures


async def test_a_key_that_a_picture_has_no_use_for_says_what_to_press() -> None:
    async with opened() as pilot:
        for keys, said in (
            (["z", "plus"], "Only the years have a budget"),
            (["tab", "s"], "Only fleet heat has systems"),
            (["tab", "u"], "one unit only"),
        ):
            await press(pilot, *keys)

            assert f"! {said}" in words(pilot) or said in words(pilot)


@pytest.mark.parametrize("size", [(20, 10), NARROW, (60, 16)])
async def test_small_windows_neither_fail_nor_cut_a_figure(size: tuple[int, int]) -> None:
    async with opened(site_with_history, size=size) as pilot:
        for keys in (["z"], ["down", "right", "u"], ["tab"], ["plus"], ["tab"], ["tab"]):
            await press(pilot, *keys)

            assert pilot.app.is_running
            assert all(len(line) <= size[0] for line in screen_lines(pilot.app))


def bright(app: App[None], text: str) -> bool:
    """Return whether the lines that hold a text are drawn in the theme's full foreground."""
    strips = app.screen._compositor.render_strips()
    segments = [s for strip in strips if text in strip.text for s in strip if text in s.text]
    colours = [segment.style.color for segment in segments if segment.style]
    return bool(colours) and all(c is not None and min(c.triplet or (0,)) > 0xC0 for c in colours)


async def test_without_colour_shades_keep_their_full_ink(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(small_site) as pilot:
        await press(pilot, "z", "down")

        assert bright(pilot.app, "████")
        await press(pilot, "tab", "tab")

        assert "Lead times" in screen_text(pilot.app)
