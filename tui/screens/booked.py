"""What a step with the stock came to, to be read before going on."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult

from parts.records.stock_steps import Posted
from tui import actions
from tui.messages import OpenUndo
from tui.screens.page import Page
from tui.step_sentences import booked_lines
from tui.widgets.sheet import Sheet
from tui.widgets.texts import said


class BookedScreen(Page):
    """One step, booked."""

    ACTS: ClassVar = actions.BOOKED
    BINDINGS: ClassVar = actions.bindings(ACTS)

    def __init__(self, posted: Posted, done: str) -> None:
        super().__init__(("longpole", "move stock", done), "")
        self._posted, self._done = posted, done

    def body(self) -> ComposeResult:
        """Lay out one sheet."""
        yield Sheet()

    async def on_mount(self) -> None:
        """Tell it."""
        sheet = self.query_one(Sheet)
        sheet.focus()
        await sheet.fill([("", [said(line) for line in booked_lines(self._posted, self._done)])])

    def action_undo(self) -> None:
        """Ask whether to undo it."""
        self.post_message(OpenUndo(self._posted.key))
