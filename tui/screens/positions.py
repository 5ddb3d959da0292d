"""All positions of the fleet by lost days; typing filters them, whatever key it is.

The filter always has the keys, so no letter does anything else here; arrows move the list.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding
from textual.timer import Timer
from textual.widgets import Input

from tui import actions, words
from tui.messages import OpenPosition
from tui.screens.crane import head_of
from tui.screens.fields import DESCRIPTION, LOST, PART, RESTORE, STATE, WAITS, PositionField
from tui.screens.page import Page
from tui.site import Ranked, Site
from tui.widgets.columns import Column
from tui.widgets.field_table import Field, FieldTable
from tui.widgets.filter_line import FilterLine
from tui.widgets.pole import PolePanel
from tui.widgets.table import RowTable

FIELDS = (
    PositionField(Column("Crane", 6), lambda outage: outage.crane),
    PositionField(
        Column("Position", None, least=15), lambda outage: outage.position, lambda _: "strong"
    ),
    Field(PART.column, PART.text, PART.style, from_width=70),
    DESCRIPTION,
    RESTORE,
    STATE,
    LOST,
    Field(WAITS.column, WAITS.text, WAITS.style, from_width=94),
)
NOTHING = (
    "No position holds what you typed.\n\nEvery word must be found in the crane, the position, the "
    "part, its description or one of its numbers. Take letters away with the backspace key, or "
    "press Esc to see all positions."
)
MOVES = ("up", "down", "pageup", "pagedown")


class PositionsScreen(Page):
    """The list of all positions with its filter line."""

    PAUSE_S: ClassVar = 0.12
    """Keys that come closer together than this are answered once."""

    # The keys that move are the list's although the filter has the rest of them.
    DEFAULT_CSS = """
    PositionsScreen RowTable > .row-table--cursor-away {
        background: $block-cursor-background; color: $block-cursor-foreground; text-style: bold;
    }
    """
    ACTS: ClassVar = actions.POSITIONS
    WORDS: ClassVar = words.LISTS
    BINDINGS: ClassVar = [
        *actions.bindings(ACTS),
        *(
            Binding(key, f"move('{key}')", "Move in the list", show=False, priority=True)
            for key in MOVES
        ),
    ]

    def __init__(self, site: Site, text: str = "") -> None:
        super().__init__(("longpole", "all positions"), f"as known on {site.snapshot.today}")
        self._site = site
        self._text = text
        self._timer: Timer | None = None
        self._is_due = self._opens_then = False
        self._table = FieldTable(FIELDS, empty=NOTHING)
        self._table.can_focus = False

    def body(self) -> ComposeResult:
        """Lay out the filter, the positions and the long pole."""
        yield FilterLine(self._text)
        yield self._table
        yield PolePanel()

    def on_mount(self) -> None:
        """Filter by the text that the screen was opened with."""
        self.query_one(Input).focus()
        self._filter()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Filter when the keys pause."""
        if self._timer is not None:
            self._timer.stop()
        self._is_due, self._opens_then = True, False
        self._timer = self.set_timer(self.PAUSE_S, self._filter)

    def _filter(self) -> None:
        text = self.query_one(Input).value
        self.ask(lambda: self._site.matching(text), self._show)

    def _show(self, ranks: Sequence[int]) -> None:
        self._table.list_items(Ranked(self._site, ranks), total=len(self._site.fleet))
        self._is_due = False
        if self._opens_then:
            self._opens_then = False
            self.action_open()

    def on_row_table_row_highlighted(self, event: RowTable.RowHighlighted) -> None:
        """Draw the long pole of the position under the cursor and say how many are listed."""
        self.query_one(FilterLine).tell(str(event.position))
        outage = self._table.chosen
        crane = f"{outage.crane} / " if outage is not None else ""
        self.query_one(PolePanel).show(outage, crane + head_of(outage))

    def on_row_table_row_chosen(self, event: RowTable.RowChosen) -> None:
        """Open the position that was clicked."""
        self.action_open()

    def on_input_submitted(self) -> None:
        """Open the position under the cursor."""
        self.action_open()

    def action_open(self) -> None:
        """Open the position under the cursor, but never one that the filter is about to hide."""
        self._opens_then = self._is_due
        if not self._is_due and (outage := self._table.chosen) is not None:
            self.post_message(OpenPosition(outage.crane, outage.position))

    def action_move(self, key: str) -> None:
        """Move the cursor of the list."""
        table = self._table
        if key in ("up", "down"):
            table.action_step(1 if key == "down" else -1)
        else:
            table.action_page(1 if key == "pagedown" else -1)

    def action_back(self) -> None:
        """Empty the filter; when it is empty, go back."""
        if self.query_one(Input).value:
            self.query_one(Input).value = ""
        else:
            super().action_back()
