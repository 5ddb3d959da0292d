"""The operations of a route on one axis of days: when each runs, and how long it can wait.

An operation without slack is drawn full, one with slack half-toned and its slack as dots, so that
the chain that sets the date is seen without colours.
"""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

from parts.records.answers import OperationAnswer
from parts.records.shown import shown
from tui.widgets.bars import days_text
from tui.widgets.columns import fit
from tui.widgets.texts import QUIET, STRONG, said

CRITICAL, LOOSE, SLACK, INSTANT = "█", "▒", "·", "◇"
LEAST_DRAWING = 10


def operation_lines(operations: Sequence[OperationAnswer], width: int) -> list[Content]:
    """Return one line an operation in order of start, under a header."""
    ordered = sorted(operations, key=lambda each: (each.start, each.finish))
    end = max((each.finish + each.slack for each in ordered), default=0.0)
    label = max(
        9,
        min(28, width // 3, max((cell_len(shown(each.operation)) for each in ordered), default=0)),
    )
    room = width - label - 24
    head = f"{fit('operation', label)}  {'days':>8}  {'can wait':>9}"
    found = [said((head, QUIET))]
    for each in ordered:
        days = days_text(each.finish - each.start).rjust(8)
        slack = ("done" if each.done else "-" if each.critical else days_text(each.slack)).rjust(9)
        style = STRONG if each.critical else ""
        text = f"{fit(each.operation, label)}  {days}  {slack}"
        drawn = _drawn(each, end, room) if room >= LEAST_DRAWING else ""
        ink = "$text-error" if each.critical else "$text-success"
        found.append(said((text, style), "  ", (drawn, ink)))
    return found


def _drawn(each: OperationAnswer, end: float, room: int) -> str:
    start, finish, latest = (
        round(min(1.0, days / end) * (room - 1)) if end > 0 else 0
        for days in (each.start, each.finish, each.finish + each.slack)
    )
    if each.finish == each.start:
        return " " * start + INSTANT + SLACK * (latest - start)
    finish = max(finish, start + 1)
    ink = CRITICAL if each.critical else LOOSE
    return " " * start + ink * (finish - start) + SLACK * max(0, latest - finish)


class OperationChart(Widget):
    """The operations of one route, as high as there are operations."""

    DEFAULT_CSS = "OperationChart { height: auto; }"

    def __init__(self, operations: Sequence[OperationAnswer]) -> None:
        super().__init__()
        self._operations = operations

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Return how many lines the chart takes."""
        return len(operation_lines(self._operations, width))

    def render(self) -> Content:
        """Return the chart."""
        return Content("\n").join(operation_lines(self._operations, self.content_size.width))
