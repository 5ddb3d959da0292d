"""Keys, foot, help and palette say the same, as all of them come from one place."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from rich.cells import cell_len
from textual.app import SystemCommand
from textual.screen import ModalScreen

from tests.tui.screen_text import screen_lines
from tests.tui.small_site import LARGE, SMALL, opened, press, settle, words, written_desk
from tui.actions import QUESTIONS, SCREENS
from tui.acts import HELP
from tui.desk import Desk
from tui.screens.page import Page
from tui.widgets.key_line import GAP, KeyLine

WAYS_TO = {
    "fleet": (),
    "crane": ("enter",),
    "position": ("enter", "down", "enter"),
    "part": ("enter", "down", "enter", "p"),
    "together": ("enter", "space", "f"),
    "find": ("slash",),
    "contents": ("slash", *"gearshop", "enter"),
    "positions": ("slash", "tab"),
    "risks": ("k",),
    "watch": ("l",),
    "findings": ("n",),
    "duty": ("d",),
    "year": ("enter", "e"),
    "plan": ("b",),
    "compare": ("b", "c"),
    "purchasing": ("o",),
    "today": ("j",),
    "deadlines": ("g",),
    "last buy": ("g", "enter"),
    "what if": ("enter", "down", "enter", "p", "i"),
    "needs": ("enter", "h"),
    "pictures": ("z",),
    "move stock": ("m",),
    "step": ("m", "enter"),
    "booked": ("m", *["down"] * 6, "enter", *"BRK-2", "f2"),
    "told": ("m", *["down"] * 7, "enter", *"BRK-2", "enter", "enter", *"job", "f2"),
    "undo": ("m", "end", "enter"),
    "records": ("v",),
    "rows": ("v", "enter"),
    "record": ("v", "enter", "enter"),
    "explanation": ("enter", "down", "enter", "x"),
    "help": ("question_mark",),
    "first steps": ("s",),
    "load book": ("s", "end", "up", "enter"),
}
EVERY_SCREEN = pytest.mark.parametrize("name", SCREENS)
ALL_ACTS = SCREENS | QUESTIONS
EVERY_SCREEN_AND_QUESTION = pytest.mark.parametrize("name", ALL_ACTS)


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    """A desk at a database of its own, to which nothing is done that would change it."""
    return written_desk(tmp_path_factory.mktemp("site") / "site.db")


@EVERY_SCREEN_AND_QUESTION
def test_no_key_of_a_screen_does_two_things(name: str) -> None:
    keys = [act.key for act in ALL_ACTS[name]]

    assert len(set(keys)) == len(keys)


@EVERY_SCREEN_AND_QUESTION
def test_no_key_needs_control(name: str) -> None:
    assert [act for act in ALL_ACTS[name] if "+" in act.key] == []


@EVERY_SCREEN_AND_QUESTION
def test_the_foot_names_at_most_five_and_fits_eighty_columns(name: str) -> None:
    foot = [act for act in ALL_ACTS[name] if act.foot]
    width = sum(cell_len(f"{act.key_name} {act.label}") for act in foot) + GAP * (len(foot) - 1)

    assert len(foot) <= 5
    assert width <= SMALL[0] - 2


@pytest.mark.parametrize("room", range(1, 80))
def test_a_narrow_foot_loses_whole_entries_and_help_last(room: int) -> None:
    line = KeyLine(SCREENS["fleet"])
    shown = line.shown_acts(room)
    width = sum(cell_len(f"{act.key_name} {act.label}") for act in shown) + GAP * (len(shown) - 1)

    assert HELP in shown
    assert width <= room or shown == [HELP]


@EVERY_SCREEN
async def test_every_action_is_in_the_palette_and_every_screen_has_its_help(
    desk: Desk, name: str
) -> None:
    async with opened(desk, LARGE) as pilot:
        await press(pilot, *WAYS_TO[name])
        page = pilot.app.screen
        assert isinstance(page, Page)
        offered: list[SystemCommand] = list(pilot.app.get_system_commands(page))

        assert page.ACTS is SCREENS[name]
        assert [command.help for command in offered] == [act.tooltip for act in page.ACTS]
        if name == "help":
            return
        await press(pilot, next(act.key for act in page.ACTS if act.id == HELP.id))
        text = words(pilot)

        for act in SCREENS[name]:
            assert f"{act.key_name} {act.label}. {act.tooltip}." in text
        assert "It is no inspection and no permission to run a crane." in text
        await press(pilot, "escape")

        assert pilot.app.screen is page


@EVERY_SCREEN
async def test_every_action_can_be_done_those_of_the_foot_by_the_mouse_and_with_effect(
    desk: Desk, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with opened(desk) as pilot:
        await press(pilot, *WAYS_TO[name])
        done, do = [], pilot.app.run_action

        async def note(action: str, *where: Any, **more: Any) -> bool:
            done.append(action)
            return await do(action, *where, **more)

        monkeypatch.setattr(pilot.app, "run_action", note)
        page = pilot.app.screen
        for act in [act for act in SCREENS[name] if act.action != "app.quit"]:
            while pilot.app.screen is not page and len(pilot.app.screen_stack) > 1:
                await pilot.app.pop_screen()
            if pilot.app.screen is not page:  # the action before led away from it
                await press(pilot, *WAYS_TO[name])
                page = pilot.app.screen
            await settle(pilot)
            done.clear()
            before = screen_lines(pilot.app)
            if act in page.query_one(KeyLine).shown_acts(SMALL[0] - 2):
                place = before[-1].index(f"{act.key_name} {act.label}")
                await pilot.click(KeyLine, offset=(place, 0))
                await settle(pilot)

                assert done[:1] == [act.action]
                # a form in which nothing was typed is as empty as before
                assert screen_lines(pilot.app) != before or act.id == "empty", act.id
            else:
                await pilot.app.run_action(act.action, default_namespace=page)
                await settle(pilot)


async def test_the_palette_does_what_it_offers() -> None:
    async with opened() as pilot:
        await press(pilot, "ctrl+p", *"find", "enter")
        await pilot.wait_for_scheduled_animations()
        await settle(pilot)

        assert "longpole › find" in screen_lines(pilot.app)[0]


@pytest.mark.parametrize(
    ("keys", "idle"),
    [
        (("v", "f3"), "take out"),  # what is not on record yet cannot be taken out
        (("i",), "+ more"),  # whether a crane is out for good needs no number
        (("o", "tab"), "all parts"),
        (("z", "tab"), "Enter open"),
        (("z", "tab", "tab"), "money / days"),
    ],
)
async def test_the_foot_names_nothing_that_has_nothing_to_do(
    desk: Desk, keys: tuple[str, ...], idle: str
) -> None:
    async with opened(desk) as pilot:
        await press(pilot, *keys)
        foot = screen_lines(pilot.app)[-1]

        assert idle not in foot
        assert "help" in foot


async def test_a_click_on_the_foot_does_what_it_says() -> None:
    async with opened() as pilot:
        place = screen_lines(pilot.app)[-1].index("/ find")
        await pilot.click(KeyLine, offset=(place, 0))
        await settle(pilot)

        assert "longpole › find" in screen_lines(pilot.app)[0]


TYPED_INTO_A_STEP = ("m", "enter", *"BRK-2", "escape")
A_RECORD_TAKEN_OUT = ("v", "tab", *["down"] * 4, "enter", *"SEAL", "enter", "f8")
A_STEP_UNDONE = ("m", "end", "enter", "enter")


@pytest.mark.parametrize(
    ("keys", "entry", "after"),
    [
        (TYPED_INTO_A_STEP, "Enter go on typing", "Part * BRK-2"),
        (TYPED_INTO_A_STEP, "k keep for later", "longpole › fleet"),
        (TYPED_INTO_A_STEP, "t throw away", "longpole › fleet"),
        (A_RECORD_TAKEN_OUT, "Esc no", "part SEAL-3"),
        (A_RECORD_TAKEN_OUT, "y yes", "It stays: is named by"),
        (A_STEP_UNDONE, "Esc no", "Enter undoes it"),
        (A_STEP_UNDONE, "y yes", "BRK-2 undone"),
    ],
)
async def test_a_question_is_answered_by_the_mouse(
    tmp_path: Path, keys: tuple[str, ...], entry: str, after: str
) -> None:
    async with opened(written_desk(tmp_path / "site.db"), LARGE) as pilot:
        await press(pilot, *keys)
        assert isinstance(pilot.app.screen, ModalScreen)
        line = pilot.app.screen.query_one(KeyLine)
        text = screen_lines(pilot.app)[line.region.y]
        await pilot.click(offset=(text.index(entry), line.region.y))
        await settle(pilot)

        assert not isinstance(pilot.app.screen, ModalScreen)
        assert after in words(pilot)


async def test_quit_needs_one_key() -> None:
    async with opened() as pilot:
        await pilot.press("q")

        assert pilot.app.return_code == 0


async def test_the_look_changes_and_comes_back() -> None:
    async with opened() as pilot:
        before = pilot.app.theme
        await press(pilot, "t")
        other = pilot.app.theme
        await press(pilot, "t")

        assert other != before
        assert pilot.app.theme == before
