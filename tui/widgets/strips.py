"""A range with its middle, and one figure against it, as signs on one axis.

Knows figures, widths and characters; refuses to know widgets and colours. Each sign stands in the
cell that its figure falls into, so signs never change places; two that share a cell become one,
and the figures beside them tell which is which. What lies above the axis ends in an arrow.
"""

from __future__ import annotations

from typing import NamedTuple

from tui.widgets.bars import LEAST_BAR

LOW, LINE, MIDDLE, HIGH, AT, BOTH, BEYOND, MARK = "├", "─", "┼", "┤", "◆", "◈", "▶", "┊"


class Spread(NamedTuple):
    """From low over the middle to high."""

    low: float
    middle: float
    high: float


def strip(
    spread: Spread | None, at: float | None, top: float, width: int, mark: float | None = None
) -> str:
    """Return the range as a line with the figure `at`, on an axis from 0 to `top`.

    The figure `mark` is a line behind both, as the axis above names it.

    Nothing is drawn in fewer cells than show a proportion; a figure or a range that nobody knows
    is left out, and both unknown are a question mark. Raises ValueError for a range out of order.
    """
    if width < LEAST_BAR or top <= 0:
        return ""
    if spread is None and at is None:
        return "?"
    cells = [" "] * width
    if mark is not None and mark <= top:
        cells[cell_of(mark, top, width)] = MARK
    if spread is not None:
        _draw(spread, cells, top)
    if at is not None:
        place = cell_of(at, top, width)
        shared = cells[place] in (LOW, MIDDLE, HIGH, BOTH)
        cells[place] = BEYOND if at > top else BOTH if shared else AT
    return "".join(cells).rstrip()


def _draw(spread: Spread, cells: list[str], top: float) -> None:
    if not 0 <= spread.low <= spread.middle <= spread.high:
        raise ValueError(f"a range runs from low over the middle to high, not {tuple(spread)}")
    width = len(cells)
    low, middle, high = (cell_of(each, top, width) for each in spread)
    cells[low : high + 1] = LINE * (high + 1 - low)
    cells[low], cells[high] = LOW, HIGH
    cells[middle] = BOTH if middle in (low, high) else MIDDLE
    if spread.high > top:
        cells[-1] = BEYOND


def cell_of(figure: float, top: float, width: int) -> int:
    """Return the cell that a figure falls into; what lies above the top falls into the last."""
    return min(width - 1, max(0, int(figure / top * width)))


def ruler(mark: float, label: str, top: float, width: int) -> str:
    """Return the title of an axis from 0: its mark with a label over the cell that it falls into.

    The label stands beside the mark where there is room for it, else it is left out.
    """
    if width < LEAST_BAR or top <= 0:
        return ""
    at = cell_of(mark, top, width)
    cells = ["─"] * width
    cells[at] = "┬"
    cells[0] = "0"
    if at > 1 and at + 1 + len(label) <= width:
        cells[at + 1 : at + 1 + len(label)] = label
    return "".join(cells)
