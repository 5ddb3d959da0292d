"""A crane's year, the watch list, duty and findings: what is said, and where keys lead.

The site is made up; its figures are added up in `small_site`.
"""

from __future__ import annotations

import pytest

from parts.records.book import Book
from parts.records.snapshot import snapshot_of
from parts.records.structure import Need, Position
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import LARGE, SMALL, TODAY, opened, press, small_book, words

BOTH_SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "140x45"])


# A crane's year


@BOTH_SIZES
async def test_a_crane_tells_its_year_and_what_stops_it_alone(size: tuple[int, int]) -> None:
    async with opened(size=size) as pilot:
        await press(pilot, "enter", "e")
        text = words(pilot)

        assert "longpole › fleet › HM-1 › a year" in screen_lines(pilot.app)[0]
        assert "1 position can stop it alone, 1 pair of positions can" in text
        assert "twins share spares, firmware and supply" in text
        assert "Not known, so left out of the sum: lamp and relay." in text
        assert "pinion: PIN-7" in text
        assert "Fussell-Vesely █" in text
        assert "criticality █" in text
        await press(pilot, "enter")

        assert "If pinion breaks today" in screen_text(pilot.app)


async def test_twins_appear_as_a_pair_with_what_they_share_and_who_decides() -> None:
    async with opened(size=LARGE) as pilot:
        await press(pilot, "enter", "e", "tab")
        text = words(pilot)

        pair = next(line for line in screen_lines(pilot.app) if "brake 1 + brake 2" in line)
        assert "BRK-2" in pair
        assert "Both hold BRK-2: the same spares, firmware and supply." in text
        assert "whether the crane may run without it is for a qualified person" in text
        await press(pilot, "enter")

        assert "If these fail together: HM-1/brake 1 and HM-1/brake 2." in words(pilot)
        await press(pilot, "escape", "escape")

        assert "marked" not in screen_text(pilot.app)


async def test_a_crane_that_nothing_stops_says_so() -> None:
    async with opened() as pilot:
        await press(pilot, "down", "enter", "e")

        assert "No position alone stops this crane." in screen_text(pilot.app)
        await press(pilot, "tab", "enter")

        assert "No pair of positions stops this crane." in screen_text(pilot.app)


async def test_a_stopper_of_which_nobody_knows_how_to_restore_it_has_no_nought() -> None:
    book = small_book()
    book["positions"].append(Position(crane="HM-2", position="axle", failures_per_year=0.1))
    book["needs"].append(Need(crane="HM-2", item="travel", needs="axle"))
    book["functions"][2] = type(book["functions"][2])(
        crane="HM-2", function="travel", lost_share=1.0
    )
    async with opened(lambda: snapshot_of(book, TODAY)) as pilot:
        await press(pilot, "end", "enter", "e")
        text = words(pilot)

        assert "how much of the time it is down is not known" in text
        assert "not known" in next(line for line in screen_lines(pilot.app) if " axle " in line)


# Watch list


@BOTH_SIZES
async def test_the_watch_list_tells_the_last_day_and_the_chances(size: tuple[int, int]) -> None:
    async with opened(size=size) as pilot:
        await press(pilot, "l")
        line = screen_lines(pilot.app)[3]

        assert line.startswith(" WHL-4")
        assert "2027-02-23 (in 90 d)" in line
        assert "The last order can be placed on 2027-02-23 (in 90 d)." in words(pilot)
        assert "chance that it can still be had then" in words(pilot)
        await press(pilot, "enter")

        assert "longpole › part › WHL-4" in screen_lines(pilot.app)[0]


# Duty


@BOTH_SIZES
async def test_what_is_used_beyond_the_whole_is_drawn_beyond_the_line(
    size: tuple[int, int],
) -> None:
    async with opened(size=size) as pilot:
        await press(pilot, "d")
        over, half, unknown = (
            screen_lines(pilot.app)[-19:][:0]
            or [line for line in screen_lines(pilot.app) if line.startswith(" HM-")][:3]
        )

        assert "120 %" in over
        assert "█┃█" in over
        assert "50 %" in half
        assert "█┃" not in half
        assert "not known" in unknown
        assert "1,920 of 1,600 full-load hours are used, 120 %: the working period is used up." in (
            words(pilot)
        )
        assert "S/D, hours used over the group's hours, is an estimate" in words(pilot)
        assert "It belongs to a qualified person." in words(pilot)


async def test_a_second_shift_and_heavier_lifts_move_the_day_and_write_nothing() -> None:
    async with opened(size=LARGE) as pilot:
        await press(pilot, "d", "down")
        assert "2030-11-25" in screen_text(pilot.app)
        await press(pilot, "s")

        assert "2 times the hours a year from today on" in words(pilot)
        assert "Runs out 2028-11-24 with 2 times the hours a year" in words(pilot)
        await press(pilot, "h", "h", "h")

        assert "a load-spectrum factor of 1 or more from today on" in words(pilot)
        assert "Runs out 2027-11-25 with" in words(pilot)
        await press(pilot, "s", "h")

        assert "Working periods as used now." in words(pilot)
        assert "2028-11-24" not in screen_text(pilot.app)
        await press(pilot, "up", "s")

        assert "what is used up stays so" in words(pilot)


async def test_a_site_without_duty_says_what_to_record() -> None:
    async with opened(lambda: snapshot_of(Book(), TODAY)) as pilot:
        await press(pilot, "d", "enter", "s", "h")

        assert "No mechanism's duty is recorded." in screen_text(pilot.app)


# Findings


@BOTH_SIZES
async def test_findings_are_told_with_rule_and_source_and_lead_to_their_place(
    size: tuple[int, int],
) -> None:
    async with opened(size=size) as pilot:
        await press(pilot, "n", *"closed works")
        text = words(pilot)

        assert "! warning" in text
        assert "Rule: " in text
        assert "closed works is closed" in text
        await press(pilot, "enter")

        assert "longpole › part › PIN-7" in screen_lines(pilot.app)[0]


async def test_a_site_without_findings_says_so() -> None:
    async with opened(lambda: snapshot_of(Book(), TODAY)) as pilot:
        await press(pilot, "n", "enter")

        assert "no rule found anything on this site" in screen_text(pilot.app)
