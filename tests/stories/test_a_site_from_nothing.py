"""Tallow Street Foundry from nothing to its first long pole: by typing only, and from a book.

One crane, TS-1, that costs 2,000 a day; its hoist hangs on a pinion that gear works makes in 60
days; the exchange takes 24 hours of work at 16 a day: 61.5 days, 123,000.
"""

from __future__ import annotations

from pathlib import Path

from parts.exchange.writer import write_site_book
from parts.records.catalogue import Part
from parts.records.site import Setting
from parts.records.structure import Position
from tests.stories.sites import TODAY, book_of, bought, maker, stopped_by
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import opened, press, words
from tui.desk import Desk

FILES = ("cranes", "functions", "positions", "needs", "parts", "other numbers", "companions",
         "substitutes", "suppliers", "offers")  # fmt: skip


def lines_down(to: str, begin: str = FILES[0]) -> list[str]:
    return ["down"] * (FILES.index(to) - FILES.index(begin))


async def test_a_site_is_typed_in_from_nothing(tmp_path: Path) -> None:
    async with opened(Desk(str(tmp_path / "new.db"), TODAY)) as pilot:
        await press(pilot, "s", "end", "enter")
        assert "This database holds no crane in use." in words(pilot)

        await press(pilot, "v", "f3", *"TS-1", *["down"] * 8, *"2000", "f2")
        await press(pilot, *lines_down("parts"), "f3", *"PINION", "down", *"hoist pinion", "f2")
        await press(pilot, *lines_down("suppliers", "parts"), "f3", *"gear works", "f2")
        await press(pilot, *lines_down("offers", "suppliers"), "f3", *"gear works", "down")
        await press(pilot, *"PINION", *["down"] * 7, *"60", "f2")
        await press(pilot, "home", *lines_down("functions"), "f3", *"TS-1", "down", *"hoisting")
        await press(pilot, "down", "1", "f2")
        await press(pilot, *lines_down("positions", "functions"), "f3", *"TS-1", "down", *"pinion")
        await press(pilot, "down", "down", *"PINION", *["down"] * 4, *"24", "f2")
        await press(pilot, *lines_down("needs", "positions"), "f3", *"TS-1", "down", *"hoisting")
        await press(pilot, "down", *"pinion", "f2", "escape")

        assert "TS-1" in screen_text(pilot.app)
        await press(pilot, "enter", "enter")
        text = words(pilot)

        assert "If pinion breaks today, TS-1 stands still for 61.5 days, because of PINION" in text
        assert "down · lost days 61.5 d · cost 123,000" in text


async def test_the_same_site_is_loaded_from_a_book(tmp_path: Path) -> None:
    pinion = Position(crane="TS-1", position="pinion", part="PINION", exchange_hours=24.0)
    book = book_of(
        **stopped_by("TS-1", pinion, a_day=2000.0),
        site=[Setting(key="currency", value="EUR")],
        parts=[Part(part="PINION", description="hoist pinion")],
        suppliers=[maker("gear works")],
        offers=[bought("PINION", 60.0, 14000.0, "gear works")],
    )
    write_site_book(book, tmp_path / "foundry")
    async with opened(Desk(str(tmp_path / "new.db"), TODAY)) as pilot:
        await press(pilot, "s", "down", "enter", *str(tmp_path / "foundry"), "enter", "enter")
        assert "Loaded: " in words(pilot)
        await press(pilot, "escape", "end", "enter", "enter")

        assert "longpole › fleet › TS-1 › pinion" in screen_lines(pilot.app)[0]
        assert "down · lost days 61.5 d · cost 123,000 EUR" in words(pilot)
