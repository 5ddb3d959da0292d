"""Columns of a table: how wide each is drawn, which are in view, and a cell cut to its width.

Knows terminal cells and nothing of widgets, colours or data. The first column always stays in
view; the others scroll one column at a time. What `fit` returns is exactly as wide as asked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from rich.cells import cell_len, set_cell_size

from parts.records.shown import shown

GAP = 2
ELLIPSIS = "…"
JOINER = "\u200d"
"""At either end of a cell it would join the cell to its neighbour."""
LEAST_SLOT = 3
"""A column cut to fewer cells than this shows nothing a person can read."""

Align = Literal["left", "right"]


@dataclass(frozen=True)
class Column:
    """A column: `width` in cells, or None to share what is left, but never under `least`."""

    title: str
    width: int | None = None
    align: Align = "left"
    least: int = 12


@dataclass(frozen=True)
class Slot:
    """Where one column is drawn, in cells from the left edge."""

    column: int
    x: int
    width: int


@dataclass(frozen=True)
class Layout:
    """The columns in view at one width, and whether others are hidden on either side."""

    room: int
    slots: tuple[Slot, ...]
    more_left: bool
    more_right: bool

    def column_at(self, x: int) -> int | None:
        """Return the column drawn at a cell, its gap to the right included."""
        for slot in self.slots:
            if slot.x <= x < slot.x + slot.width + GAP:
                return slot.column
        return None

    def spread(self, texts: Sequence[str], *, marks: bool = False) -> list[tuple[str, int | None]]:
        """Return one line as (text, column) pieces, column None for blanks, filling the room.

        With `marks` the blanks beside hidden columns carry ‹ and ›.
        """
        pieces: list[tuple[str, int | None]] = []
        x = 0
        for place, (slot, text) in enumerate(zip(self.slots, texts, strict=True)):
            if slot.x > x:
                hidden = marks and place == 1 and self.more_left
                pieces.append((("‹" if hidden else "").ljust(slot.x - x), None))
            pieces.append((text, slot.column))
            x = slot.x + slot.width
        if self.room > x:
            tail = "›" if marks and self.more_right else ""
            pieces.append((tail.rjust(self.room - x), None))
        return pieces


def fit(text: str, width: int, align: Align = "left") -> str:
    """Return the text made safe, cut with an ellipsis or padded to exactly `width` cells."""
    if width <= 0:
        return ""
    text = shown(text)
    if text.isascii():
        text = text if len(text) <= width else text[: width - 1] + ELLIPSIS
        size = len(text)
    else:
        text = _cut(text.strip(JOINER), width)
        size = cell_len(text)
    blank = " " * (width - size)
    return blank + text if align == "right" else text + blank


def _cut(text: str, width: int) -> str:
    if cell_len(text) <= width:
        return text
    text = set_cell_size(text, width - 1)
    while cell_len(text := text.rstrip(JOINER)) >= width:  # odd sequences are not cut exactly
        text = text[:-1]
    return text + ELLIPSIS


def widths(columns: Sequence[Column], room: int) -> list[int]:
    """Return each column's width; columns without one share the room that the others leave."""
    found = [column.least if column.width is None else column.width for column in columns]
    spare = room - sum(found) - GAP * (len(columns) - 1)
    sharing = [index for index, column in enumerate(columns) if column.width is None]
    if spare <= 0 or not sharing:
        return found
    each, over = divmod(spare, len(sharing))
    for place, index in enumerate(sharing):
        found[index] += each + (1 if place < over else 0)
    return found


def lay_out(columns: Sequence[Column], room: int, first: int = 1) -> Layout:
    """Return where columns are drawn when `first` is the leftmost after the frozen one."""
    found = widths(columns, room)
    if not columns or room <= 0:
        return Layout(max(0, room), (), False, False)
    if sum(found) + GAP * (len(found) - 1) <= room:
        return Layout(room, _slots(found, 0, 1, room), False, False)
    frozen = min(found[0], max(1, room // 2))
    slots = _slots([frozen, *found[1:]], 0, first, room - 2)  # the edge is kept for the mark
    last = slots[-1]
    cut = last.column > 0 and last.width < found[last.column]
    return Layout(room, slots, first > 1, cut or last.column < len(columns) - 1)


def _slots(found: Sequence[int], x: int, first: int, room: int) -> tuple[Slot, ...]:
    slots = [Slot(0, x, found[0])]
    x += found[0] + GAP
    for column in range(max(1, first), len(found)):
        width = min(found[column], room - x)
        if width < min(LEAST_SLOT, found[column]):
            break
        slots.append(Slot(column, x, width))
        x += width + GAP
    return tuple(slots)


def furthest_first(columns: Sequence[Column], room: int) -> int:
    """Return the leftmost scrolled column with which the last column is wholly in view."""
    for first in range(1, len(columns)):
        if not lay_out(columns, room, first).more_right:
            return first
    return max(1, len(columns) - 1)
