"""A page of sections to read, scrolled with the arrows: titles, texts, pairs and drawings.

A pair is a figure at the left and its text beside it, so that a long text does not run under
the figures.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Static

from tui.widgets.spots import Spot
from tui.widgets.texts import STRONG, said

Pair = tuple[Content, Content]
Body = Sequence[Content | Pair] | Widget
Section = tuple[str, Body]
WIDEST_LEFT = 24


class PairLine(Horizontal):
    """A figure and its text."""

    DEFAULT_CSS = """
    PairLine { height: auto; }
    PairLine > .right { width: 1fr; height: auto; margin-left: 2; }
    """

    def __init__(self, pair: Pair, width: int) -> None:
        super().__init__()
        self._pair, self._width = pair, width

    def compose(self) -> ComposeResult:
        """Lay out the two."""
        left = Static(self._pair[0])
        left.styles.width = self._width
        yield left
        yield Static(self._pair[1], classes="right")


class Sheet(VerticalScroll):
    """Sections under one another."""

    DEFAULT_CSS = """
    Sheet { height: 1fr; padding: 0 1; scrollbar-size-vertical: 1; }
    Sheet > * { height: auto; margin-right: 1; }
    Sheet > .title { margin-top: 1; color: $text-primary; }
    Sheet > .title.first { margin-top: 0; }
    Sheet:nocolor > .title { color: $foreground; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._begins = 0

    def begin_at(self, spot: Spot) -> None:
        """Show a sheet from the line on that was at the top."""
        self._begins = spot.row

    @property
    def spot(self) -> Spot:
        """The line at the top."""
        return Spot(self.scroll_offset.y)

    async def fill(self, sections: Sequence[Section]) -> None:
        """Show sections in place of what was shown; those that hold nothing are left out."""
        at = max(self._begins, self.scroll_offset.y)
        widgets: list[Widget] = []
        for title, body in sections:
            drawn = list(_drawn(body))
            if drawn and title:
                widgets.append(Static(said((title, STRONG)), classes="title"))
            widgets += drawn
        with self.app.batch_update():
            await self.remove_children()
            await self.mount_all(widgets)
            self.scroll_to(y=at, animate=False)


def _drawn(body: Body) -> Iterator[Widget]:
    if isinstance(body, Widget):
        yield body
        return
    lefts = [line[0].cell_length for line in body if isinstance(line, tuple)]
    width = min(WIDEST_LEFT, max(lefts, default=0))
    for line in body:
        yield PairLine(line, width) if isinstance(line, tuple) else Static(line)
