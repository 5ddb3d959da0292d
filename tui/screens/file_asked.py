"""One line at the foot that asks for the name of a file to be written."""

from __future__ import annotations

from typing import ClassVar, Generic, TypeVar

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from tui import actions
from tui.widgets.key_line import KeyLine
from tui.widgets.path_input import PathInput
from tui.widgets.texts import STRONG, WARN, said

Written = TypeVar("Written")


class FileAskedScreen(ModalScreen[Written | None], Generic[Written]):
    """The name, and what is wrong with it; ends with what was written, or None."""

    ASK: ClassVar[str]
    BINDINGS: ClassVar = actions.bindings(actions.WRITING)
    DEFAULT_CSS = """
    FileAskedScreen { align: center bottom; }
    FileAskedScreen Vertical { height: auto; padding: 0 1; background: $panel; }
    """

    def __init__(self, name: str) -> None:
        super().__init__()
        self._proposed = name

    def compose(self) -> ComposeResult:
        """Lay out the question, the name and the keys."""
        with Vertical():
            yield Static(said((self.ASK, STRONG)), id="ask")
            yield PathInput(self._proposed)
            yield KeyLine(actions.WRITING)

    def on_mount(self) -> None:
        """Begin in the line."""
        self.query_one(Input).focus()

    @property
    def name_typed(self) -> str:
        return self.query_one(Input).value.strip()

    def say_what_is_wrong(self, sentence: str) -> None:
        """Say it in place of the question."""
        warning = sentence[:1].upper() + sentence[1:]
        self.query_one("#ask", Static).update(said((warning, WARN)))

    def on_input_submitted(self) -> None:
        """Write."""
        self.action_write()

    def action_write(self) -> None:
        """Write it under this name, if it may be."""
        raise NotImplementedError

    def action_leave(self) -> None:
        """Write nothing."""
        self.dismiss(None)
