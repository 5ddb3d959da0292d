"""A mistake of the program, told with its number; the program goes on beneath it."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult

from parts.services.mistake_log import Noted
from tui import actions, mistakes
from tui.screens.page import Page
from tui.widgets.sheet import Sheet
from tui.widgets.texts import STRONG, WARN, said


class MistakeScreen(Page):
    """One mistake, and how to go on."""

    ACTS: ClassVar = actions.MISTAKE
    BINDINGS: ClassVar = actions.bindings(ACTS)

    def __init__(self, noted: Noted, is_closed: bool) -> None:
        super().__init__(("longpole", "a mistake"), "")
        self._noted, self._is_closed = noted, is_closed

    def body(self) -> ComposeResult:
        """Lay out one sheet."""
        yield Sheet()

    async def on_mount(self) -> None:
        """Tell it."""
        closed = "The page on which it happened was closed. " if self._is_closed else ""
        sheet = self.query_one(Sheet)
        sheet.focus()
        await sheet.fill(
            [
                ("", [said((mistakes.headline(self._noted), WARN))]),
                ("", [said(mistakes.SAVED), said()]),
                ("", [said((f"{closed}{mistakes.GO_ON}", STRONG)), said()]),
                ("", [said(f"{mistakes.kind_and_place(self._noted)}.")]),
                ("", [said(mistakes.whom_to_tell(self._noted))]),
            ]
        )
