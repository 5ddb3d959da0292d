"""What is said about the row under the cursor, in the room there is below the table.

Lines that find no room are left out and the last line says so; nothing is cut silently.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from typing import NamedTuple

from textual.content import Content
from textual.widget import Widget

from parts.records.shown import shown
from tui.formats import NOT_KNOWN
from tui.widgets.bars import bar
from tui.widgets.columns import fit
from tui.widgets.texts import QUIET, STRONG, WARN, said

NO_ROOM = "… more than fits here: make the window higher"
LABEL_WIDTH, FIGURE_WIDTH, LEAST_SENTENCE = 10, 6, 18
Lines = Callable[[int], Sequence[Content]]
"""What is said at one width."""


class Panel(Widget):
    """The base of what stands below a table."""

    DEFAULT_CSS = """
    Panel { height: 45%; min-height: 5; max-height: 22; padding: 0 1; border-top: solid $panel; }
    Panel:nocolor { border-top: solid $foreground; }
    """

    def render(self) -> Content:
        """Return the text for the room there is."""
        width, height = self.content_size
        return Content("\n").join(self.drawn(width, height)[:height])

    def drawn(self, width: int, height: int) -> Sequence[Content]:
        """Return the lines, none of them wider than `width`."""
        return ()


class LinesPanel(Panel):
    """Sentences and bars."""

    def __init__(self) -> None:
        super().__init__()
        self._lines: Lines = lambda _: ()

    def show(self, lines: Lines) -> None:
        """Say something else."""
        self._lines = lines
        self.refresh()

    def drawn(self, width: int, height: int) -> Sequence[Content]:
        """Return the lines, wrapped."""
        if width < 1:
            return ()
        found = [line for text in self._lines(width) for line in text.wrap(width)]
        if len(found) > height > 0:
            found[height - 1 :] = [said((fit(NO_ROOM, width).rstrip(), QUIET))]
        return found


class Bar(NamedTuple):
    """A value to be drawn against `top`, with its name, its figure and a sentence."""

    label: str
    value: float | None
    top: float
    figure: str
    sentence: str


def bar_lines(each: Bar, width: int, label_width: int = LABEL_WIDTH) -> list[Content]:
    """Return label, bar and figure, and beside them the sentence, running on below itself."""
    cells = max(9, min(20, (width - label_width - FIGURE_WIDTH - LEAST_SENTENCE) // 4))
    drawn = NOT_KNOWN if each.value is None else bar(each.value, each.top, cells)
    head = said(
        (fit(each.label, label_width), STRONG),
        " ",
        (fit(drawn, cells), WARN if each.value is None else "$text-accent"),
        " ",
        (fit("" if each.value is None else each.figure, FIGURE_WIDTH, "right"), STRONG),
        "  ",
    )
    beside = max(1, width - head.cell_length)
    first, *more = textwrap.wrap(shown(each.sentence), beside) or [""]
    return [head + said(first), *(said(" " * head.cell_length + line) for line in more)]
