"""One line that asks for the name of the new file that takes the documents to hand over.

Here a file that is there is never written over: somebody may have been handed it.
"""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from parts.errors import LongpoleError
from parts.services.reports import free_target
from tui import actions
from tui.widgets.key_line import KeyLine
from tui.widgets.path_input import PathInput
from tui.widgets.texts import STRONG, WARN, said

ASK = "Write the documents to hand over to this new file; .html is a page, .xlsx a workbook."


class WriteReportScreen(ModalScreen[Path | None]):
    """The name, and what is wrong with it; ends with where the documents may be written."""

    BINDINGS: ClassVar = actions.bindings(actions.WRITING)
    DEFAULT_CSS = """
    WriteReportScreen { align: center bottom; }
    WriteReportScreen Vertical { height: auto; padding: 0 1; background: $panel; }
    """

    def __init__(self, name: str) -> None:
        super().__init__()
        self._proposed = name

    def compose(self) -> ComposeResult:
        """Lay out the question, the name and the keys."""
        with Vertical():
            yield Static(said((ASK, STRONG)), id="ask")
            yield PathInput(self._proposed)
            yield KeyLine(actions.WRITING)

    def on_mount(self) -> None:
        """Begin in the line."""
        self.query_one(Input).focus()

    def on_input_submitted(self) -> None:
        """Write."""
        self.action_write()

    def action_write(self) -> None:
        """Go on with the name, if a new file may be there."""
        try:
            target = free_target(self.query_one(Input).value.strip())
        except LongpoleError as refused:
            self.query_one("#ask", Static).update(said((f"{refused}.", WARN)))
        else:
            self.dismiss(target)

    def action_leave(self) -> None:
        """Write nothing."""
        self.dismiss(None)
