"""What cannot be read or reckoned is a sentence on the screen, and the program goes on."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from parts.errors import DatabaseBusy, NoDatabase
from parts.records.snapshot import Snapshot
from tests.tui.screen_text import screen_text
from tests.tui.small_site import opened, press, small_site, words
from tui.site import Site

ROOT = Path(__file__).resolve().parents[2]


async def test_without_a_database_the_screen_says_how_to_make_one() -> None:
    def read() -> Snapshot:
        raise NoDatabase("site.db")

    async with opened(read) as pilot:
        text = words(pilot)

        assert "No database at site.db; make one with `longpole load BOOK` or" in text
        assert "longpole demo" in text
        await press(pilot, "enter", "slash", "y", "question_mark")

        assert "Keys on the screen beneath" in screen_text(pilot.app)


async def test_r_reads_again_once_the_trouble_is_over() -> None:
    troubles = [NoDatabase("site.db")]

    def read() -> Snapshot:
        if troubles:
            raise troubles.pop()
        return small_site()

    async with opened(read) as pilot:
        await press(pilot, "r")

        assert "2 cranes" in screen_text(pilot.app)


async def test_what_was_read_before_stays_when_reading_again_fails() -> None:
    snapshots = [small_site()]

    def read() -> Snapshot:
        if snapshots:
            return snapshots.pop()
        raise DatabaseBusy("site.db")

    async with opened(read) as pilot:
        await press(pilot, "down", "r")
        text = words(pilot)

        assert "! Site.db is in use by another program" in text or "! site.db is in use" in text
        assert "HM-2, yard crane" in text


async def test_a_mistake_in_a_worker_is_told_and_the_program_goes_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def fail(*_: object) -> None:
        raise ZeroDivisionError("[/x]")

    async with opened() as pilot:
        monkeypatch.setattr(Site, "lead_time", fail)
        await press(pilot, "enter", "down", "enter", "p")

        assert "could not be reckoned (ZeroDivisionError, mistake" in words(pilot)
        await press(pilot, "escape")

        assert "If pinion breaks today" in screen_text(pilot.app)


async def test_a_mistake_while_reading_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    def read() -> Snapshot:
        raise ValueError("odd")

    async with opened(read) as pilot:
        assert "could not be reckoned (ValueError, mistake" in words(pilot)


@pytest.mark.parametrize("size", [(60, 20), (20, 5), (5, 2), (200, 60)])
async def test_any_size_of_terminal_will_do(size: tuple[int, int]) -> None:
    async with opened(size=size) as pilot:
        for keys in (
            *(["k", "escape"], ["l", "escape"], ["n", "escape"], ["d", "escape"]),
            *(["enter", "e", "tab", "escape"], ["down", "enter", "x", "escape"]),
            *(["p"], ["escape", "w", "question_mark"]),
        ):
            await press(pilot, *keys)
        for width, height in ((80, 24), (30, 8), (140, 45)):
            await pilot.resize_terminal(width, height)
            await pilot.pause()

        assert "help" in screen_text(pilot.app)


def test_the_first_screen_is_painted_before_anything_heavy_is_loaded() -> None:
    ask = """
import asyncio, sys, threading
from parts.errors import NoDatabase
from datetime import date
from tui.app import LongpoleApp
from tui.desk import Desk
from tui.sentences import CAUTIONS
HEAVY = ("numpy", "scipy", "networkx", "pandas", "sqlalchemy", "openpyxl")
gate = threading.Event()
class Waiting(Desk):
    def read(self):
        gate.wait(20)
        raise NoDatabase("none")
async def paint():
    desk = Waiting("none", date(2026, 11, 25))
    desk.note_read(CAUTIONS)
    app = LongpoleApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        strips = app.screen._compositor.render_strips()
        assert any("Reading the site" in strip.text for strip in strips)
        found = [name for name in HEAVY if name in sys.modules]
        gate.set()
    return found
found = asyncio.run(paint())
sys.__stdout__.write(repr(found))
"""
    done = subprocess.run(
        [sys.executable, "-c", ask], cwd=ROOT, capture_output=True, text=True, check=False
    )

    assert done.stdout == "[]", done.stderr
