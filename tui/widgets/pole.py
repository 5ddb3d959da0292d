"""The long pole of one outage, drawn to scale: what is waited for, one step after the other.

Steps are drawn in the colour of what the failure does, assumed ones in that of assumptions, and
their words say so too. Where there is less room than steps, the shortest neighbours are drawn as
one, so that the drawing stays to scale.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

from parts.records.states import State
from tui.sentences import answer, operation_of, words_at
from tui.widgets.bars import long_pole_lines
from tui.widgets.columns import fit
from tui.widgets.panel import Panel
from tui.widgets.texts import ASSUMED, STRONG, said

if TYPE_CHECKING:
    from parts.records.answers import PositionOutage, Step

INK_OF_STATE = {
    State.DOWN: "$text-error",
    State.REDUCED: "$text-warning",
    State.IN_SERVICE: "$text-success",
}
LINES_BESIDE_STEPS = 2
"""The axis and its numbers; a panel has the total in its sentence."""

Bar = tuple[str, float, bool]
"""Words, days, and whether they are assumed."""


@dataclass(frozen=True)
class Pole:
    """A long pole: its steps, what is fitted where, and what the crane does meanwhile."""

    steps: tuple[Step, ...]
    place: str
    fitted: str | None
    state: State

    @classmethod
    def of(cls, outage: PositionOutage) -> Pole:
        """Return the long pole of a position."""
        place = f"{outage.crane}/{outage.replaced}"
        return cls(outage.long_pole, place, outage.fitted, outage.state)

    def bars(self) -> list[Bar]:
        """Return the steps as they are to be drawn."""
        return [(self._words(step), step.days, step.assumed) for step in self.steps]

    def _words(self, step: Step) -> str:
        operation = operation_of(step)
        if operation is not None:
            return f"{operation[1]} (assumed)" if step.assumed else operation[1]
        words = words_at(step, self.place)
        return words if self.fitted is None else words.removeprefix(f"{self.fitted}: ")


def squeezed(bars: Sequence[Bar], most: int) -> list[Bar]:
    """Return at most `most` bars: neighbours that are shortest together become one."""
    found = [([words], days, assumed) for words, days, assumed in bars]
    while len(found) > max(1, most):
        at = min(range(len(found) - 1), key=lambda n: found[n][1] + found[n + 1][1])
        (words, days, assumed), (more, added, also) = found[at : at + 2]
        found[at : at + 2] = [([*words, *more], days + added, assumed or also)]
    return [
        (words[0] if len(words) == 1 else f"{len(words)} steps: {', '.join(words)}", days, assumed)
        for words, days, assumed in found
    ]


def pole_lines(pole: Pole, width: int, most_lines: int | None = None) -> list[Content]:
    """Return the drawing as lines, no more of them than asked; nothing where nobody knows."""
    bars = pole.bars()
    if not bars:
        return []
    if most_lines is not None:
        bars = squeezed(bars, most_lines - LINES_BESIDE_STEPS)
    drawn = long_pole_lines([(words, days) for words, days, _ in bars], width)
    start = _bar_start(drawn, len(bars))
    ink = INK_OF_STATE[pole.state]
    inks = [ASSUMED if assumed else ink for _, _, assumed in bars]
    found = [_inked(line, start, style) for line, style in zip(drawn, inks, strict=False)]
    found += [said(line) for line in drawn[len(bars) : -1]]
    return found if most_lines is not None else [*found, said((drawn[-1], STRONG))]


def _bar_start(drawn: Sequence[str], steps: int) -> int | None:
    """Return the cell in which the axis and every bar begins; None where none is drawn."""
    axis = drawn[steps]
    return len(axis) - len(axis.lstrip()) if axis.startswith(" ") else None


def _inked(line: str, start: int | None, style: str) -> Content:
    if start is None:
        return said(line)
    at = next((n for n in range(len(line) + 1) if cell_len(line[:n]) >= start), len(line))
    return said(line[:at], (line[at:], style))


class PolePanel(Panel):
    """The answer for one outage in a sentence, and its long pole in what room there is."""

    def __init__(self) -> None:
        super().__init__()
        self._outage: PositionOutage | None = None
        self._head = ""

    def show(self, outage: PositionOutage | None, head: str = "") -> None:
        """Draw an outage, under a line that names what it belongs to."""
        self._outage, self._head = outage, head
        self.refresh()

    def drawn(self, width: int, height: int) -> list[Content]:
        """Return the lines: head, sentence, pole."""
        found = [said((fit(self._head, width), STRONG))] if self._head else []
        if self._outage is None or width < 1:
            return found
        wrapped = textwrap.wrap(answer(self._outage), width)
        found += [said(line) for line in wrapped]
        return found + pole_lines(Pole.of(self._outage), width, height - len(found))


class FullPole(Widget):
    """A whole long pole, as high as it has steps."""

    DEFAULT_CSS = "FullPole { height: auto; }"

    def __init__(self, pole: Pole) -> None:
        super().__init__()
        self._drawn_pole = pole

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Return how many lines the drawing takes."""
        return len(pole_lines(self._drawn_pole, width))

    def render(self) -> Content:
        """Return the drawing."""
        return Content("\n").join(pole_lines(self._drawn_pole, self.content_size.width))
