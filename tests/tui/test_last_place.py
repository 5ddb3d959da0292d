"""The screens open where the person was, if that is still there."""

from __future__ import annotations

from dataclasses import replace

import pytest

from parts.records.snapshot import Snapshot, snapshot_of
from parts.services import state
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import TODAY, opened, press, small_book, small_site, words
from tui.widgets.field_table import FieldTable

PLACES = [
    (("enter", "down", "down"), "longpole › fleet › HM-1", "brake 2"),
    (("enter", "down", "enter"), "longpole › fleet › HM-1 › pinion", ""),
    (("k", "down"), "longpole › risks", "WHL-4"),
    (("k", *"whl"), "longpole › risks", "WHL-4"),
    (("n", "down"), "longpole › findings", ""),
    (("enter", "down", "enter", "x"), "explained", ""),
    (("enter", "e"), "HM-1 › a year", ""),
]


async def leave_at(*keys: str) -> str:
    """Start, press keys, quit, and return the first line of the screen that was left."""
    async with opened() as pilot:
        await press(pilot, *keys)
        trail = screen_lines(pilot.app)[0]
        await pilot.app.action_quit()
        return trail


@pytest.mark.parametrize(("keys", "trail", "row"), PLACES)
async def test_the_page_and_the_row_are_found_again(
    keys: tuple[str, ...], trail: str, row: str
) -> None:
    before = await leave_at(*keys)
    async with opened() as pilot:
        assert screen_lines(pilot.app)[0] == before
        assert trail in before
        for table in pilot.app.screen.query(FieldTable):
            assert row in str(table.spot.about) or table.spot.row == keys.count("down")
        await press(pilot, *(["escape"] if row != "WHL-4" or "w" not in keys else ["escape"] * 2))

        assert "2 cranes" in screen_text(pilot.app)


async def test_the_row_of_the_fleet_is_found_again_when_another_crane_is_gone() -> None:
    await leave_at("down")

    def fewer() -> Snapshot:
        book = small_book()
        book["cranes"][0] = replace(book["cranes"][0], retire_on=TODAY)
        return snapshot_of(book, TODAY)

    async with opened(fewer) as pilot:
        spot = pilot.app.screen.query_one(FieldTable).spot

        assert (spot.row, spot.about[0]) == (0, "HM-2")


async def test_a_help_page_leads_to_the_page_beneath_it() -> None:
    await leave_at("k", "escape", "escape", "d", "question_mark")
    async with opened() as pilot:
        assert "duty" in screen_lines(pilot.app)[0]


async def test_another_database_has_no_last_place() -> None:
    state.remember("last place", [["", {}, [1, ["HM-2"], ""]], None], "other.db")
    async with opened() as pilot:
        assert pilot.app.screen.query_one(FieldTable).cursor == 0


GONE = [
    ["OpenCrane", {"crane": "HM-77"}, [0, [], ""]],
    ["OpenCrane", {"crane": "HM-9"}, [0, [], ""]],
    ["OpenCrane", {}, [0, [], ""]],
    ["OpenCrane", {"crane": 5}, [0, [], ""]],
    ["OpenCrane", {"crane": "HM-1", "odd": 1}, [0, [], ""]],
    ["OpenPosition", {"crane": "HM-1", "position": "gone"}, [0, [], ""]],
    ["OpenPart", {"part": "GONE"}, [0, [], ""]],
    ["OpenExplanation", {"subject": ["HM-1", "gone"]}, [0, [], ""]],
    ["OpenExplanation", {"subject": ["HM-1"]}, [0, [], ""]],
    ["OpenList", {"name": "gone"}, [0, [], ""]],
    ["Opens", {}, [0, [], ""]],
    ["Quit", {}, [0, [], ""]],
    [5, 5, 5],
    "x",
    None,
]


@pytest.mark.parametrize("place", GONE)
async def test_a_place_that_is_gone_or_damaged_is_left_alone(place: object) -> None:
    state.remember("last place", [["", {}, [-5, 7, "x"]], place], "site.db")
    async with opened() as pilot:
        assert "2 cranes" in screen_text(pilot.app)
        assert screen_lines(pilot.app)[0].startswith(" longpole › fleet ")


@pytest.mark.parametrize("told", [5, [], {"a": 1}, [1, 2, 3], [None, None]])
async def test_a_memory_of_another_shape_is_none(told: object) -> None:
    state.remember("last place", told, "site.db")
    async with opened() as pilot:
        assert "2 cranes" in screen_text(pilot.app)


async def test_a_row_beyond_the_list_is_the_last_one() -> None:
    place = ["OpenCrane", {"crane": "HM-1"}, [99, ["gone"], ""]]
    state.remember("last place", [None, place], "site.db")
    async with opened(small_site) as pilot:
        assert "5 of 5" in words(pilot)
