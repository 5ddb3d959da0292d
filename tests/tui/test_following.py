"""The screens follow what others write, with the row kept and nothing typed lost."""

from __future__ import annotations

import asyncio
import re
from collections.abc import AsyncIterator
from contextlib import closing
from pathlib import Path
from threading import Event
from typing import cast

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from parts.exchange.writer import write_site_book
from parts.services.books import load_book
from parts.store.database import Database
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import SMALL, TODAY, looked, opened, press, settle, small_book, words
from tui.app import LongpoleApp
from tui.desk import Desk
from tui.widgets.field_table import FieldTable


@pytest.fixture
def database(tmp_path: Path) -> str:
    write_site_book(small_book(), tmp_path / "book")
    where = str(tmp_path / "site.db")
    load_book(tmp_path / "book", where)
    return where


@pytest.fixture
async def pilot(database: str) -> AsyncIterator[Pilot[None]]:
    async with opened(Desk(database, TODAY), SMALL) as pilot:
        yield pilot


def write(database: str, statement: str) -> None:
    with closing(Database.open(database)) as opened_here, opened_here.writing() as connection:
        connection.exec_driver_sql(statement)


RENAME = "UPDATE cranes SET name = 'seen anew' WHERE crane = 'HM-2'"
SLOWER = "UPDATE offers SET likely = 500 WHERE part = 'WHL-4'"


async def test_the_fleet_shows_what_was_written_with_the_cursor_on_its_crane(
    database: str, pilot: Pilot[None]
) -> None:
    await press(pilot, "down")
    write(database, RENAME)
    write(database, SLOWER)
    await looked(pilot)

    assert "HM-2, seen anew" in screen_text(pilot.app)
    assert pilot.app.screen.query_one(FieldTable).spot.about[0] == "HM-2"
    assert "Reading" not in screen_text(pilot.app)


async def test_while_a_look_waits_for_an_answer_no_other_begins(
    pilot: Pilot[None], monkeypatch: pytest.MonkeyPatch
) -> None:
    app = cast(LongpoleApp, pilot.app)
    answer, looks = Event(), []
    monkeypatch.setattr(app.desk, "changed", lambda: looks.append(answer.wait(30)))
    app.look_for_changes()
    app.look_for_changes()
    answer.set()
    await settle(pilot)

    assert looks == [True]


async def test_the_program_looks_by_itself_again_and_again(
    database: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk, third, looks = Desk(database, TODAY), Event(), []

    def changed() -> None:
        looks.append(1)
        if len(looks) == 3:
            third.set()

    monkeypatch.setattr(desk, "changed", changed)
    monkeypatch.setattr(LongpoleApp, "LOOK_EVERY_S", 0.01)
    async with LongpoleApp(desk).run_test():
        assert await asyncio.to_thread(third.wait, 60)


async def test_without_a_change_nothing_is_read(database: str, pilot: Pilot[None]) -> None:
    before = pilot.app.screen.site  # type: ignore[attr-defined]
    await looked(pilot)

    assert pilot.app.screen.site is before  # type: ignore[attr-defined]


async def test_a_page_is_shown_anew_and_so_are_those_beneath_it(
    database: str, pilot: Pilot[None]
) -> None:
    await press(pilot, "enter", "down", "space", "up", "enter")
    write(database, "UPDATE positions SET exchange_hours = 160 WHERE position = 'pinion'")
    await looked(pilot)

    assert " 70 days" in words(pilot)
    assert "pinion" in screen_lines(pilot.app)[0]
    await press(pilot, "escape")

    assert re.search(r"\b70\b.*down", screen_text(pilot.app))
    assert "1 marked" in screen_text(pilot.app)
    assert pilot.app.screen.query_one(FieldTable).spot.about[1] == "pinion"
    await press(pilot, "escape")

    assert "2 cranes" in screen_text(pilot.app)


async def test_a_filter_stays_and_so_does_the_row(database: str, pilot: Pilot[None]) -> None:
    await press(pilot, "k", *"whl")
    write(database, SLOWER)
    await looked(pilot)

    assert pilot.app.screen.query_one(Input).value == "whl"
    assert "1 of 1" in words(pilot)
    assert pilot.app.screen.query_one(FieldTable).spot.about[0] == "WHL-4"


async def test_a_budget_that_is_typed_stays(database: str, pilot: Pilot[None]) -> None:
    await press(pilot, "b")
    pilot.app.screen.query_one(Input).value = "777"
    await settle(pilot)
    write(database, SLOWER)
    await looked(pilot)

    assert pilot.app.screen.query_one(Input).value == "777"


async def test_the_picture_that_was_chosen_stays_and_follows(
    database: str, pilot: Pilot[None]
) -> None:
    await press(pilot, "z", "u")
    assert "lost days, cranes by function" in words(pilot)
    before = screen_text(pilot.app)
    write(database, "UPDATE positions SET failures_per_year = 5 WHERE position = 'wheel'")
    await looked(pilot)

    assert "lost days, cranes by function" in words(pilot)
    assert screen_text(pilot.app) != before
    await press(pilot, "tab", "tab", "tab", "down")
    assert "picture 4 of 4" in words(pilot)
    about = pilot.app.screen.query_one("AgesView FieldTable", FieldTable).spot.about
    write(database, SLOWER)
    await looked(pilot)

    assert "picture 4 of 4" in words(pilot)
    assert pilot.app.screen.query_one("AgesView FieldTable", FieldTable).spot.about == about


async def test_what_is_gone_says_so_and_stays_to_be_read(database: str, pilot: Pilot[None]) -> None:
    await press(pilot, "down", "enter")
    write(database, "UPDATE cranes SET retire_on = '2020-01-01' WHERE crane = 'HM-2'")
    await looked(pilot)

    assert "no longer in the site. Press Esc" in words(pilot)
    assert "wheel" in screen_text(pilot.app)
    await press(pilot, "escape")

    assert "1 crane" in screen_text(pilot.app)


async def test_r_reads_at_once_and_help_stays_open(database: str, pilot: Pilot[None]) -> None:
    await press(pilot, "question_mark")
    write(database, RENAME)
    await looked(pilot)

    assert "Keys on the screen beneath" in screen_text(pilot.app)
    await press(pilot, "escape", "down")

    assert "seen anew" in screen_text(pilot.app)
