"""What everybody reads once before relying on the screens, and finds again in every help."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult

from tui import actions, sentences
from tui.screens.page import Page
from tui.widgets.sheet import Sheet
from tui.widgets.texts import STRONG, said

TITLE = "Read this before you rely on anything here"
LEAVE = "Press Enter when you have read this. It comes once; every help (?) shows it again."


class CautionsScreen(Page):
    """The cautions in full; one key says that they were read."""

    ACTS: ClassVar = actions.CAUTIONS
    BINDINGS: ClassVar = actions.bindings(ACTS)

    def __init__(self) -> None:
        super().__init__(("longpole", "cautions"), "")

    def body(self) -> ComposeResult:
        """Lay out one sheet."""
        yield Sheet()

    async def on_mount(self) -> None:
        """Show the cautions, a blank line between them."""
        sheet = self.query_one(Sheet)
        sheet.focus()
        lines = [line for text in sentences.CAUTIONS for line in (said(text), said())]
        await sheet.fill([(TITLE, lines), ("", [said((LEAVE, STRONG))])])

    def action_read(self) -> None:
        """Note that this person has read them, and go on."""
        self.desk.note_read(sentences.CAUTIONS)
        self.dismiss()
