"""The night shift at Harbour Mill: few keys from the start to what a stop means, and to a part.

Keys are counted; the text of a number that somebody types is not.

HM-1 hangs on its pinion: 280 days to come and 8 hours of work at 16 a day, 280.5 days, at 1,285 a
day 360,442.50. HM-2 hangs on its drive, 84.5 days at 570: 48,165. Two coils lie in the store, so
that the coil of HM-1 takes half a day of work, 642.50.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from parts.services import stock_cards
from tests.stories.mill import harbour_mill
from tests.stories.sites import TODAY, desk_at
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import opened, press, words
from tui.desk import Desk


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path / "mill.db", harbour_mill(), "night keeper")


async def test_what_would_leave_any_crane_down_longest_takes_no_key(desk: Desk) -> None:
    async with opened(desk) as pilot:
        text = screen_text(pilot.app)

        assert "HM-1" in text
        assert "280.5 d" in text
        assert next(line for line in screen_lines(pilot.app) if line.startswith(" HM-2")).split()[
            1
        ] == ("84.5")


@pytest.mark.parametrize(
    ("crane", "keys", "longest", "waits_for"),
    [
        ("HM-1", ["enter", "enter"], "280.5 days", "PINION: new from maker, 280 days"),
        ("HM-2", ["down", "enter", "enter"], "84.5 days", "DRIVE-H: new from maker, 84 days"),
        ("HM-3", ["end", "enter", "enter"], "20.5 days", "WHEEL: new from maker, 20 days"),
    ],
)
async def test_why_a_crane_would_be_down_longest_takes_at_most_four_keys(
    desk: Desk, crane: str, keys: list[str], longest: str, waits_for: str
) -> None:
    async with opened(desk) as pilot:
        await press(pilot, *keys)

        assert len(keys) <= 4
        assert f"{crane} stands still for {longest}, because of {waits_for}." in words(pilot)


async def test_what_a_stop_tonight_means_is_found_by_what_is_typed(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "slash", *"brake coil HM-1", "enter")
        text = words(pilot)

        assert "If brake coil breaks today, HM-1 stands still for 0.5 days" in text
        assert "in our store 2 to be had" in text
        assert "cost 642 EUR" in text or "cost 643 EUR" in text


async def test_a_part_is_handed_out_with_at_most_eight_keys_besides_its_number(desk: Desk) -> None:
    keys: list[str] = []

    async with opened(desk) as pilot:

        async def pressed(*more: str) -> None:
            keys.extend(more)
            await press(pilot, *more)

        await pressed("m", "enter")
        await press(pilot, *"COIL-230")
        await pressed("down")
        await press(pilot, "2")
        await pressed("f2")
        assert "COIL-230 issued: 0 on hand in main store." in words(pilot)
        await pressed("enter")

        assert "longpole › fleet" in screen_lines(pilot.app)[0]

    assert len(keys) <= 8
    assert stock_cards.card(desk.database, "COIL-230", TODAY).book == 0


async def test_a_part_for_a_position_is_handed_out_with_its_place(desk: Desk) -> None:
    """Found by the position: slash, enter, m, enter, F2 and enter are six keys."""
    async with opened(desk) as pilot:
        await press(pilot, "slash", *"brake coil HM-1", "enter", "m", "enter", "f2")

        assert "COIL-230 issued: 1 on hand in main store." in words(pilot)
        await press(pilot, "enter")

    (last, *_) = stock_cards.card(desk.database, "COIL-230", TODAY).postings
    assert (last.movement.crane, last.movement.position) == ("HM-1", "brake coil")
