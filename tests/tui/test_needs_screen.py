"""What a crane hangs on: the tree, what the failure under the cursor kills, and what is kept.

The site is made up; it is told in `small_site`.
"""

from __future__ import annotations

import re

import pytest

from parts.records.book import Book
from parts.records.snapshot import snapshot_of
from parts.records.structure import Need, Position
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import LARGE, SMALL, TODAY, opened, press, small_book, words

BOTH_SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "140x45"])


def line_of(lines: list[str], name: str) -> str:
    """Return the first line of the tree that ends its first word group with a name."""
    return next(line for line in lines if f"{name} " in f"{line} " and "If " not in line)


@BOTH_SIZES
async def test_the_failure_under_the_cursor_is_followed_through_the_tree(
    size: tuple[int, int],
) -> None:
    async with opened(size=size) as pilot:
        await press(pilot, "enter", "h", "home")
        lines = screen_lines(pilot.app)
        tree = [re.split(r"(?<=\S)  ", line)[0] for line in lines if "If " not in line]

        assert "longpole › fleet › HM-1 › hangs on" in lines[0]
        assert tree[tree.index(" hoisting") :][:7] == [
            " hoisting",
            " ├ pinion",
            " └ 1 of 2 must work: brakes",
            "   ├ brake 1",
            "   └ brake 2",
            " light",
            " ├ lamp",
        ]
        assert "● carries on" in line_of(lines, "hoisting")
        assert "100 %" in line_of(lines, "hoisting")
        await press(pilot, "down")
        lines = screen_lines(pilot.app)

        assert "▼ dead" in line_of(lines, "hoisting")
        assert "× failed" in line_of(lines, "├ pinion")
        assert "● carries on" in line_of(lines, "light")
        assert "If pinion fails: HM-1 ▼ down, loses 100 % of its work." in words(pilot)
        assert "▼ dead: hoisting." in words(pilot)


async def test_a_load_bearing_twin_leaves_weaker_and_asks_first() -> None:
    async with opened(size=LARGE) as pilot:
        await press(pilot, "enter", "h", "home", "down", "down", "down")
        lines, text = screen_lines(pilot.app), words(pilot)

        assert "◆ weaker" in line_of(lines, "hoisting")
        assert "◆ 1 of 2 work" in line_of(lines, "must work: brakes")
        assert "If brake 1 fails: HM-1 ◆ ask first" in text
        assert "for a qualified person to decide, in writing" in text
        assert "Never run on a worn part" in text


async def test_what_is_kept_failed_fails_together_with_the_cursor() -> None:
    async with opened(size=LARGE) as pilot:
        await press(pilot, "enter", "h", "home", "down", "down", "down", "space", "down")
        lines = screen_lines(pilot.app)

        assert "× kept failed" in line_of(lines, "├ brake 1")
        assert "× failed" in line_of(lines, "└ brake 2")
        assert "▼ 0 of 2 work" in line_of(lines, "must work: brakes")
        assert "If brake 1 and brake 2 fail together: HM-1 ▼ down" in words(pilot)
        await press(pilot, "f")

        assert "If these fail together: HM-1/brake 1 and HM-1/brake 2." in words(pilot)
        await press(pilot, "escape", "u")

        assert "kept failed" not in "\n".join(screen_lines(pilot.app)[3:-12])
        assert "If brake 2 fails:" in words(pilot)


async def test_a_function_fails_only_by_what_it_needs() -> None:
    async with opened() as pilot:
        await press(pilot, "enter", "h", "home")

        assert "No position here: a function fails only by what it needs." in words(pilot)
        await press(pilot, "space")
        assert "! No position here" in screen_text(pilot.app)
        await press(pilot, "f")
        assert "! No position here" in screen_text(pilot.app)
        await press(pilot, "enter")

        assert "Nothing to open" in screen_text(pilot.app)


async def test_a_position_opens_its_tree_with_itself_failed_and_back() -> None:
    async with opened() as pilot:
        await press(pilot, "enter", "down", "enter", "h")

        assert "If pinion fails:" in words(pilot) or "If relay fails:" in words(pilot)
        await press(pilot, "enter")

        assert "breaks today" in words(pilot)


async def test_a_crane_without_positions_says_so() -> None:
    book = small_book()
    book.rows["positions"] = [row for row in book["positions"] if row.crane != "HM-2"]
    book.rows["needs"] = [row for row in book["needs"] if row.crane != "HM-2"]
    async with opened(lambda: snapshot_of(book, TODAY)) as pilot:
        await press(pilot, "end", "enter", "h")

        assert "No position of this crane is recorded." in screen_text(pilot.app)


def deep_book() -> Book:
    """Positions that need one another, forty deep."""
    book = small_book()
    names = [f"link {n:02}" for n in range(40)]
    book["positions"].extend([Position(crane="HM-2", position=name) for name in names])
    book["needs"].extend(
        [
            Need(crane="HM-2", item=item, needs=needs)
            for item, needs in zip(["travel", *names], names, strict=False)
        ]
    )
    return book


async def test_a_deep_chain_keeps_its_names_in_view() -> None:
    async with opened(lambda: snapshot_of(deep_book(), TODAY)) as pilot:
        await press(pilot, "end", "enter", "h", "end", "up")
        text = screen_text(pilot.app)

        assert "link 39" in text
        assert "40 link 39" in text
        assert "▼ dead: travel" in words(pilot)


@pytest.mark.parametrize("no_color", [False, True])
async def test_the_marks_are_words_with_and_without_colour(
    no_color: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    if no_color:
        monkeypatch.setenv("NO_COLOR", "1")
    async with opened() as pilot:
        await press(pilot, "enter", "h", "home", "down")
        lines = screen_lines(pilot.app)

        assert "▼ dead" in line_of(lines, "hoisting")
        assert "● carries on" in line_of(lines, "light")
