"""The cautions come once for each person, must be left with a key, and stand in every help."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import SMALL, DeskWith, press, settle, small_site, words
from tui import sentences
from tui.app import LongpoleApp
from tui.desk import Desk

FIRST = "Longpole is a planning aid."


async def opens_with_cautions(desk: Desk, *keys: str) -> bool:
    """Start the program, press keys, and return whether it began with the cautions."""
    app = LongpoleApp(desk)
    async with app.run_test(size=SMALL) as pilot:
        await settle(pilot)
        found = FIRST in screen_text(app)
        await press(pilot, *keys)
        return found


async def test_the_cautions_come_first_and_only_once() -> None:
    app = LongpoleApp(DeskWith(small_site))
    async with app.run_test(size=SMALL) as pilot:
        await settle(pilot)
        await press(pilot, *["pagedown"] * 3, "escape", "slash", "k")

        assert "Enter when you have read this" in words(pilot)
        assert "cautions" in screen_lines(app)[0]
        await press(pilot, "enter")

        assert "2 cranes" in screen_text(app)
    assert not await opens_with_cautions(DeskWith(small_site))


async def test_who_quits_without_having_read_them_sees_them_again() -> None:
    assert await opens_with_cautions(DeskWith(small_site), "q")
    assert await opens_with_cautions(DeskWith(small_site))


async def test_each_person_reads_them_and_reads_them_anew_when_they_change(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    desk = DeskWith(small_site)
    desk.note_read(sentences.CAUTIONS)
    desk.who = "the next shift"

    assert await opens_with_cautions(desk, "enter")
    assert not await opens_with_cautions(desk)
    monkeypatch.setattr(sentences, "CAUTIONS", (*sentences.CAUTIONS, "And one more."))
    assert await opens_with_cautions(desk)


async def test_every_caution_can_be_read_in_a_small_window() -> None:
    app = LongpoleApp(DeskWith(small_site))
    async with app.run_test(size=(60, 14)) as pilot:
        await settle(pilot)
        seen = words(pilot)
        for _ in range(12):
            await press(pilot, "down", "down")
            seen += " " + words(pilot)

        for caution in sentences.CAUTIONS:
            assert caution.split(".")[0].split(",")[0] in seen


async def test_where_nothing_can_be_remembered_they_come_each_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a file").touch()
    monkeypatch.setenv("LONGPOLE_STATE", str(tmp_path / "a file" / "state"))

    assert await opens_with_cautions(DeskWith(small_site), "enter")
    assert await opens_with_cautions(DeskWith(small_site))
