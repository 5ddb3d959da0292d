"""One crane: its positions by lost days, and the long pole of the one under the cursor."""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar

from textual.app import ComposeResult

from parts.records.answers import PositionOutage
from tui import actions, sentences, words
from tui.messages import OpenNeeds, OpenPosition, OpenTogether, OpenYear
from tui.screens.fields import (
    DESCRIPTION,
    LOST,
    PART,
    RESTORE,
    SHARE,
    STATE,
    WAITS,
    PositionField,
)
from tui.screens.page import Page
from tui.site import Ranked, Site
from tui.widgets.columns import Column
from tui.widgets.ends_line import EndsLine
from tui.widgets.field_table import FieldTable
from tui.widgets.pole import PolePanel
from tui.widgets.table import RowTable

MARK = "✓ "
NO_POSITIONS = "No position of this crane is recorded.\n\nPress Esc to go back."


class CraneScreen(Page):
    """The positions of one crane, to look into and to mark for failing together."""

    ACTS: ClassVar = actions.CRANE
    WORDS: ClassVar = (*words.LISTS, words.SHARE, words.COMPANION)
    BINDINGS: ClassVar = actions.bindings(ACTS)

    def __init__(self, site: Site, crane: str) -> None:
        super().__init__(("longpole", "fleet", crane), f"as known on {site.snapshot.today}")
        self._site = site
        self._crane = crane
        fields = (self._position_field(), PART_ON_CRANE, DESCRIPTION, RESTORE, SHARE, STATE, LOST)
        self._table = FieldTable((*fields, WAITS_ON_CRANE), empty=NO_POSITIONS)

    def _position_field(self) -> PositionField:
        return PositionField(
            Column("Position", None, least=22),
            lambda o: (MARK if self._is_marked(o) else "  ") + o.position,
            lambda o: "reduced" if self._is_marked(o) else "strong",
        )

    def _is_marked(self, outage: PositionOutage) -> bool:
        return (outage.crane, outage.position) in self._site.marked

    def body(self) -> ComposeResult:
        """Lay out the title, the positions and the long pole."""
        yield EndsLine(classes="place")
        yield self._table
        yield PolePanel()

    def on_mount(self) -> None:
        """List the positions."""
        self._table.focus()
        self._table.list_items(Ranked(self._site, self._site.fleet.of_crane(self._crane)))
        self._tell()

    def on_screen_resume(self) -> None:
        """Show marks that were taken away on another screen."""
        self._table.redraw()
        self._tell()

    def _tell(self) -> None:
        marked = len(self._site.marked)
        marks = f"{marked} marked, press f · " if marked else ""
        line = self.query_one(".place", EndsLine)
        line.show(self._site.crane_title(self._crane), f"{marks}{self._table.position}")

    def on_row_table_row_highlighted(self, event: RowTable.RowHighlighted) -> None:
        """Draw the long pole of the position under the cursor."""
        self.query_one(PolePanel).show(self._table.chosen, head_of(self._table.chosen))
        self._tell()

    def on_row_table_row_chosen(self, event: RowTable.RowChosen) -> None:
        """Open the position."""
        if (outage := self._table.chosen) is not None:
            self.post_message(OpenPosition(outage.crane, outage.position))

    def action_open(self) -> None:
        """Open the position under the cursor."""
        self._table.action_choose()

    def action_mark(self) -> None:
        """Mark the position under the cursor, or take its mark away, and go to the next."""
        outage, cursor = self._table.chosen, self._table.cursor
        if outage is None or cursor is None:
            return
        place = (outage.crane, outage.position)
        if place in self._site.marked:
            del self._site.marked[place]
        else:
            self._site.marked[place] = None
        self._table.redraw_row(cursor)
        self._table.move_cursor(cursor + 1)
        self._tell()

    def action_unmark(self) -> None:
        """Take all marks away."""
        self._site.marked.clear()
        self._table.redraw()
        self._tell()

    def action_together(self) -> None:
        """Show what follows when the marked positions fail together."""
        if self._site.marked:
            self.post_message(OpenTogether())
        else:
            self.refused("Nothing is marked: mark positions with the space bar, then press f.")

    def action_needs(self) -> None:
        """Show what the crane hangs on, with the position under the cursor failed."""
        chosen = self._table.chosen
        self.post_message(OpenNeeds(self._crane, "" if chosen is None else chosen.position))

    def action_year(self) -> None:
        """Show what a year may take of the crane."""
        self.post_message(OpenYear(self._crane))

    def action_copy(self) -> None:
        """Send the row to the clipboard of the terminal."""
        self.copy_row(self._table)


PART_ON_CRANE = replace(PART, column=Column("Part", 12), from_width=76)
WAITS_ON_CRANE = replace(WAITS, from_width=92)
"""On a narrow screen names of positions are read whole; what is waited for stands below."""


def head_of(outage: PositionOutage | None) -> str:
    """Return the line above a long pole: position, part and what it is."""
    if outage is None:
        return ""
    part = outage.part or "part not known"
    load = "bears load" if outage.load_bearing else ""
    decide = sentences.ASK_FIRST if outage.decide else ""
    texts = (f"{outage.position}: {part}", decide, load, outage.description)
    return " · ".join(text for text in texts if text)
