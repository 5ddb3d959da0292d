"""Fleet heat: cranes downwards, systems across, shaded by what a year may take."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from textual.app import ComposeResult
from textual.content import Content

from parts.records.picture_answers import HeatAnswer
from parts.services.pictures import By, Unit
from tui import formats
from tui.messages import OpenPosition
from tui.pictures.view import View
from tui.widgets.heat import legend, symbol
from tui.widgets.heat_grid import HeatGrid
from tui.widgets.panel import LinesPanel
from tui.widgets.rows import tsv_line
from tui.widgets.texts import QUIET, STRONG, WARN, said

NOTHING = "No position on any live crane.\n\nPress Esc to go back."
SYSTEMS: dict[By, str] = {"function": "functions", "class": "classes of parts"}
ABSENT = "the crane has nothing there"


class HeatView(View):
    """The grid and what its cell holds."""

    NAME: ClassVar = "Fleet heat"
    DEFAULT_CSS = "HeatView LinesPanel { height: 8; }"

    _by: By = "function"
    _unit: Unit = "money"
    _answer: HeatAnswer | None = None

    def compose(self) -> ComposeResult:
        """Lay out the sentence, the grid and the panel."""
        yield self._sentence
        yield HeatGrid()
        yield LinesPanel()

    @property
    def _grid(self) -> HeatGrid:
        return self.query_one(HeatGrid)

    def load(self) -> None:
        """Ask for the grid as it is chosen."""
        self._grid.focus()
        by, unit = self._by, self._unit
        self._on.ask(lambda: self._site.heat(by, unit), self._show)

    def _show(self, answer: HeatAnswer) -> None:
        self._answer = answer
        what = "exposure in money" if answer.unit == "money" else "lost days"
        head = f"What a year may take: {what}, cranes by {SYSTEMS[self._by]}."
        unknown = sum(row.unknown for row in answer.rows)
        beware = f" Not known at {formats.count(unknown, 'position')}." if unknown else ""
        self.say((head, STRONG), (beware, WARN))
        self._grid.show(answer, NOTHING)

    def on_heat_grid_highlighted(self) -> None:
        """Tell about the cell under the cursor."""
        told = tuple(self._told())
        self.query_one(LinesPanel).show(lambda _: told)

    def on_heat_grid_chosen(self) -> None:
        """Open the worst position of the cell."""
        self.open_item()

    def _told(self) -> Iterator[Content]:
        grid, answer = self._grid, self._answer
        if answer is None or grid.crane is None:
            return
        cell = grid.cell
        place = ", ".join(text for text in (grid.crane.crane, grid.crane.name) if text)
        head = f"{place} · {grid.system}: "
        if cell is None:
            yield said((f"{head}{ABSENT}.", STRONG))
        else:
            value = self._figure(cell.value)
            yield said(
                (f"{head}{symbol(cell, grid.steps)} {value} a year", STRONG),
                f", {formats.count(cell.positions, 'position')}",
                (f", {cell.unknown} of them not known" if cell.unknown else "", WARN),
                f"; most through {cell.worst}.",
            )
        in_all = self._figure(grid.crane.value)
        yield said(f"The crane in all {in_all} ({grid.place}).")
        yield said((f"{legend(grid.steps, self._unit_name)}.", QUIET))
        for note in answer.notes[-1:]:  # the others are what help says
            yield said((f"{note[:1].upper()}{note[1:]}.", QUIET))

    @property
    def _unit_name(self) -> str:
        if self._unit == "days":
            return "lost days"
        return self._site.currency or "(currency not set)"

    def _figure(self, value: float | None) -> str:
        if self._unit == "days":
            return formats.NOT_KNOWN if value is None else f"{formats.days_in_words(value)} lost"
        return formats.money(value, self._site.currency)

    def open_item(self) -> str:
        """Open the position that most of the cell goes through."""
        crane, cell = self._grid.crane, self._grid.cell
        if crane is None or cell is None:
            return f"There is nothing to open: {ABSENT}."
        self.post_message(OpenPosition(crane.crane, cell.worst))
        return ""

    def copied(self) -> str:
        """Return the cell as crane, system, value and worst position."""
        crane, cell = self._grid.crane, self._grid.cell
        if crane is None or cell is None:
            return ""
        return tsv_line((crane.crane, self._grid.system, self._figure(cell.value), cell.worst))

    def turn_unit(self) -> str:
        """Change between money and days."""
        self._unit = "days" if self._unit == "money" else "money"
        self.load()
        return ""

    def turn_systems(self) -> str:
        """Change between functions and classes of parts."""
        self._by = "class" if self._by == "function" else "function"
        self.load()
        return ""
