"""Help for the screen beneath: its live keys, the words on it, and the cautions in full."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult

from tui import actions, sentences, words
from tui.acts import KEY_NAMES, key_name
from tui.screens.page import Page
from tui.themes import STATE_LOOKS
from tui.widgets.sheet import Pair, Sheet
from tui.widgets.texts import STRONG, said

PLAINLY = {
    "Move cursor left": "Go left in the line",
    "Move cursor right or accept the completion suggestion": (
        "Go right in the line; at its end, take what is offered in grey"
    ),
    "Go to start": "Go to the beginning of the line",
    "Go to end": "Go to the end of the line",
    "Delete character left": "Take away the letter before",
    "Submit": "Take what is typed, and go on",
    "Page Up": "Go up by a screen",
    "Page Down": "Go down by a screen",
    "Scroll Up": "Go up",
    "Scroll Down": "Go down",
    "Scroll Left": "Go left",
    "Scroll Right": "Go right",
    "Scroll Home": "Go to the top",
    "Scroll End": "Go to the bottom",
}
"""What the framework calls its keys, as a keeper would say it."""
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
        self._lines = [(said((label, STRONG)), said(text)) for label, text in page.asks_for]
        self._words = [(said((word, STRONG)), said(words.MEANINGS[word])) for word in page.WORDS]

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
                ("What the lines ask for", self._lines),
                ("Before you rely on any of this", [said(text) for text in sentences.CAUTIONS]),
                ("States", _state_pairs()),
                ("Words on that screen", self._words),
            ]
        )


def key_pairs(page: Page) -> list[Pair]:
    """Return the keys that work on a page right now, with what each does."""
    found: dict[str, str] = {}
    for act in page.ACTS:
        found[act.key] = f"{act.label}. {act.tooltip}."
    for key, active in page.active_bindings.items():
        is_told = active.enabled and active.binding.description
        if key in KEY_NAMES and is_told and "focus" not in active.binding.action:
            told = active.tooltip or active.binding.description
            found.setdefault(key, f"{PLAINLY.get(told, told)}.")
    return [(said((key_name(key), STRONG)), said(text)) for key, text in found.items()]


def _state_pairs() -> list[Pair]:
    return [
        (said((f"{look.symbol} {look.word}", STRONG)), said(WORDS_OF_STATES[look.word]))
        for look in STATE_LOOKS.values()
    ]
