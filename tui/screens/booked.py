"""What a step with the stock came to, and a key that undoes it."""

from __future__ import annotations

from typing import ClassVar

from parts.records.stock_steps import Posted
from tui import actions
from tui.messages import OpenUndo
from tui.screens.told import ToldScreen
from tui.step_sentences import booked_lines


class BookedScreen(ToldScreen):
    """One step, booked."""

    ACTS: ClassVar = actions.BOOKED
    BINDINGS: ClassVar = actions.bindings(ACTS)

    def __init__(self, posted: Posted, done: str) -> None:
        super().__init__(done, booked_lines(posted, done))
        self._key = posted.key

    def action_undo(self) -> None:
        """Ask whether to undo it, in place of what it came to."""
        self.app.post_message(OpenUndo(self._key))
        self.dismiss()
