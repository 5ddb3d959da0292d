"""What is left of a year's exposure for each amount of money, as columns of block characters.

Knows points, money as numbers, widths and heights; refuses to know widgets and colours. Columns
stand on nought, so that their heights compare; one that leaves anything is never empty, one that
leaves less than the first is never as high. The plan and the knee are marked by their own signs.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from tui.widgets.columns import fit

PLAN, KNEE, BOTH = "▲", "◆", "◈"
LEVELS = " ▁▂▃▄▅▆▇█"
LEAST_COLUMNS, LEAST_ROWS = 10, 2
BELOW = 3
"""Axis, amounts and legend."""
NOTHING = "No purchase is worth making: there is nothing to draw."


class Spot(NamedTuple):
    """So much money spent, and the exposure that it leaves."""

    cost: float
    left: float


def frontier_lines(
    points: Sequence[Spot], plan: Spot, knee: Spot | None, width: int, height: int
) -> list[str]:
    """Return the drawing in at most `height` lines of at most `width` cells.

    Where there is no room to draw truly, the legend alone tells the figures.
    """
    legend = _legend(plan, knee)
    if not points or points[-1].cost <= 0 or points[0].left <= 0:
        return [fit(NOTHING, width).rstrip()][:height]
    top = figure(points[0].left)
    label = max(len(top), len("0"))
    columns, rows = width - label - 2, height - BELOW
    if columns < LEAST_COLUMNS or rows < LEAST_ROWS:
        return [fit(line, width).rstrip() for line in legend][:height]
    marks = _marks(points[-1].cost, plan, knee, columns)
    shares = [spot.left / points[0].left for spot in _columns(points, plan, knee, columns)]
    lines = [
        f"{(top if row == rows - 1 else '').rjust(label)} │"
        + "".join(_cell(share, row, rows) for share in shares)
        for row in reversed(range(rows))
    ]
    axis = "".join(marks.get(at, "─") for at in range(columns))
    lines.append(f"{'0'.rjust(label)} └{axis}")
    lines.append(" " * (label + 2) + _amounts(points[-1].cost, columns))
    lines.append(fit(" · ".join(legend), width))
    return [line.rstrip() for line in lines]


def figure(value: float) -> str:
    """Return money as a whole number, never 0 for what is above 0."""
    return "<1" if 0 < value < 0.5 else f"{value:,.0f}"


def _legend(plan: Spot, knee: Spot | None) -> list[str]:
    """Return the figures behind the marks."""
    if knee is not None and knee == plan:
        return [f"{BOTH} this plan, at the knee: {_told(plan)}"]
    found = [f"{PLAN} this plan: {_told(plan)}"]
    return found if knee is None else [*found, f"{KNEE} knee: {_told(knee)}"]


def _told(spot: Spot) -> str:
    return f"{figure(spot.cost)} leaves {figure(spot.left)}"


def column_of(cost: float, most: float, columns: int) -> int:
    """Return the column in which an amount lies; the first is no money, the last is all of it."""
    return round(min(1.0, cost / most) * (columns - 1))


def _marks(most: float, plan: Spot, knee: Spot | None, columns: int) -> dict[int, str]:
    at = column_of(plan.cost, most, columns)
    marks = {at: PLAN}
    if knee is not None:
        at_knee = column_of(knee.cost, most, columns)
        marks[at_knee] = BOTH if at_knee == at else KNEE
    return marks


def _columns(points: Sequence[Spot], plan: Spot, knee: Spot | None, columns: int) -> list[Spot]:
    """Return the point that each column shows: of plan and knee their own, else the best that
    the amount in the middle of the column buys."""
    most, costs = points[-1].cost, [point.cost for point in points]
    found = []
    for at in range(columns):
        money = most * at / (columns - 1) * (1 + 1e-12)
        found.append(points[max(0, bisect_right(costs, money) - 1)])
    for own in (knee, plan):
        if own is not None:
            found[column_of(own.cost, most, columns)] = own
    return found


def _cell(share: float, row: int, rows: int) -> str:
    """Return the part of a column that lies in one row, counted from the foot."""
    eighths = rows * 8
    filled = 0 if share <= 0 else max(1, min(eighths - 1, round(share * eighths)))
    if share >= 1:
        filled = eighths
    return LEVELS[max(0, min(8, filled - 8 * row))]


def _amounts(most: float, columns: int) -> str:
    """Return the amounts at both ends of the axis, and in the middle where there is room."""
    end, middle = figure(most), figure(most / 2)
    line = ["0", *" " * (columns - 1)]
    at = column_of(0.5, 1.0, columns) - len(middle) // 2
    if at > 2 and at + len(middle) + 2 < columns - len(end):
        line[at : at + len(middle)] = middle
    line[max(2, columns - len(end)) :] = end
    return "".join(line)
