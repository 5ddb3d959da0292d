"""What came of something done with the stock, to be read before going on."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from tui import actions
from tui.acts import Act
from tui.screens.page import Page
from tui.widgets.sheet import Sheet
from tui.widgets.texts import Piece, said


class ToldScreen(Page):
    """Sentences; `done` is the word for it at the top."""

    ACTS: ClassVar[tuple[Act, ...]] = actions.TOLD
    BINDINGS: ClassVar[list[BindingType]] = actions.bindings(ACTS)

    def __init__(self, done: str, told: Iterable[Piece]) -> None:
        super().__init__(("longpole", "move stock", done), "")
        self._told = tuple(told)

    def body(self) -> ComposeResult:
        """Lay out one sheet."""
        yield Sheet()

    async def on_mount(self) -> None:
        """Tell it."""
        sheet = self.query_one(Sheet)
        sheet.focus()
        await sheet.fill([("", [said(piece) for piece in self._told])])
