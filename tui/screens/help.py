"""Help for the screen beneath: its live keys, the words on it, and the cautions in full."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult

from tui import actions, sentences
from tui.actions import KEY_NAMES, key_name
from tui.screens.page import Page
from tui.themes import STATE_LOOKS
from tui.widgets.sheet import Pair, Sheet
from tui.widgets.texts import STRONG, said

WORDS = {
    "restore": "bring the crane back into service; here the days that this takes from today on",
    "long pole": "the chain of steps that sets the day on which the crane is restored",
    "position": "one place on one crane where a part sits",
    "waits for": "the step of the long pole that takes longest",
    "lost days": "days until restored, times the share of its work that the crane loses",
    "unknown": "positions that nobody knows how to restore: no part recorded, or no way to get it",
    "not known": "nobody has recorded it; this is not nought",
    "~, assumed": "rests on a figure that nobody has quoted or measured",
    "bears load": "hook, rope, sheave, drum, brake, hoist gearing, structure: its failure can drop "
    "or strand the load",
    sentences.ASK_FIRST: "a load-bearing position with a twin: whether the crane may run without "
    "it is for a qualified person to decide, in writing",
    "way": "one means of getting a part: store, order, purchase, repair, route, donor",
    "route, operation": "how a part is made, and one step of it",
    "can wait": "the days by which an operation may be late without moving the day of delivery",
    "done ahead": "a head start: an operation bought before the part is needed",
}
WORDS_OF_STATES = {
    "down": "the crane stands still",
    "reduced": "the crane loses part of its work",
    "in service": "nothing is lost that is recorded; a twin carries on",
}


class HelpScreen(Page):
    """Help for one page."""

    ACTS: ClassVar = actions.HELP_PANEL
    BINDINGS: ClassVar = actions.bindings(ACTS)

    def __init__(self, page: Page) -> None:
        super().__init__((*page.trail, "help"), "")
        self._keys = key_pairs(page)

    def body(self) -> ComposeResult:
        """Lay out one sheet."""
        yield Sheet()

    async def on_mount(self) -> None:
        """Show keys, cautions and words."""
        sheet = self.query_one(Sheet)
        sheet.focus()
        await sheet.fill(
            [
                ("Keys on the screen beneath", self._keys),
                ("Before you rely on any of this", [said(text) for text in sentences.CAUTIONS]),
                ("States", _state_pairs()),
                ("Words", [(said((word, STRONG)), said(text)) for word, text in WORDS.items()]),
            ]
        )


def key_pairs(page: Page) -> list[Pair]:
    """Return the keys that work on a page right now, with what each does."""
    found: dict[str, str] = {}
    for act in page.ACTS:
        found[act.key] = f"{act.label}. {act.tooltip}."
    for key, active in page.active_bindings.items():
        if key in KEY_NAMES and active.enabled and active.binding.description:
            found.setdefault(key, f"{active.tooltip or active.binding.description}.")
    return [(said((key_name(key), STRONG)), said(text)) for key, text in found.items()]


def _state_pairs() -> list[Pair]:
    return [
        (said((f"{look.symbol} {look.word}", STRONG)), said(WORDS_OF_STATES[look.word]))
        for look in STATE_LOOKS.values()
    ]
