"""What each coming year may take, as it is and with a plan, as two bars side by side.

Knows figures and widths; refuses to know widgets and colours. Both bars stand on one scale, so
that their lengths compare, in eighths of a cell. Where there is no room for bars the figures alone
are told, and where there is none for both figures, those as it is; no figure is ever cut.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from tui.widgets.bars import LEAST_BAR, bar
from tui.widgets.columns import fit
from tui.widgets.frontier import figure

Written = Callable[[float], str]
GAP = "  "
FROM, AS_IS, WITH_PLAN = "from", "as is", "with plan"
NO_YEAR, NO_ROOM = "No year to show.", "too narrow"


class YearBar(NamedTuple):
    """A year by its name, and what it takes as it is and with the plan; None = no plan."""

    label: str
    as_is: float
    planned: float | None


class _Column(NamedTuple):
    """One figure of each year under a title, with the value that its bar shows."""

    title: str
    values: list[float | None]
    written: Written

    @property
    def texts(self) -> list[str]:
        return ["-" if value is None else self.written(value) for value in self.values]

    @property
    def width(self) -> int:
        return max(len(self.title), *map(len, self.texts))


def year_lines(years: Sequence[YearBar], width: int, written: Written = figure) -> list[str]:
    """Return a title and a line for each year, none wider than `width`; `written` gives figures."""
    if not years:
        return [fit(NO_YEAR, width).rstrip()]
    label = max(len(FROM), *(len(each.label) for each in years))
    columns = [_Column(AS_IS, [each.as_is for each in years], written)]
    if any(each.planned is not None for each in years):
        columns.append(_Column(WITH_PLAN, [each.planned for each in years], written))
    while columns and _taken(label, columns) > width:
        del columns[-1]
    if not columns:
        return [fit(NO_ROOM, width).rstrip()]
    top = max(max(each.as_is, each.planned or 0.0) for each in years)
    room = (width - _taken(label, columns)) // len(columns) - len(GAP)
    cells = room if room >= LEAST_BAR and top > 0 else 0
    lines = [FROM.ljust(label)] + [each.label.ljust(label) for each in years]
    for column in columns:
        drawn = ["", *("" if value is None else bar(value, top, cells) for value in column.values)]
        for at, text in enumerate((column.title, *column.texts)):
            lines[at] += GAP + text.rjust(column.width)
            lines[at] += GAP + drawn[at].ljust(cells) if cells else ""
    return [line.rstrip() for line in lines]


def _taken(label: int, columns: Sequence[_Column]) -> int:
    return label + sum(len(GAP) + column.width for column in columns)
