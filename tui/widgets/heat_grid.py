"""The fleet as a grid to walk on: cranes downwards, systems across, a shade in each cell.

Draws only the lines that are in view, so that a thousand cranes are as quick as ten. The crane and
its sum stay in view, systems scroll under them. Knows an answer and where the cursor is; refuses
to know what the figures are or where they come from.
"""

from __future__ import annotations

from typing import ClassVar, NamedTuple

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from parts.records.picture_answers import HeatAnswer, HeatCell, HeatRow
from tui.widgets import heat
from tui.widgets.bars import days_figure
from tui.widgets.columns import fit
from tui.widgets.drawing import empty_lines
from tui.widgets.frontier import figure

CELL, GAP = 8, 1
LABEL_AT_MOST, SUM = 12, 9
LEAST_WIDTH = LABEL_AT_MOST + CELL
STEP_STYLES = ("quiet", "low", "middle", "high", "highest")


class Room(NamedTuple):
    """How the width is shared: cells of the crane's name, of its sum, and systems in view."""

    label: int
    sum: int
    systems: int


def room_of(answer: HeatAnswer, width: int) -> Room:
    """Return what fits into a width; the sum goes first, at least one system stays."""
    label = min(LABEL_AT_MOST, max((len(row.crane) for row in answer.rows), default=1))
    label = max(5, min(label, width // 3))
    left = width - label - 1
    total = SUM if left >= SUM + 1 + CELL else 0
    left -= total + 1 if total else 0
    return Room(label, total, max(1, (left + GAP) // (CELL + GAP)))


class HeatGrid(Widget, can_focus=True, inherit_bindings=False):
    """The grid."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        f"heat-grid--{name}" for name in ("header", "cursor", "empty", *STEP_STYLES)
    }
    DEFAULT_CSS = """
    HeatGrid {
        height: 1fr; margin-left: 1; background: $surface; color: $foreground;
        & > .heat-grid--header { background: $panel; color: $foreground; text-style: bold; }
        & > .heat-grid--cursor {
            background: $block-cursor-background; color: $block-cursor-foreground;
            text-style: bold;
        }
        & > .heat-grid--empty { color: $text-muted; }
        & > .heat-grid--quiet { color: $text-muted; }
        & > .heat-grid--low, & > .heat-grid--middle { color: $text-primary; }
        & > .heat-grid--high { color: $text-warning; }
        & > .heat-grid--highest { color: $text-error; }
    }
    HeatGrid:nocolor {
        & > .heat-grid--header { text-style: bold underline; }
        & > .heat-grid--cursor {
            background: $surface; color: $foreground; text-style: bold reverse;
        }
        & > .heat-grid--empty, & > .heat-grid--quiet, & > .heat-grid--low,
        & > .heat-grid--middle, & > .heat-grid--high, & > .heat-grid--highest {
            color: $foreground;
        }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1, 0)", "Crane up", show=False, id="grid.up"),
        Binding("down", "step(1, 0)", "Crane down", show=False, id="grid.down"),
        Binding("left", "step(0, -1)", "System left", show=False, id="grid.left"),
        Binding("right", "step(0, 1)", "System right", show=False, id="grid.right"),
        Binding("pageup", "page(-1)", "Page up", show=False, id="grid.pageup"),
        Binding("pagedown", "page(1)", "Page down", show=False, id="grid.pagedown"),
        Binding("home", "edge(False)", "First crane", show=False, id="grid.first"),
        Binding("end", "edge(True)", "Last crane", show=False, id="grid.last"),
        Binding("enter", "choose", "Choose the cell", show=False, id="grid.choose"),
    ]

    class Highlighted(Message):
        """The cursor came to a cell, or other cells were set."""

    class Chosen(Message):
        """Enter, or a click on the cursor's cell."""

    def __init__(self, empty: str = "") -> None:
        super().__init__()
        self._answer: HeatAnswer | None = None
        self._steps: tuple[float, ...] = ()
        self._empty = empty
        self._row = self._system = 0
        self._first_row = self._first_system = 0

    def show(self, answer: HeatAnswer, empty: str) -> None:
        """Draw an answer; the cursor stays on the crane and the system where they are there."""
        crane, system = self.crane, self.system
        self._answer, self._empty = answer, empty
        self._steps = heat.bounds(answer.most)
        cranes = [row.crane for row in answer.rows]
        self._row = cranes.index(crane.crane) if crane and crane.crane in cranes else 0
        self._system = answer.systems.index(system) if system in answer.systems else 0
        self._moved()

    @property
    def steps(self) -> tuple[float, ...]:
        """Return where the shades begin."""
        return self._steps

    @property
    def crane(self) -> HeatRow | None:
        """Return the row under the cursor."""
        rows = () if self._answer is None else self._answer.rows
        return rows[self._row] if rows else None

    @property
    def system(self) -> str:
        """Return the name of the system under the cursor."""
        return self._answer.systems[self._system] if self._answer and self.crane else ""

    @property
    def cell(self) -> HeatCell | None:
        """Return the cell under the cursor; None where the crane has no such system."""
        return None if self.crane is None else self.crane.cells[self._system]

    @property
    def place(self) -> str:
        """Return "crane n of m"."""
        count = 0 if self._answer is None else len(self._answer.rows)
        return f"crane {self._row + 1} of {count:,}" if count else "no crane"

    # Drawing

    def render_line(self, y: int) -> Strip:
        """Return one line: titles of systems, then cranes, or what stands in place of them."""
        width = self.content_size.width
        if self._answer is None or not self._answer.rows:
            lines = empty_lines(self._empty, width)
            text = lines[y] if y < len(lines) else ""
            return Strip([Segment(fit(text, width), self._look("empty"))], width)
        room = room_of(self._answer, width)
        if y < heat.TITLE_LINES:
            return Strip([Segment(self._titles(room, y, width), self._look("header"))], width)
        index = self._first_row + y - heat.TITLE_LINES
        if index >= len(self._answer.rows):
            return Strip.blank(width, self.rich_style)
        return self._crane_strip(self._answer.rows[index], index, room, width)

    def _titles(self, room: Room, line: int, width: int) -> str:
        answer = self._answer
        assert answer is not None  # noqa: S101 - asked for a line of an answer only
        head = fit("Crane" if line else "", room.label)
        if room.sum:
            head += " " + fit("in all" if line else "", room.sum, "right")
        last = self._first_system + room.systems
        names = answer.systems[self._first_system : last]
        cells = [heat.title_lines(name, CELL)[line] for name in names]
        more = ("‹" if self._first_system else " ") if line else " "
        text = head + more + " ".join(cells)
        end = "›" if line and last < len(answer.systems) else ""
        return fit(text, width - 1) + (end or " ") if width > 1 else fit(text, width)

    def _crane_strip(self, row: HeatRow, index: int, room: Room, width: int) -> Strip:
        plain = self.rich_style
        look = plain + Style(bold=True) if index == self._row else plain
        segments = [Segment(fit(row.crane, room.label), look)]
        if room.sum:
            segments.append(Segment(" " + self._sum(row, room.sum), look))
        for at in range(self._first_system, self._first_system + room.systems):
            if at >= len(row.cells):
                break
            is_cursor = (index, at) == (self._row, self._system)
            segments.append(Segment(" ", plain))
            segments.append(self._cell_segment(row.cells[at], is_cursor))
        return Strip(segments).adjust_cell_length(width, plain)

    def _sum(self, row: HeatRow, width: int) -> str:
        text = "?" if row.value is None else self._written(row.value) + ("?" if row.unknown else "")
        return (text if len(text) <= width else "…").rjust(width)

    def _written(self, value: float) -> str:
        is_days = self._answer is not None and self._answer.unit == "days"
        return days_figure(value) if is_days else figure(value)

    def _cell_segment(self, cell: HeatCell | None, is_cursor: bool) -> Segment:
        shade = heat.shaded(cell, self._steps, CELL)
        if is_cursor:
            told = "" if cell is None or not cell.value else self._written(cell.value)
            inside = told.center(CELL) if told and len(told) <= CELL else shade
            return Segment(inside, self._look("cursor"))
        if cell is None or not cell.value:
            return Segment(shade, self.rich_style)
        return Segment(shade, self._look(STEP_STYLES[heat.step_of(cell.value, self._steps)]))

    def _look(self, name: str) -> Style:
        return self.get_component_rich_style(f"heat-grid--{name}")

    # Moving

    def _moved(self) -> None:
        """Bring the cursor into view and tell where it is."""
        answer = self._answer
        if answer is None:
            return
        room = room_of(answer, self.content_size.width)
        lines = max(1, self.content_size.height - heat.TITLE_LINES)
        self._first_row = _in_view(self._first_row, self._row, lines, len(answer.rows))
        self._first_system = _in_view(
            self._first_system, self._system, room.systems, len(answer.systems)
        )
        self.refresh()
        self.post_message(self.Highlighted())

    def action_step(self, rows: int, systems: int) -> None:
        """Move the cursor by cranes or systems."""
        if self._answer is None or not self._answer.rows:
            return
        self._row = max(0, min(self._row + rows, len(self._answer.rows) - 1))
        self._system = max(0, min(self._system + systems, len(self._answer.systems) - 1))
        self._moved()

    def action_page(self, pages: int) -> None:
        """Move the cursor by the cranes that are in view."""
        self.action_step(pages * max(1, self.content_size.height - heat.TITLE_LINES), 0)

    def action_edge(self, last: bool) -> None:
        """Move the cursor to the last crane or the first."""
        count = 0 if self._answer is None else len(self._answer.rows)
        self.action_step(count if last else -count, 0)

    def action_choose(self) -> None:
        """Choose the cell under the cursor."""
        self.post_message(self.Chosen())

    def on_resize(self) -> None:
        """Keep the cursor in view."""
        self._moved()

    def on_mouse_scroll_down(self) -> None:
        """Move down with the wheel."""
        self.action_step(1, 0)

    def on_mouse_scroll_up(self) -> None:
        """Move up with the wheel."""
        self.action_step(-1, 0)

    def on_click(self, event: events.Click) -> None:
        """Move the cursor to the cell that is clicked, or choose it if it is there."""
        spot = event.get_content_offset(self)
        if spot is None or self._answer is None or spot.y < heat.TITLE_LINES:
            return
        room = room_of(self._answer, self.content_size.width)
        start = room.label + (room.sum + 1 if room.sum else 0) + 1
        row = self._first_row + spot.y - heat.TITLE_LINES
        across = (spot.x - start) // (CELL + GAP)
        system = self._first_system + across if spot.x >= start else self._system
        if (row, system) == (self._row, self._system):
            self.action_choose()
        elif across < room.systems:
            self.action_step(row - self._row, system - self._system)


def _in_view(first: int, cursor: int, in_view: int, count: int) -> int:
    """Return the first line to show so that the cursor's is in view and none is wasted."""
    first = max(min(first, cursor), cursor - in_view + 1)
    return max(0, min(first, count - in_view))
