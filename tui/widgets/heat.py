"""The shades of a heat picture: a symbol of five steps for each cell, and what the steps mean.

Knows values and characters; refuses to know widgets and colours. The steps begin at round figures
(1 and 3 times powers of ten), so that the legend is exact; more is never a lighter step. Nothing
to be expected is 0, what nobody knows a question mark, and a crane without such a system blank.
"""

from __future__ import annotations

import math
import textwrap
from bisect import bisect_right
from collections.abc import Sequence

from parts.records.picture_answers import HeatCell
from parts.records.shown import shown
from tui.widgets.columns import fit

STEPS = "·░▒▓█"
NONE, UNKNOWN, ABSENT = "0", "?", " "
TITLE_LINES = 2


def bounds(most: float) -> tuple[float, ...]:
    """Return from which value on each step but the first begins, for the highest value there is;
    none where there is nothing to shade."""
    if most <= 0:
        return ()
    power = math.floor(math.log10(most)) + 1
    series = [float(f"{digit}e{each}") for each in range(power - 4, power + 1) for digit in (1, 3)]
    below = [value for value in series if value < most]
    return tuple(below[-(len(STEPS) - 1) :])


def step_of(value: float, steps: Sequence[float]) -> int:
    """Return the step of a value above 0, counted from 0."""
    return bisect_right(steps, value)


def symbol(cell: HeatCell | None, steps: Sequence[float]) -> str:
    """Return the one character that stands for a cell."""
    if cell is None:
        return ABSENT
    if cell.value is None:
        return UNKNOWN
    return STEPS[step_of(cell.value, steps)] if cell.value > 0 else NONE


def shaded(cell: HeatCell | None, steps: Sequence[float], width: int) -> str:
    """Return a cell of exactly `width`; a sum that leaves out what is not known ends in ?."""
    drawn = symbol(cell, steps)
    if drawn in (NONE, UNKNOWN, ABSENT):
        return drawn.center(width)
    is_partial = cell is not None and cell.unknown > 0 and width > 1
    return drawn * (width - 1) + UNKNOWN if is_partial else drawn * width


def legend(steps: Sequence[float], unit: str) -> str:
    """Return what the symbols mean, in one sentence."""
    signs = f"{NONE} nothing, {UNKNOWN} not known, blank: no such system"
    if not steps:
        return signs
    shades = [f"{STEPS[0]} less"]
    shades += [f"{STEPS[at + 1]} from {bound:,.12g}" for at, bound in enumerate(steps)]
    return f"{', '.join(shades)} {unit}; {signs}"


def title_lines(name: str, width: int) -> list[str]:
    """Return a column's title in exactly `TITLE_LINES` lines of exactly `width` cells, low."""
    wrapped = textwrap.wrap(shown(name), max(1, width), break_long_words=False) or [""]
    if len(wrapped) > TITLE_LINES:
        rest = " ".join(wrapped[TITLE_LINES - 1 :])
        wrapped = [*wrapped[: TITLE_LINES - 1], rest]
    lines = [""] * (TITLE_LINES - len(wrapped)) + wrapped
    return [fit(line, width) for line in lines]
