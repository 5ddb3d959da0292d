"""Fleet, crane, position: what each screen says, and which keys lead on and back.

The site is made up; its figures are added up in `small_site`.
"""

from __future__ import annotations

import pytest

from parts.records.book import Book
from parts.records.catalogue import Part
from parts.records.snapshot import snapshot_of
from parts.records.structure import Crane, Position
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import LARGE, SMALL, TODAY, opened, press, settle, words
from tui.screens.positions import PositionsScreen

BOTH_SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "140x45"])


async def test_a_site_without_cranes_says_what_to_do() -> None:
    async with opened(lambda: snapshot_of(Book(), TODAY)) as pilot:
        assert "This database holds no crane in use." in screen_text(pilot.app)
        assert "Press s for the first steps" in screen_text(pilot.app)
        await press(pilot, "enter", "y", "slash", "tab")

        assert "No position holds what you typed." in screen_text(pilot.app)


async def test_a_crane_without_positions_is_listed_and_opens() -> None:
    book = Book()
    book["cranes"].append(Crane(crane="HM-3", name="idle crane"))
    async with opened(lambda: snapshot_of(book, TODAY)) as pilot:
        assert "HM-3, idle crane: no positions recorded" in screen_text(pilot.app)
        await press(pilot, "enter")

        assert "No position of this crane is recorded." in screen_text(pilot.app)
        await press(pilot, "enter", "space", "f", "y")

        assert "Nothing is marked" in screen_text(pilot.app)


@BOTH_SIZES
async def test_the_fleet_tells_each_crane_and_draws_the_long_pole_of_one(
    size: tuple[int, int],
) -> None:
    async with opened(size=size) as pilot:
        lines = screen_lines(pilot.app)

        assert "2 cranes, 6 positions, 1 retired crane left out." in lines[1]
        assert "Nobody knows how to restore 1 of them." in words(pilot)
        cranes = [line for line in lines if line.startswith(" HM-") and "reduced" in line]
        assert [line.split()[0] for line in cranes] == ["HM-1", "HM-2"]
        assert "not known" in cranes[0]
        assert "no part is recorded at this position" in words(pilot)
        await press(pilot, "down")
        text = screen_text(pilot.app)

        assert "HM-2, yard crane, bay south" in text
        assert (
            "HM-2 loses 50 % of its work for 20.5 days, because of WHL-4: new from gear"
            in words(pilot)
        )
        assert "█" in text
        assert "A planning aid: no inspection, no permission to run." in text


@BOTH_SIZES
async def test_a_crane_lists_its_positions_by_lost_days(size: tuple[int, int]) -> None:
    async with opened(size=size) as pilot:
        await press(pilot, "enter")
        names = [line[3:].split("  ")[0] for line in screen_lines(pilot.app)[3:8]]

        assert names == ["lamp", "pinion", "relay", "brake 1", "brake 2"]
        await press(pilot, "down")

        assert "PIN-7 needs 3 operations, 60 days; the longest is" in words(pilot)
        assert "2 of 5" in screen_lines(pilot.app)[1]


async def test_a_position_answers_in_a_sentence_and_gives_every_way_with_its_reason() -> None:
    async with opened(size=LARGE) as pilot:
        await press(pilot, "enter", "down", "enter")
        text = words(pilot)

        assert "If pinion breaks today, HM-1 stands still for 61 days, because" in text
        assert "cost 549,000 EUR" in text
        assert "have it made by gear shop, by route pinion route" in text
        assert "not usable: supplier closed works is closed" in text
        assert "turning 20 d" in text
        assert "in all 61 d" in text


async def test_what_is_assumed_says_so_in_a_word() -> None:
    async with opened(size=LARGE) as pilot:
        await press(pilot, "enter", "down", "down")

        assert "~ 35.1 d" in screen_text(pilot.app)
        await press(pilot, "enter")

        assert "The lead time is assumed, not quoted" in screen_text(pilot.app)


async def test_a_twin_that_bears_load_is_never_plainly_in_service() -> None:
    async with opened(size=LARGE) as pilot:
        await press(pilot, "enter", "end")

        assert "◆ ask first" in screen_text(pilot.app)
        assert "in service" not in screen_text(pilot.app)
        await press(pilot, "enter")
        text = words(pilot)

        assert "for a qualified person to decide, in writing, with a limit and a date" in text
        assert "Never run on a worn part." in text
        assert "in service" not in text.split("How the figures")[0]


