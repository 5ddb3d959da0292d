"""A line with two ends: what may be cut at the left, what must be read at the right."""

from __future__ import annotations

from rich.cells import cell_len
from textual.content import Content
from textual.widget import Widget

from parts.records.shown import shown
from tui.widgets.columns import fit
from tui.widgets.texts import STRONG, said

LEAST_LEFT = 20


class EndsLine(Widget):
    """One line; the right end goes where there is no room for both."""

    DEFAULT_CSS = """
    EndsLine { height: 1; padding: 0 1; }
    EndsLine.bar { background: $panel; color: $foreground; }
    """

    def __init__(self, left: str = "", right: str = "", *, classes: str | None = None) -> None:
        super().__init__(classes=classes)
        self._left, self._right = left, right

    def show(self, left: str, right: str) -> None:
        """Show other texts."""
        self._left, self._right = left, right
        self.refresh()

    def render(self) -> Content:
        """Return the line at the width there is."""
        width = self.content_size.width
        right = shown(self._right)
        room = width - cell_len(right) - 2
        if room < LEAST_LEFT:
            right, room = "", width - 2
        return said((fit(self._left, room), STRONG), "  ", right)
