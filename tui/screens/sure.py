"""One question before something is done that is not easily done back."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from tui import actions
from tui.widgets.key_line import KeyLine
from tui.widgets.texts import WARN, said


class SureScreen(ModalScreen[bool]):
    """Whoever presses Enter or Esc changes nothing."""

    BINDINGS: ClassVar = actions.bindings(actions.SURE)
    DEFAULT_CSS = """
    SureScreen { align: center middle; }
    SureScreen Vertical {
        width: 70; height: auto; padding: 1 2; background: $panel; border: solid $accent;
    }
    """

    def __init__(self, question: str, about: str) -> None:
        super().__init__()
        self._question, self._about = question, about

    def compose(self) -> ComposeResult:
        """Ask."""
        with Vertical():
            yield Static(said((self._question, WARN)))
            yield Static(said(self._about))
            yield KeyLine(actions.SURE)

    def action_answer(self, sure: bool) -> None:
        """Answer."""
        self.dismiss(sure)
