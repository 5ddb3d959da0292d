"""Bars and the long pole in block characters: text that is true at any width.

Knows values, widths and characters; refuses to know widgets and colours, so the command line prints
the same lines. A value above nothing never draws as nothing, one below the top never as full, and
no line is wider than asked.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len

from parts.records.shown import shown
from tui.widgets.columns import fit

Step = tuple[str, float | None]
"""What is waited for, and how many days; None when nobody knows."""

_EIGHTHS = " ▏▎▍▌▋▊▉"
_LEVELS, _PLAIN_LEVELS = "▁▂▃▄▅▆▇█", "12345678"
_UNKNOWN = "? = nobody knows how many days: what follows comes later than drawn."
LEAST_BAR = 6
"""Fewer cells than this show no proportion; the days alone are printed then."""


@dataclass(frozen=True)
class Ink:
    """The characters of a drawing; the plain ones are for terminals without block characters."""

    full: str
    left_half: str
    right_half: str
    instant: str
    tick: str
    line: str
    at_least: str


BLOCKS = Ink("█", "▌", "▐", "◇", "┴", "─", "≥")
PLAIN = Ink("#", "#", "#", "o", "+", "-", ">=")


def bar(value: float | None, top: float, width: int, *, plain: bool = False) -> str:
    """Return a bar of exactly `width` cells for a value between 0 and `top`.

    An unknown value is a question mark; one above the top is full and ends in an arrow.
    Raises ValueError for a negative or endless value.
    """
    if width <= 0:
        return ""
    if value is None:
        return "?".ljust(width)
    _demand_days(value)
    if value > top:
        return (("#" if plain else "█") * (width - 1)) + (">" if plain else "▶")
    parts = 1 if plain else 8
    filled = _share(value, top, width * parts)
    full, rest = divmod(filled, parts)
    drawn = ("#" if plain else "█") * full + (_EIGHTHS[rest] if rest else "")
    return drawn.ljust(width)


def limit_bar(value: float | None, limit: float, top: float, width: int) -> str:
    """Return a bar of exactly `width` cells from 0 to `top` with a line at the limit.

    What lies above the limit is drawn beyond the line, what lies above the top ends in an arrow;
    an unknown value is a question mark. Raises ValueError for a negative or endless value.
    """
    drawn = bar(value, top, width)
    if width < LEAST_BAR or limit >= top:
        return drawn
    at = min(width - 2, max(1, round(limit / top * width)))
    if value is not None and value <= limit:  # a bar below the limit never reaches its line
        drawn = bar(value, limit, at).ljust(width)
    elif value is not None and value <= top:
        over = bar(value - limit, top - limit, width - at - 1)
        return "█" * at + "┃" + over
    return f"{drawn[:at]}┃{drawn[at + 1 :]}"


def level(share: float | None, *, plain: bool = False) -> str:
    """Return a share of 1 as one cell: a column of its height, · for none, ? for not known.

    Only the whole fills the cell. Raises ValueError for a negative or endless share.
    """
    if share is None:
        return "?"
    _demand_days(share)
    if share == 0:
        return "." if plain else "·"
    levels = _PLAIN_LEVELS if plain else _LEVELS
    return levels[-1] if share >= 1 else levels[min(6, int(share * 7))]


def _share(value: float, top: float, parts: int) -> int:
    """Return how many of `parts` a value fills: none only for 0, all only for the top."""
    if value == 0:
        return 0
    if value == top:
        return parts
    return max(1, min(parts - 1, round(value / top * parts)))


def long_pole_lines(steps: Sequence[Step], width: int, *, plain: bool = False) -> list[str]:
    """Return the steps drawn one after the other on one axis of days, then axis and total.

    Each bar begins where the one before ends; a step of no days is a diamond, a step that nobody
    knows a question mark with a sentence below, since everything after it starts later than drawn.
    Raises ValueError for negative or endless days.
    """
    for _, days in steps:
        if days is not None:
            _demand_days(days)
    if not steps:
        return [fit("No steps.", width).rstrip()]
    ink = PLAIN if plain else BLOCKS
    known = [days for _, days in steps if days is not None]
    total = math.fsum(known)
    in_all = days_text(total)
    if len(known) < len(steps):
        in_all = f"{ink.at_least} {in_all}" if known else "?"
    printed = ["?" if days is None else days_text(days) for _, days in steps]
    frame = _Frame.of([label for label, _ in steps], [*printed, in_all], width)
    drawn = _pole(steps, total, frame.bar, ink)
    lines = [
        frame.line(label, days, inked)
        for (label, _), days, inked in zip(steps, printed, drawn, strict=True)
    ]
    if total > 0 and frame.bar:
        rule, numbers = _axis(total, frame.bar, ink)
        lines += [frame.line("", "", rule), frame.line("days", "", numbers)]
    lines.append(frame.line("in all", in_all, ""))
    if len(known) < len(steps):
        lines += textwrap.wrap(_UNKNOWN, width)
    return [line.rstrip() for line in lines]


def days_text(days: float) -> str:
    """Return days with at most one decimal, and never 0 for what is above 0."""
    if 0 < days < 0.05:
        return "<0.1 d"
    return f"{round(days, 1):.12g} d" if days < 1e12 else f"{days:.3g} d"


def days_figure(days: float) -> str:
    """Return days without their unit, for a column whose title names it."""
    return days_text(days).removesuffix(" d")


@dataclass(frozen=True)
class _Frame:
    """The widths of label, days and bar in one line."""

    label: int
    days: int
    bar: int

    @classmethod
    def of(cls, labels: Sequence[str], days: Sequence[str], width: int) -> _Frame:
        days_width = max(len(text) for text in days)
        longest = max(cell_len(shown(text)) for text in [*labels, "in all"])
        label = max(1, min(longest, max(6, (width - days_width) * 2 // 5)))
        room = width - label - days_width - 4  # two blanks twice
        if room < LEAST_BAR:
            return cls(max(1, min(longest, width - days_width - 2)), days_width, 0)
        return cls(label, days_width, room)

    def line(self, label: str, days: str, drawn: str) -> str:
        head = f"{fit(label, self.label)}  {days.rjust(self.days)}"
        return f"{head}  {drawn}" if self.bar else head


def _pole(steps: Sequence[Step], total: float, width: int, ink: Ink) -> list[str]:
    """Return one bar a step; the last cell is kept for what happens at the very end."""
    halves = 2 * (width - 1)
    done, drawn = 0.0, []
    for _, days in steps:
        start = _place(done, total, halves)
        done += days or 0
        end = _place(done, total, halves)
        if days is None:
            drawn.append(" " * (start // 2) + "?")
        elif days == 0:
            drawn.append(" " * (start // 2) + ink.instant)
        else:
            start = min(start, halves - 1)
            drawn.append(_segment(start, max(end, start + 1), ink))
    return [text[: max(0, width)] for text in drawn]


def _place(days: float, total: float, halves: int) -> int:
    return round(min(1.0, days / total) * halves) if total > 0 else 0


def _segment(start: int, end: int, ink: Ink) -> str:
    """Return blanks up to a half cell, then ink up to another half cell."""
    begins_half, ends_half = start % 2, end % 2
    text = " " * (start // 2) + (ink.right_half if begins_half else "")
    text += ink.full * ((end - ends_half - start - begins_half) // 2)
    return text + (ink.left_half if ends_half else "")


def _axis(total: float, width: int, ink: Ink) -> tuple[str, str]:
    """Return the axis and the numbers below it, at round days whose labels never touch."""
    rule, numbers = [ink.line] * width, [" "] * width
    step = _round_step(total, width)
    for count in range(int(total / step * (1 + 1e-9)) + 1):
        at = _place(count * step, total, 2 * (width - 1)) // 2
        label = f"{count * step:.6g}"
        rule[at] = ink.tick
        begin = min(at, width - len(label))
        if all(cell == " " for cell in numbers[max(0, begin - 1) : begin + len(label) + 1]):
            numbers[begin : begin + len(label)] = label
    return "".join(rule), "".join(numbers)


def _round_step(total: float, width: int) -> float:
    """Return the smallest of 1, 2, 5 times a power of ten that leaves room between labels."""
    power = max(-1, math.floor(math.log10(total)) - 2)
    while True:
        for digit in (1, 2, 5):
            step = digit * 10.0**power
            label = max(len(f"{step:.6g}"), len(f"{total - total % step:.6g}"))
            if step / total * (width - 1) >= label + 2:
                return step
        power += 1


def _demand_days(value: float) -> None:
    if not (math.isfinite(value) and value >= 0):
        raise ValueError(f"a bar shows a number from 0 up, not {value}")
