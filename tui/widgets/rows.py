"""What a table shows: rows of formatted cells, asked for only when they come into view.

Knows counting, one row's cells, one cell's style word, and fetching by pages; refuses to know
widgets, columns and where items come from. A row that is gone by the time it is asked for is empty.

    ItemRows(items, cells)                        a list of records, formatted when drawn
    ItemRows(Pages(count, fetch), cells, style)   the same, fetched a page at a time
"""

from __future__ import annotations

import unicodedata
from collections import OrderedDict
from collections.abc import Callable, Sequence
from typing import Generic, Protocol, TypeVar, runtime_checkable

from parts.records.shown import shown

Item = TypeVar("Item")
Found_co = TypeVar("Found_co", covariant=True)


class Rows(Protocol):
    """Rows of cells already formatted; neither method may raise for an index below the length."""

    def __len__(self) -> int: ...

    def row(self, index: int) -> tuple[str, ...]:
        """Return the cells of one row, one a column."""


@runtime_checkable
class StyledRows(Rows, Protocol):
    """Rows that also say how a cell is to look, by a word of `table.STYLE_WORDS` or ""."""

    def style(self, index: int, column: int) -> str:
        """Return the style word of one cell."""


class Items(Protocol[Found_co]):
    """A list, or anything else that knows its length and hands out one item at a time."""

    def __len__(self) -> int: ...

    def __getitem__(self, index: int, /) -> Found_co: ...


class ItemRows(Generic[Item]):
    """Rows over items: `cells` formats one item, `style` picks the look of one of its cells."""

    def __init__(
        self,
        items: Items[Item],
        cells: Callable[[Item], tuple[str, ...]],
        style: Callable[[Item, int], str] | None = None,
    ) -> None:
        self.items = items
        self._cells = cells
        self._style = style

    def __len__(self) -> int:
        return len(self.items)

    def row(self, index: int) -> tuple[str, ...]:
        """Return the formatted cells of the item, or none if it is gone."""
        try:
            return self._cells(self.items[index])
        except IndexError:
            return ()

    def style(self, index: int, column: int) -> str:
        """Return the style word of one cell of the item."""
        if self._style is None:
            return ""
        try:
            return self._style(self.items[index], column)
        except IndexError:
            return ""


class Pages(Generic[Item]):
    """Items fetched a page at a time with `fetch(first, how_many)`, the latest pages kept."""

    def __init__(
        self,
        count: int,
        fetch: Callable[[int, int], Sequence[Item]],
        *,
        page: int = 100,
        kept: int = 16,
    ) -> None:
        self._count = count
        self._fetch = fetch
        self._page = page
        self._kept = kept
        self._pages: OrderedDict[int, Sequence[Item]] = OrderedDict()

    def __len__(self) -> int:
        return self._count

    def __getitem__(self, index: int, /) -> Item:
        if not 0 <= index < self._count:
            raise IndexError(index)
        number, place = divmod(index, self._page)
        if number not in self._pages:
            self._pages[number] = self._fetch(number * self._page, self._page)
            if len(self._pages) > self._kept:
                self._pages.popitem(last=False)
        self._pages.move_to_end(number)
        return self._pages[number][place]


def tsv_line(cells: Sequence[str]) -> str:
    """Return the cells with tabs between, none of which a spreadsheet takes for a formula."""
    return "\t".join(_defused(shown(cell)) for cell in cells)


def _defused(text: str) -> str:
    begins = unicodedata.normalize("NFKC", text).lstrip()[:1]
    return f"'{text}" if begins and begins in "=+-@" else text
