"""A list that typing filters, whatever key it is, with the row under the cursor told below it.

The filter always has the keys, so no letter does anything else here; arrows move the list.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, Sequence
from typing import ClassVar, Generic, NamedTuple, TypeVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.timer import Timer
from textual.widgets import Input

from parts.records.shown import searchable
from tui.screens.page import RECKONING, Page
from tui.widgets.field_table import Field, FieldTable
from tui.widgets.filter_line import FilterLine
from tui.widgets.panel import Panel
from tui.widgets.rows import Items
from tui.widgets.table import RowTable

MOVES = ("up", "down", "pageup", "pagedown")
Item = TypeVar("Item")


class Found(NamedTuple, Generic[Item]):
    """What a filter leaves, and how many there are without it."""

    items: Items[Item]
    total: int


class FilteredPage(Page, Generic[Item]):
    """A filter line, a table, a panel."""

    PAUSE_S: ClassVar = 0.12
    """Keys that come closer together than this are answered once."""

    # The keys that move are the list's although the filter has the rest of them.
    DEFAULT_CSS = """
    FilteredPage RowTable > .row-table--cursor-away {
        background: $block-cursor-background; color: $block-cursor-foreground; text-style: bold;
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(key, f"move('{key}')", "Move in the list", show=False, priority=True)
        for key in MOVES
    ]

    def __init__(
        self, trail: Sequence[str], day: str, fields: Sequence[Field[Item]], text: str = ""
    ) -> None:
        super().__init__(trail, day)
        self._text = text
        self._timer: Timer | None = None
        self._is_due = self._opens_then = False
        self._table = FieldTable(fields, empty=RECKONING)
        self._table.can_focus = False

    @abstractmethod
    def panel(self) -> Panel:
        """Return the panel below the table."""

    @abstractmethod
    def find(self, text: str) -> Found[Item]:
        """Return what holds `text`; called in a worker."""

    @abstractmethod
    def tell(self, item: Item | None) -> None:
        """Say in the panel what there is to say about the item under the cursor."""

    @abstractmethod
    def open_item(self, item: Item) -> None:
        """Open what an item stands for."""

    def nothing(self, is_filtered: bool) -> str:
        """Return what stands in place of rows."""
        return "No line holds what you typed.\n\nPress Esc to see all lines."

    def body(self) -> ComposeResult:
        """Lay out the filter, the list and the panel."""
        yield FilterLine(self._text)
        yield self._table
        yield self.panel()

    def on_mount(self) -> None:
        """Filter by the text that the screen was opened with."""
        self.query_one(Input).focus()
        self.filter()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Filter when the keys pause."""
        if self._timer is not None:
            self._timer.stop()
        self._is_due, self._opens_then = True, False
        self._timer = self.set_timer(self.PAUSE_S, self.filter)

    def filter(self) -> None:
        """List what holds the text that is typed."""
        text = self.query_one(Input).value
        self.ask(lambda: self.find(text), self._show)

    def _show(self, found: Found[Item]) -> None:
        self._table.set_empty_text(self.nothing(found.total > 0))
        self._table.list_items(found.items, total=found.total)
        self._is_due = False
        if self._opens_then:
            self._opens_then = False
            self.action_open()

    def on_row_table_row_highlighted(self, event: RowTable.RowHighlighted) -> None:
        """Say how many are listed, and tell about the item under the cursor."""
        self.query_one(FilterLine).tell(str(event.position))
        self.tell(self._table.chosen)

    def on_row_table_row_chosen(self, event: RowTable.RowChosen) -> None:
        """Open the item that was clicked."""
        self.action_open()

    def on_input_submitted(self) -> None:
        """Open the item under the cursor."""
        self.action_open()

    def action_open(self) -> None:
        """Open the item under the cursor, but never one that the filter is about to hide."""
        self._opens_then = self._is_due
        if not self._is_due and (item := self._table.chosen) is not None:
            self.open_item(item)

    def action_move(self, key: str) -> None:
        """Move the cursor of the list."""
        table = self._table
        if key in ("up", "down"):
            table.action_step(1 if key == "down" else -1)
        else:
            table.action_page(1 if key == "pagedown" else -1)

    def action_back(self) -> None:
        """Empty the filter; when it is empty, go back."""
        if self.query_one(Input).value:
            self.query_one(Input).value = ""
        else:
            super().action_back()


def holding(items: Sequence[Item], text: str, words: Callable[[Item], str]) -> Sequence[Item]:
    """Return the items whose words hold every word of `text`, forgiving of case and dashes."""
    wanted = [searchable(word) for word in text.split()]
    if not wanted:
        return items
    return [item for item in items if all(each in searchable(words(item)) for each in wanted)]
