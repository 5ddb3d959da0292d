"""A list without a filter: a sentence, a table that has the keys, and a panel below it."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Sequence
from typing import Generic, TypeVar

from textual.app import ComposeResult
from textual.widgets import Static

from tui.screens.page import RECKONING, Page
from tui.site import Site
from tui.widgets.field_table import Field, FieldTable
from tui.widgets.panel import LinesPanel
from tui.widgets.table import RowTable
from tui.widgets.texts import Piece, said

Item = TypeVar("Item")


class ListPage(Page, Generic[Item]):
    """A sentence, a table, a panel."""

    def __init__(self, trail: Sequence[str], day: str, fields: Sequence[Field[Item]]) -> None:
        super().__init__(trail, day)
        self._table = FieldTable(fields, empty=RECKONING)

    @abstractmethod
    def load(self) -> None:
        """Ask for what is to be listed."""

    @abstractmethod
    def tell(self, item: Item | None) -> None:
        """Say in the panel what there is to say about the item under the cursor."""

    def body(self) -> ComposeResult:
        """Lay out the sentence, the list and the panel."""
        yield Static(said(RECKONING), classes="line", id="answer")
        yield self._table
        yield LinesPanel()

    def on_mount(self) -> None:
        """Ask, with the keys going to the list."""
        self._table.focus()
        self.load()

    def take_site(self, site: Site) -> bool:
        """Ask again with the cursor on the same row."""
        self._site = site
        self._table.begin_at(self._table.spot)
        self.load()
        return True

    def say(self, *pieces: Piece) -> None:
        """Show the sentence above the list."""
        self.query_one("#answer", Static).update(said(*pieces))

    def refused(self, sentence: str) -> None:
        """Say why there is no answer, and take away the promise of one."""
        super().refused(sentence)
        self._table.set_empty_text("")

    def on_row_table_row_highlighted(self, event: RowTable.RowHighlighted) -> None:
        """Tell about the item under the cursor."""
        self.tell(self._table.chosen)

    def on_row_table_row_chosen(self, event: RowTable.RowChosen) -> None:
        """Open the item, on the pages whose items open."""
        self.action_open()

    def action_open(self) -> None:
        """Open the item under the cursor."""
        if (item := self._table.chosen) is not None:
            self.open_item(item)
        else:
            self.tell_nothing_to_open()

    def open_item(self, item: Item) -> None:
        """Open what an item stands for; nothing, where it stands for itself."""

    def action_copy(self) -> None:
        """Send the row to the clipboard of the terminal."""
        self.copy_row(self._table)
