"""Whatever a text holds, every screen shows it literally and the terminal obeys none of it.

Control functions of ECMA-48, order marks of CVE-2021-42574, and the tag forms that the
framework's own widgets read as markup.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from pathlib import Path
from zlib import crc32

import pytest
from textual.events import Paste
from textual.pilot import Pilot

from parts.errors import NoDatabase
from parts.records.shown import shown
from parts.records.snapshot import Snapshot, snapshot_of
from tests.tui.screen_text import screen_text
from tests.tui.small_site import (
    TODAY,
    opened,
    press,
    settle,
    small_book,
    small_site,
    with_texts,
    words,
    written_desk,
)
from tui.desk import Desk
from tui.forms.form_line import LONGEST
from tui.forms.record_fields import FILES
from tui.forms.steps import STEP_FORMS
from tui.openers import STEPS
from tui.screens.form import FormPage
from tui.screens.record_form import RecordFormScreen
from tui.screens.rows import RowsScreen
from tui.screens.step_form import StepFormScreen
from tui.screens.sure import SureScreen
from tui.site import Site
from tui.widgets.path_input import PathInput

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


async def test_every_screen_shows_a_hostile_text_literally() -> None:
    payloads = [*MARKUP, ALL_COMMANDS, "".join(SHAPES)]
    # a name keeps its payload wherever it stands; walking once for each payload takes minutes
    book = with_texts(
        small_book(), lambda text: payloads[crc32(text.encode()) % len(payloads)] + text
    )
    literals = [shown(payload).replace("\u200d", "") for payload in payloads]
    async with opened(lambda: snapshot_of(book, TODAY), size=(220, 100)) as pilot:
        for screen, keys in WALK:
            await press(pilot, *keys)
            text = screen_text(pilot.app)

            assert pilot.app.is_running, screen
            assert commands_in(text) == [], screen
            assert any(each in text.replace("\u200d", "") for each in literals), screen


EVERYTHING = " ".join([*MARKUP, *COMMANDS, *SHAPES]) + "\tend\r\nof it"
FORMS: list[Callable[[Site], FormPage]] = [
    *(lambda site, form=form: StepFormScreen(site, form, {}) for form in STEP_FORMS),
    *(lambda site, page=page: page(site, {}) for page in STEPS.values()),
    *(lambda site, file=file: RecordFormScreen(site, file, None, {}) for file in FILES),
]
"""How each form is opened."""


@pytest.fixture(scope="module")
def hostile_desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    """A desk at a database in whose every text all of it stands, as no program of ours puts it."""
    hostile = "".join([*MARKUP, *COMMANDS, *SHAPES]).replace("\x00", "")
    return written_desk(tmp_path_factory.mktemp("site") / "site.db", lambda text: hostile + text)


def is_literal(pilot: Pilot[None], where: str) -> None:
    """See that what is shown holds nothing that a terminal would obey or hide."""
    assert commands_in(screen_text(pilot.app)) == [], where
    assert pilot.app.is_running, where


async def test_every_line_of_every_form_takes_a_hostile_text_literally(
    hostile_desk: Desk,
) -> None:
    async with opened(hostile_desk, (100, 40)) as pilot:
        site = pilot.app.fleet.site  # type: ignore[attr-defined]
        for form in FORMS:
            page = form(site)
            pilot.app.push_screen(page)
            await settle(pilot)
            where = " ".join(page.trail)
            for line in page.lines:
                line.input.select_all()
                line.input.post_message(Paste(EVERYTHING))
            await settle(pilot)
            first = page.lines[0]

            assert first.input.value == shown(EVERYTHING.splitlines()[0]), where
            await press(pilot, "f2")
            assert isinstance(pilot.app.screen, FormPage), f"{where} was saved"
            assert any(line.is_wrong for line in page.lines), where
            is_literal(pilot, f"{where}, refused")
            first.input.focus()
            await settle(pilot)
            is_literal(pilot, f"{where}, told below")
            page.dismiss()
            await settle(pilot)


async def test_a_text_of_ten_thousand_characters_is_taken_as_far_as_a_record_holds_it(
    hostile_desk: Desk,
) -> None:
    async with opened(hostile_desk) as pilot:
        await press(pilot, "m", "enter")
        page = pilot.app.screen
        assert isinstance(page, FormPage)
        for name in ("part", "note"):
            page.line(name).input.post_message(Paste("\u202e[/]漢" * 2_500))
        await press(pilot, "f2")

        assert page.line("part").is_wrong
        assert len(page.line("note").input.value) == LONGEST
        is_literal(pilot, "long texts")


async def test_what_is_on_record_is_shown_literally_in_list_form_question_and_history(
    hostile_desk: Desk,
) -> None:
    async with opened(hostile_desk, (100, 40)) as pilot:
        app = pilot.app
        site = app.fleet.site  # type: ignore[attr-defined]
        seen = []
        for file in FILES:
            if not hostile_desk.records(file, {}):
                continue
            app.push_screen(RowsScreen(site, file, {}))
            await settle(pilot)
            is_literal(pilot, f"rows of {file}")
            for key, what in (
                ("enter", "form"),
                ("f6", "history"),
                ("f2", "saved or refused"),
            ):
                await press(pilot, key)
                is_literal(pilot, f"{what} of {file}")
            if isinstance(app.screen, RecordFormScreen):
                await press(pilot, "f8")
                assert isinstance(app.screen, SureScreen)
                is_literal(pilot, f"question about {file}")
                await press(pilot, "escape")
                seen.append(file)
            while len(app.screen_stack) > 1:
                await app.pop_screen()

        assert {"cranes", "positions", "parts", "suppliers", "offers"} <= set(seen)


async def test_a_record_that_nobody_changed_is_not_taken_for_typed_and_stays_as_it_is(
    hostile_desk: Desk,
) -> None:
    before = hostile_desk.records("parts", {})[0]
    async with opened(hostile_desk) as pilot:
        page = RecordFormScreen(pilot.app.fleet.site, "parts", before, {})  # type: ignore[attr-defined]
        pilot.app.push_screen(page)
        await settle(pilot)

        assert not page.is_dirty
        assert page.values["description"] == before.description


async def test_a_step_with_a_hostile_part_is_told_and_undone_literally(tmp_path: Path) -> None:
    hostile = "".join([*MARKUP, "漢字"])
    desk = written_desk(tmp_path / "site.db", lambda text: hostile + text)
    async with opened(desk, (140, 60)) as pilot:
        await press(pilot, "m", "enter", *"brk", "enter", "down")
        is_literal(pilot, "what is offered")
        await press(pilot, "enter", "f2")
        assert "1 unit" in words(pilot) or "issued" in words(pilot)
        is_literal(pilot, "booked")
        await press(pilot, "u")
        is_literal(pilot, "undo")
        await press(pilot, "enter")
        is_literal(pilot, "question")
        await press(pilot, "y")

        assert "undone" in words(pilot)
        is_literal(pilot, "undone")


@pytest.mark.parametrize("key", ["Y", "s"])
async def test_a_hostile_path_is_told_literally(key: str, tmp_path: Path) -> None:
    desk = Desk(str(tmp_path / "none.db"), TODAY)
    async with opened(desk if key == "s" else small_site) as pilot:
        await press(pilot, key, *(["down", "enter"] if key == "s" else []))
        line = pilot.app.screen.query_one(PathInput)
        line.value = EVERYTHING + "/nowhere"
        await press(pilot, "enter")
        is_literal(pilot, "a path")


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
