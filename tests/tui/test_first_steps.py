"""From nothing to the first long pole, without leaving the screens."""

from __future__ import annotations

from pathlib import Path

from parts.exchange.writer import write_site_book
from parts.services.books import make_empty
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import LARGE, TODAY, opened, press, small_book, words
from tui.desk import Desk


async def test_without_a_database_the_demo_site_is_two_keys_away(tmp_path: Path) -> None:
    async with opened(Desk(str(tmp_path / "site.db"), TODAY), LARGE) as pilot:
        assert "s for the first steps" in words(pilot)
        await press(pilot, "s")

        assert "There is no site yet." in words(pilot)
        assert "Nothing in it is real." in words(pilot)
        await press(pilot, "enter")

        assert " cranes" in screen_text(pilot.app)
        assert "fleet" in screen_lines(pilot.app)[0]


async def test_a_book_is_looked_through_then_loaded(tmp_path: Path) -> None:
    write_site_book(small_book(), tmp_path / "book")
    async with opened(Desk(str(tmp_path / "site.db"), TODAY), LARGE) as pilot:
        await press(pilot, "s", "down", "enter", *str(tmp_path / "book"), "enter")

        assert "Nothing is wrong with it: " in words(pilot)
        assert not (tmp_path / "site.db").exists()
        await press(pilot, "enter")

        assert "Loaded: " in words(pilot)
        await press(pilot, "escape")

        assert "The first long pole" in words(pilot)
        assert "2 cranes" in words(pilot) or "3 cranes" in words(pilot)
        await press(pilot, "end", "enter")

        assert "HM-1" in screen_lines(pilot.app)[0]


async def test_faults_are_listed_with_their_place_and_nothing_is_loaded(tmp_path: Path) -> None:
    write_site_book(small_book(), tmp_path / "book")
    cranes = tmp_path / "book" / "cranes.csv"
    cranes.write_text(cranes.read_text("utf-8").replace("9000", "plenty"), "utf-8")
    async with opened(Desk(str(tmp_path / "site.db"), TODAY), LARGE) as pilot:
        await press(pilot, "s", "down", "enter", *str(tmp_path / "book"), "enter")
        text = words(pilot)

        assert "1 fault: nothing is loaded." in text
        assert "cranes.csv 2 down_cost" in text
        assert "not a number" in text
        await press(pilot, "enter")

        assert not (tmp_path / "site.db").exists()


async def test_a_path_that_holds_no_book_is_told(tmp_path: Path) -> None:
    async with opened(Desk(str(tmp_path / "site.db"), TODAY), LARGE) as pilot:
        await press(pilot, "s", "down", "enter", *"nowhere", "enter")

        assert "cannot be read as a site book" in words(pilot)
        await press(pilot, "x", "enter", "escape", "escape")

        assert "fleet" in screen_lines(pilot.app)[0]


async def test_another_path_is_looked_through_before_it_is_loaded(tmp_path: Path) -> None:
    write_site_book(small_book(), tmp_path / "book")
    write_site_book(small_book(), tmp_path / "book2")
    async with opened(Desk(str(tmp_path / "site.db"), TODAY), LARGE) as pilot:
        await press(pilot, "s", "down", "enter", *str(tmp_path / "book"), "enter", "2", "enter")

        assert "Press Enter again to load it" in words(pilot)
        assert not (tmp_path / "site.db").exists()


async def test_an_empty_site_says_which_step_is_next(tmp_path: Path) -> None:
    make_empty(str(tmp_path / "site.db"))
    async with opened(Desk(str(tmp_path / "site.db"), TODAY), LARGE) as pilot:
        assert "Press s for the first steps" in words(pilot)
        await press(pilot, "question_mark", "s")
        text = words(pilot)

        assert "A crane to do" in text
        assert "How each part is got to do" in text
