"""The question before something typed is left."""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from tui import actions
from tui.widgets.key_line import KeyLine
from tui.widgets.texts import STRONG, said


class Leaving(Enum):
    KEEP_EDITING = "keep editing"
    KEEP_DRAFT = "keep the draft"
    THROW_AWAY = "throw away"


class LeaveScreen(ModalScreen[Leaving]):
    """Whoever presses Enter or Esc goes on typing."""

    BINDINGS: ClassVar = actions.bindings(actions.LEAVING)
    DEFAULT_CSS = """
    LeaveScreen { align: center middle; }
    LeaveScreen Vertical {
        width: 64; height: auto; padding: 1 2; background: $panel; border: solid $accent;
    }
    """

    def compose(self) -> ComposeResult:
        """Ask."""
        with Vertical():
            yield Static(said(("What you typed is not saved.", STRONG)))
            yield Static(said("Go on typing, keep it for later, or throw it away?"))
            yield KeyLine(actions.LEAVING)

    def action_answer(self, name: str) -> None:
        """Answer."""
        self.dismiss(Leaving[name])
