"""The first line of every screen: where one is, and the day that all of it is known on."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from textual.content import Content
from textual.widget import Widget

from tui.widgets.columns import fit
from tui.widgets.texts import STRONG, said

SEPARATOR = " › "


class TopLine(Widget):
    """The trail of screens at the left, the day at the right; a long trail loses its end."""

    DEFAULT_CSS = "TopLine { height: 1; padding: 0 1; background: $panel; color: $foreground; }"

    def __init__(self, trail: Sequence[str], day: str) -> None:
        super().__init__()
        self._trail = trail
        self._day = day

    def set_day(self, day: str) -> None:
        """Show another day."""
        self._day = day
        self.refresh()

    def render(self) -> Content:
        """Return the line at the width there is."""
        room = self.content_size.width
        day = self._day if room >= 60 else ""
        trail = fit(SEPARATOR.join(self._trail), max(0, room - cell_len(day) - 1))
        return said((trail, STRONG), " ", day)
