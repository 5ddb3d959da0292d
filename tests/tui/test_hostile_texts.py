"""Whatever a text holds, every screen shows it literally and the terminal obeys none of it.

Control functions of ECMA-48, order marks of CVE-2021-42574, and the tag forms that the
framework's own widgets read as markup.
"""

from __future__ import annotations

import unicodedata

import pytest

from parts.errors import NoDatabase
from parts.records.shown import shown
from parts.records.snapshot import Snapshot, snapshot_of
from tests.tui.screen_text import screen_text
from tests.tui.small_site import TODAY, opened, press, settle, small_book, with_texts

MARKUP = [
    "A[red]B[/red]C",
    "X[@click=app.quit]LINK[/]Y",
    "[link=https://e.org]z[/link]",
    "bolt [/x] M8",
    "[type=x, v={'a[0]'}]",
    "[$error]x",
    "50\\[Hz]",
]
COMMANDS = ["\x1b[2J", "\x1b]52;c;aGk=\x1b\\", "\x1b]2;t\x07", "\x9b2J", "\u202ea", "\x08\x7f\x00"]
ALL_COMMANDS = "".join(COMMANDS)
SHAPES = ["漢字", "👩\u200d🔧", "e" + "\u0301" * 50, "\u200b\ufeff\xad"]
HIDDEN = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}
JOINERS = "\u200c\u200d\n"
WALK = [
    ("fleet", []),
    ("fleet, lower", ["down"]),
    ("crane", ["up", "enter"]),
    ("crane, lower", ["down"]),
    ("position", ["enter"]),
    ("help", ["question_mark"]),
    ("part", ["escape", "p"]),
    ("where else", ["escape", "w"]),
    ("explained part", ["escape", "escape", "p", "x"]),
    ("explained position", ["escape", "escape", "x"]),
    ("a term", ["down", "down"]),
    ("pairs of a crane", ["escape", "escape", "e", "tab"]),
    ("what stops a crane", ["tab"]),
    ("risks", ["escape", "k"]),
    ("risks, lower", ["down", "down"]),
    ("watch list", ["escape", "l"]),
    ("findings", ["escape", "n"]),
    ("duty", ["escape", "d"]),
    ("together", ["escape", "space", "space", "f"]),
    ("plan, how chosen", ["escape", "escape", "b", "tab"]),
    ("last days", ["escape", "g"]),
    ("units of a last order", ["enter"]),
    ("what to order", ["escape", "escape", "o", "a"]),
    ("what to ask", ["tab", "tab"]),
    ("what if", ["enter", "i"]),
    ("what if a supplier closes", ["tab"]),
    ("fleet heat", ["escape", "z"]),
    ("fleet heat by classes", ["s", "u"]),
    ("lead times", ["tab", "tab"]),
    ("ages", ["tab"]),
    ("hangs on", ["escape", "escape", "escape", "escape", "up", "up", "enter", "h", "down"]),
    ("today, maintenance lead", ["escape", "j", "tab"]),
    ("today, purchasing", ["tab"]),
]


def commands_in(text: str) -> list[str]:
    """Return the characters that a terminal would obey or hide."""
    return [c for c in text if unicodedata.category(c) in HIDDEN and c not in JOINERS]


@pytest.mark.parametrize("payload", [*MARKUP, ALL_COMMANDS, "".join(SHAPES)])
async def test_every_screen_shows_a_hostile_text_literally(payload: str) -> None:
    book = with_texts(small_book(), lambda text: payload + text)
    literal = shown(payload).replace("\u200d", "")
    async with opened(lambda: snapshot_of(book, TODAY), size=(220, 100)) as pilot:
        for screen, keys in WALK:
            await press(pilot, *keys)
            text = screen_text(pilot.app)

            assert pilot.app.is_running, screen
            assert commands_in(text) == [], screen
            assert literal in text.replace("\u200d", ""), screen


@pytest.mark.parametrize("payload", [*MARKUP, ALL_COMMANDS])
async def test_a_hostile_name_of_a_database_is_told_literally(payload: str) -> None:
    def read() -> Snapshot:
        raise NoDatabase(payload)

    async with opened(read, size=(140, 45)) as pilot:
        text = screen_text(pilot.app)

        assert commands_in(text) == []
        assert shown(payload) in text


@pytest.mark.parametrize("payload", [*MARKUP, ALL_COMMANDS])
async def test_a_hostile_filter_is_typed_literally(payload: str) -> None:
    async with opened() as pilot:
        await press(pilot, "slash")
        pilot.app.screen.query_one("FilterInput").value = payload  # type: ignore[attr-defined]  # as a paste would
        await settle(pilot)
        text = screen_text(pilot.app)

        assert commands_in(text) == []
        assert shown(payload) in text


async def test_a_hostile_row_can_be_copied() -> None:
    book = with_texts(small_book(), lambda text: "[/x]\x1b" + text)
    async with opened(lambda: snapshot_of(book, TODAY)) as pilot:
        await press(pilot, "y")

        assert "[/x]␛" in pilot.app.clipboard
        assert commands_in(pilot.app.clipboard.replace("\t", "")) == []
