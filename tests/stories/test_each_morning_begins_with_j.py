"""Each person's morning at Harbour Mill: j lists what waits, the step is taken, the line is gone.

By keys alone, and from the line itself: `m` and `v` know what the line under the cursor is about.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.stories.mill import harbour_mill
from tests.stories.sites import desk_at
from tests.tui.screen_text import screen_lines
from tests.tui.small_site import opened, press, words
from tui.desk import Desk

STOREROOM, MAINTENANCE, PURCHASING = ["j"], ["j", "tab"], ["j", "tab", "tab"]

WITH_KINDS = (120, 24)
"""Where the list has a column for the kind of each line."""


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path / "mill.db", harbour_mill(), "morning shift")


def waiting(pilot: Pilot[None]) -> list[str]:
    """Return the kind and the subject of each line that waits."""
    lines = screen_lines(pilot.app)
    first = next(n for n, line in enumerate(lines) if line.startswith(" What ")) + 1
    last = next(n for n, line in enumerate(lines) if line.startswith("───"))
    return [" ".join(line[3:44].split()) for line in lines[first:last] if line.strip()]


async def again(pilot: Pilot[None]) -> list[str]:
    """Return what waits once the list is asked for anew; the person is remembered."""
    await press(pilot, *["escape"] * 6, "j")
    return waiting(pilot)


async def test_the_storeroom_receives_what_was_late(desk: Desk) -> None:
    async with opened(desk, WITH_KINDS) as pilot:
        await press(pilot, *STOREROOM)
        assert waiting(pilot)[0] == "due in P-77"
        # receive: part and order are known from the line, how many have come is typed
        await press(pilot, "m", "down", "enter", "2", "f2")
        assert "WHEEL received: 2 on hand" in words(pilot)
        assert "Order P-77 is complete." in words(pilot)
        await press(pilot, "enter")
        assert "longpole › today › storeroom" in screen_lines(pilot.app)[0]

        assert "due in P-77" not in await again(pilot)


async def test_the_storeroom_counts_what_nobody_counted(desk: Desk) -> None:
    async with opened(desk, WITH_KINDS) as pilot:
        await press(pilot, *STOREROOM, "end")
        assert waiting(pilot)[-1] == "to be counted COIL-230"
        await press(pilot, "m", *["down"] * 3, "enter", "2", "f2")
        assert "As the book says: 2." in words(pilot)
        await press(pilot, "enter")

        assert "to be counted COIL-230" not in await again(pilot)


async def test_the_storeroom_throws_away_what_was_set_aside(desk: Desk) -> None:
    async with opened(desk, WITH_KINDS) as pilot:
        await press(pilot, *STOREROOM, "down", "down")
        assert "1 in main store in quarantine since 2026-01-05." in words(pilot)
        # scrap wants a reason; what is in quarantine is asked for as such
        await press(pilot, "m", *["down"] * 5, "enter", *"hardened", "down", "down", *"quarantine")
        await press(pilot, "f2", "enter")

        assert "in quarantine SEALS" not in await again(pilot)


async def test_the_maintenance_lead_records_that_a_crane_works_again(desk: Desk) -> None:
    async with opened(desk, WITH_KINDS) as pilot:
        await press(pilot, *MAINTENANCE)
        assert waiting(pilot) == ["open failure HM-2/limit switch"]
        await press(pilot, "enter")
        assert "longpole › fleet › HM-2 › limit switch" in screen_lines(pilot.app)[0]
        # what is on record about the position: its failures, the one that is open
        await press(pilot, "v", "down", "enter", "enter", *"2026-11-24", "f2")

        await again(pilot)

        assert "Maintenance lead: nothing is waiting." in words(pilot)


async def test_purchasing_writes_down_a_new_promise(desk: Desk) -> None:
    async with opened(desk, WITH_KINDS) as pilot:
        await press(pilot, *PURCHASING)
        assert waiting(pilot)[0] == "late order P-77"
        await press(pilot, "enter")
        assert "longpole › purchasing › late orders" in screen_lines(pilot.app)[0]
        await press(pilot, "v", *["down"] * 6, "enter", "enter", *["down"] * 4)
        await press(pilot, *"2026-12-18", "f2")

        assert "late order P-77" not in await again(pilot)


async def test_purchasing_orders_what_is_below_its_minimum(desk: Desk) -> None:
    async with opened(desk, WITH_KINDS) as pilot:
        await press(pilot, *PURCHASING, "down")
        assert waiting(pilot)[1] == "order now COIL-230"
        await press(pilot, "enter")
        assert "Order 1 now from maker for 310 EUR." in words(pilot)
        # a new order of the part that the line is about: number, supplier, how many, when
        await press(pilot, "v", *["down"] * 6, "f3", *"P-78", "down", *"maker", "down", "down")
        await press(pilot, "1", "down", *"2026-11-25", "down", "down", *"2027-03-17", "f2")

        assert "order now COIL-230" not in await again(pilot)
        await press(pilot, "tab")

        assert "below the limit COIL-230" not in waiting(pilot)
