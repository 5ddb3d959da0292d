"""A table whose columns are fields of an item; a narrow screen shows the most telling ones.

Knows fields and widths; what is left out of a narrow table stands below it or a key away.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from tui.widgets.columns import Column
from tui.widgets.rows import ItemRows, Items
from tui.widgets.spots import Spot, about
from tui.widgets.table import RowTable

Item = TypeVar("Item")


def no_style(_: object) -> str:
    """Return the style word of a cell like any other."""
    return ""


@dataclass(frozen=True)
class Field(Generic[Item]):
    """One column: its text and style of an item, and the widths of table at which it is there.

    One with `below_width` stands in for others on a narrow screen, and is no column of the list.
    """

    column: Column
    text: Callable[[Item], str]
    style: Callable[[Item], str] = no_style
    from_width: int = 0
    below_width: int | None = None

    def is_there_at(self, width: int) -> bool:
        return self.from_width <= width and (self.below_width is None or width < self.below_width)


class FieldTable(RowTable, Generic[Item]):
    """A table of items."""

    DEFAULT_CSS = "FieldTable { height: 1fr; margin-left: 1; }"

    def __init__(self, fields: Sequence[Field[Item]], *, empty: str = "") -> None:
        self._all_fields = tuple(fields)
        self._fields = self._that_fit(0)
        self._items: Items[Item] = ()
        self._begins: Spot | None = None
        super().__init__(*(field.column for field in self._fields), empty=empty)

    def list_items(self, items: Items[Item], *, at: int = 0, total: int | None = None) -> None:
        """List items with the cursor on the one at `at`; `total` counts those left out too."""
        if self._begins is not None and len(items):
            at, self._begins = self._begins.row_in(items), None
        self._items = items
        rows = ItemRows(items, self._cells, self._style_of)
        self.set_rows(rows, keep_cursor_at=at, total=total)

    def show_fields(self, fields: Sequence[Field[Item]]) -> None:
        """Show other fields, for other items that are listed next."""
        self._all_fields = tuple(fields)
        self._fields = self._that_fit(self.size.width)
        self.set_columns(*(field.column for field in self._fields))

    def begin_at(self, spot: Spot) -> None:
        """Put the cursor on a spot once there are items to have it on."""
        self._begins = spot

    def go_to(self, spot: Spot) -> None:
        """Put the cursor on a spot now."""
        self.move_cursor(spot.row_in(self._items))

    @property
    def spot(self) -> Spot:
        """Where the cursor is."""
        return Spot() if self.cursor is None else Spot(self.cursor, about(self._items[self.cursor]))

    def listing(self) -> tuple[tuple[str, ...], Iterator[tuple[str, ...]]]:
        """Return the titles and the texts of all fields, those left out of a narrow table too."""
        fields = [field for field in self._all_fields if field.below_width is None]
        items = self._items
        rows = (tuple(f.text(items[at]) for f in fields) for at in range(len(items)))
        return tuple(field.column.title for field in fields), rows

    @property
    def chosen(self) -> Item | None:
        """Return the item under the cursor."""
        return None if self.cursor is None else self._items[self.cursor]

    def on_resize(self) -> None:
        """Show the fields that fit, then lay them out."""
        fields = self._that_fit(self.size.width)
        if fields != self._fields:
            self._fields = fields
            self.set_columns(*(field.column for field in fields))

    def _that_fit(self, width: int) -> tuple[Field[Item], ...]:
        return tuple(field for field in self._all_fields if field.is_there_at(width))

    def _cells(self, item: Item) -> tuple[str, ...]:
        return tuple(field.text(item) for field in self._fields)

    def _style_of(self, item: Item, column: int) -> str:
        return self._fields[column].style(item)