async def test_a_position_without_a_part_says_that_it_must_be_found_out() -> None:
    async with opened() as pilot:
        await press(pilot, "enter", "enter")

        assert "nobody knows when HM-1 is restored" in screen_text(pilot.app)
        await press(pilot, "p")

        assert "No part is recorded here" in screen_text(pilot.app)


async def test_the_part_shows_its_route_with_slack_and_head_starts() -> None:
    async with opened(size=LARGE) as pilot:
        await press(pilot, "enter", "down", "enter", "p")
        text = words(pilot)

        assert "PIN-7 can be had in 60 days" in text
        assert "keyway 3 d 37 d" in text
        assert "saves 20 d with turning done ahead" in text


async def test_where_else_lists_the_positions_that_hold_the_part() -> None:
    async with opened() as pilot:
        await press(pilot, "enter", "end", "enter", "w")

        assert "1 of 2 (6 in all)" in screen_text(pilot.app)


async def test_marked_positions_fail_together_and_nothing_else_changes() -> None:
    async with opened() as pilot:
        await press(pilot, "enter", "end", "up", "space", "space")

        assert "2 marked, press f" in screen_text(pilot.app)
        await press(pilot, "f")
        text = screen_text(pilot.app)

        assert "HM-1/brake 1 and HM-1/brake 2" in text
        assert "HM-1 stands still for 12.5 days." in text
        await press(pilot, "u", "escape")

        assert "marked" not in screen_text(pilot.app)


# The list of all positions


async def test_typing_filters_and_escape_empties_the_filter_then_goes_back() -> None:
    async with opened() as pilot:
        await press(pilot, "slash", "tab", *"BRAK")

        assert "1 of 2 (6 in all)" in screen_text(pilot.app)
        await press(pilot, "down")

        assert "2 of 2 (6 in all)" in screen_text(pilot.app)
        await press(pilot, "escape")

        assert "of 6" in screen_lines(pilot.app)[1]
        await press(pilot, "escape")

        assert "2 cranes" in screen_lines(pilot.app)[1]


async def test_letters_that_do_something_elsewhere_are_typed_in_the_filter() -> None:
    async with opened() as pilot:
        await press(pilot, "slash", "tab", *"qwrt")

        assert "qwrt" in screen_lines(pilot.app)[1]
        assert "No position holds what you typed." in screen_text(pilot.app)
        await press(pilot, "enter")

        assert "qwrt" in screen_lines(pilot.app)[1]


async def test_enter_opens_the_position_that_was_found() -> None:
    async with opened() as pilot:
        await press(pilot, "slash", "tab", *"wheel", "enter")

        assert "If wheel breaks today, HM-2" in screen_text(pilot.app)


async def test_enter_waits_for_the_answer_to_what_was_typed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(PositionsScreen, "PAUSE_S", 0.2)
    async with opened() as pilot:
        await press(pilot, "slash", "tab")
        await pilot.press(*"wheel", "enter")
        await pilot.pause(0.25)
        await settle(pilot)

        assert "If wheel breaks today, HM-2" in screen_text(pilot.app)


async def test_a_late_answer_to_an_earlier_question_is_dropped() -> None:
    async with opened() as pilot:
        await press(pilot, "slash", "tab")
        page = pilot.app.screen
        assert isinstance(page, PositionsScreen)
        shown: list[str] = []
        page.ask(lambda: "early", shown.append)
        page.ask(lambda: "late", shown.append)
        await settle(pilot)

        assert shown == ["late"]


async def test_a_hundred_thousand_positions_open_and_filter() -> None:
    book = Book()
    book["parts"].append(Part(part="P1", description="bolt", default_lead_days=5.0))
    book["cranes"].extend(Crane(crane=f"K{n}") for n in range(10))
    book["positions"].extend(
        Position(crane=f"K{n % 10}", position=f"place {n}", part="P1") for n in range(100_000)
    )
    async with opened(lambda: snapshot_of(book, TODAY)) as pilot:
        assert "100,000 positions" in screen_text(pilot.app)
        await press(pilot, "slash", "tab", *"77777")

        assert "1 of 1 (100000 in all)" in screen_text(pilot.app)
        assert "place 77777" in screen_text(pilot.app)
