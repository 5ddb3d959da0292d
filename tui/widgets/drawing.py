"""One line of a table as a strip: the header, a row, a line of the text in place of rows.

Knows a layout, cells and the looks given for them; refuses to know widgets, cursors and data.
Every strip is as wide as the layout's room, and its text has no markup.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from functools import lru_cache

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip

from parts.records.shown import shown
from tui.widgets.columns import Column, Layout, fit

Sort = tuple[int, bool]
"""A column, and whether it is sorted from the highest down."""


def header_strip(
    layout: Layout, columns: Sequence[Column], sort: Sort | None, look: Style
) -> Strip:
    """Return the titles, with a mark at the sorted one and at edges with hidden columns."""
    titles = []
    for slot in layout.slots:
        mark = ("▼" if sort[1] else "▲") if sort and sort[0] == slot.column else ""
        titles.append(_title(columns[slot.column], slot.width, mark))
    line = "".join(text for text, _ in layout.spread(titles, marks=True))
    return Strip([Segment(line, look)], layout.room)


def _title(column: Column, width: int, mark: str) -> str:
    if not mark:
        return fit(column.title, width, column.align)
    if width < len("T…▲"):
        return fit(mark, width, column.align)
    spaced = f"{column.title} {mark}"
    if cell_len(spaced) > width:
        spaced = fit(column.title, width - 1).rstrip() + mark
    return fit(spaced, width, column.align)


def row_strip(
    layout: Layout,
    columns: Sequence[Column],
    cells: Sequence[str],
    look: Callable[[int | None], Style],
) -> Strip:
    """Return one row; `look` gives a column's look, and with None that of the blanks between."""
    texts = [
        fit(cells[slot.column], slot.width, columns[slot.column].align)
        if slot.column < len(cells)
        else " " * slot.width
        for slot in layout.slots
    ]
    segments = [Segment(text, look(column)) for text, column in layout.spread(texts)]
    return Strip(segments, layout.room).simplify()  # one style sent once: fewer bytes over ssh


@lru_cache(maxsize=8)
def empty_lines(text: str, room: int) -> Sequence[str]:
    """Return the sentences that stand in place of rows, wrapped, after one blank line."""
    lines = [""]
    for sentence in shown(text, newline=True).splitlines():
        lines += [f" {part}" for part in textwrap.wrap(sentence, max(1, room - 2))] or [""]
    return lines


def with_selection(strip: Strip, span: tuple[int, int] | None, look: Style) -> Strip:
    """Return the strip with a span of its characters, end -1 for all, in the selection's look."""
    if span is None:
        return strip
    start, end = (cell_len(strip.text[:at]) if at >= 0 else strip.cell_length for at in span)
    before, selected, after = strip.divide([start, end, strip.cell_length])
    marked = Strip([Segment(text, (style or Style()) + look) for text, style, _ in selected])
    return Strip.join([before, marked, after])
