"""One line that asks for the name of the file to which a list is written.

A file that is there is written over only when Enter is pressed again on the same name.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from parts.errors import FileIsThere, LongpoleError
from parts.services.listings import save_listing
from tui import actions
from tui.messages import Answered
from tui.widgets.key_line import KeyLine
from tui.widgets.path_input import PathInput
from tui.widgets.texts import STRONG, WARN, said

ASK = "Write the whole list to this file; .csv has commas, any other name tabs."
THERE = "That file is there already. Press Enter again to write over it, or change the name."
_NOT_IN_A_NAME = re.compile(r"[^\w]+")
Listing = tuple[Sequence[str], Iterable[Sequence[str]]]


class WriteListScreen(ModalScreen[tuple[Path, int] | None]):
    """The name, and what is wrong with it; ends with where the list is and its rows."""

    BINDINGS: ClassVar = actions.bindings(actions.WRITING)
    DEFAULT_CSS = """
    WriteListScreen { align: center bottom; }
    WriteListScreen Vertical { height: auto; padding: 0 1; background: $panel; }
    """

    def __init__(self, name: str, listing: Callable[[], Listing]) -> None:
        super().__init__()
        self._proposed, self._listing = name, listing
        self._may_replace = ""
        self._asked = 0

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
        """Write the list, in a worker: it may be long."""
        name = self.query_one(Input).value.strip()
        if not name:
            return
        self._asked += 1
        number, replace = self._asked, name == self._may_replace

        def work() -> None:
            try:
                done = save_listing(name, *self._listing(), replace=replace)
            except LongpoleError as refused:
                self.post_message(Answered(number, self._refused, (name, refused)))
            else:
                self.post_message(Answered(number, self.dismiss, done))

        self.run_worker(work, thread=True, exclusive=True)

    def on_answered(self, message: Answered) -> None:
        """Take what the latest attempt came to."""
        message.stop()
        if message.number == self._asked and self.is_attached:
            message.take(message.answer)

    def _refused(self, told: tuple[str, LongpoleError]) -> None:
        name, refused = told
        is_there = isinstance(refused, FileIsThere)
        self._may_replace = name if is_there else ""
        sentence = THERE if is_there else str(refused)
        self.query_one("#ask", Static).update(said((sentence[:1].upper() + sentence[1:], WARN)))

    def action_leave(self) -> None:
        """Write nothing."""
        self._asked += 1
        self.dismiss(None)


def file_name(trail: Sequence[str], day: str) -> str:
    """Return a name for the file of a page's list on a day."""
    words = [_NOT_IN_A_NAME.sub("-", text).strip("-").casefold() for text in (*trail[-2:], day)]
    return f"{'-'.join(word for word in words if word)[:80]}.csv"
