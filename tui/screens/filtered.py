"""A list that typing filters, whatever key it is; escape empties the filter before it goes back."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Generic, NamedTuple, TypeVar

from textual.widgets import Input

from parts.records.shown import searchable
from tui.screens.typed import TypedPage
from tui.widgets.field_table import Field
from tui.widgets.filter_line import FilterLine
from tui.widgets.rows import Items
from tui.widgets.spots import Spot
from tui.widgets.table import RowTable

Item = TypeVar("Item")


class Found(NamedTuple, Generic[Item]):
    """What a filter leaves, how many there are without it, and what to say if nothing is left."""

    items: Items[Item]
    total: int
    nothing: str = ""


class FilteredPage(TypedPage[Item]):
    """A filter line, a table, a panel."""

    def __init__(
        self, trail: Sequence[str], day: str, fields: Sequence[Field[Item]], text: str = ""
    ) -> None:
        super().__init__(trail, day, fields)
        self._text = text

    @abstractmethod
    def find(self, text: str) -> Found[Item]:
        """Return what holds `text`; called in a worker."""

    def tell_nothing_to_open(self) -> None:
        """Leave it to the list, which says itself that nothing holds what is typed."""
        if not self.typed:
            super().tell_nothing_to_open()

    def nothing(self, is_filtered: bool) -> str:
        """Return what stands in place of rows."""
        return "No line holds what you typed.\n\nPress Esc to see all lines."

    def begin_at(self, spot: Spot) -> None:
        """Open with what was typed before."""
        super().begin_at(spot)
        self._text = spot.typed

    @property
    def spot(self) -> Spot:
        """Where the cursor is, with what is typed."""
        return replace(super().spot, typed=self.typed)

    def line(self) -> FilterLine:
        """Return the filter, with the text that the screen was opened with."""
        return FilterLine(self._text)

    def ask_again(self) -> None:
        """List what holds the text that is typed."""
        text = self.typed
        self.ask_in_turn(lambda: self.find(text), self._show)

    def _show(self, found: Found[Item]) -> None:
        self._table.set_empty_text(found.nothing or self.nothing(found.total > 0))
        self.list_found(found.items, total=found.total)

    def on_row_table_row_highlighted(self, event: RowTable.RowHighlighted) -> None:
        """Say how many are listed; the item under the cursor is told as everywhere."""
        self.query_one(FilterLine).tell(str(event.position))

    def leave(self) -> None:
        """Empty the filter; when it is empty, go back."""
        if self.typed:
            self.query_one(Input).value = ""
        else:
            super().leave()


def holding(items: Sequence[Item], text: str, words: Callable[[Item], str]) -> Sequence[Item]:
    """Return the items whose words hold every word of `text`, forgiving of case and dashes."""
    wanted = [searchable(word) for word in text.split()]
    if not wanted:
        return items
    return [item for item in items if all(each in searchable(words(item)) for each in wanted)]
