"""One line that asks for the name of the file to which a list is written.

A file that is there is written over only when Enter is pressed again on the same name.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import ClassVar

from parts.errors import FileIsThere, LongpoleError
from parts.services.listings import save_listing
from tui.messages import Answered
from tui.screens.file_asked import FileAskedScreen

THERE = "That file is there already. Press Enter again to write over it, or change the name."
_NOT_IN_A_NAME = re.compile(r"[^\w]+")
Listing = tuple[Sequence[str], Iterable[Sequence[str]]]


class WriteListScreen(FileAskedScreen[tuple[Path, int]]):
    """Ends with where the list is and its rows."""

    ASK: ClassVar = "Write the whole list to this file; .csv has commas, any other name tabs."

    def __init__(self, name: str, listing: Callable[[], Listing]) -> None:
        super().__init__(name)
        self._listing = listing
        self._may_replace = ""
        self._asked = 0

    def action_write(self) -> None:
        """Write the list, in a worker: it may be long."""
        name = self.name_typed
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
        self.say_what_is_wrong(THERE if is_there else str(refused))

    def action_leave(self) -> None:
        """Write nothing."""
        self._asked += 1
        super().action_leave()


def file_name(trail: Sequence[str], day: str) -> str:
    """Return a name for the file of a page's list on a day."""
    words = [_NOT_IN_A_NAME.sub("-", text).strip("-").casefold() for text in (*trail[-2:], day)]
    return f"{'-'.join(word for word in words if word)[:80]}.csv"
