"""Which step to undo: the last movements, the latest first, and one question before it is done."""

from __future__ import annotations

from typing import ClassVar

from parts.records.stock import Movement
from parts.records.stock_steps import Posted
from tui import actions, formats, words
from tui.messages import Booked
from tui.screens.filtered import FilteredPage, Found, holding
from tui.screens.sure import SureScreen
from tui.screens.told import ToldScreen
from tui.site import Site
from tui.step_sentences import booked_lines, movement_line
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, said

MovementField = Field[Movement]
FIELDS = (
    MovementField(Column("Day", 10), lambda row: formats.day(row.date)),
    MovementField(Column("Step", 9), lambda row: row.kind),
    MovementField(Column("Units", 7, "right"), lambda row: f"{row.qty:+,}", lambda _: "strong"),
    MovementField(Column("Part", None, least=12), lambda row: row.part, lambda _: "strong"),
    MovementField(Column("Store", 14), lambda row: row.store or ""),
    MovementField(Column("By", None, least=10), lambda row: row.by or "", from_width=100),
    MovementField(
        Column("At", None, least=14),
        lambda row: "/".join(filter(None, (row.crane, row.position))),
        from_width=100,
    ),
)
NOTHING = "Nothing was moved yet.\n\nPress Esc to go back."


class UndoScreen(FilteredPage[Movement]):
    """The last movements that can be undone."""

    ACTS: ClassVar = actions.UNDO
    WORDS: ClassVar = words.STOCK
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "UndoScreen LinesPanel { height: 6; }"

    def __init__(self, site: Site, key: str = "") -> None:
        trail = ("longpole", "move stock", "undo")
        super().__init__(trail, f"today is {site.snapshot.today}", FIELDS)
        self._site = site
        self._key = key
        self._new_key = ""

    def panel(self) -> LinesPanel:
        """Return the room for the movement under the cursor."""
        return LinesPanel()

    def nothing(self, is_filtered: bool) -> str:
        """Return what stands in place of rows."""
        return super().nothing(is_filtered) if is_filtered else NOTHING

    def find(self, text: str) -> Found[Movement]:
        """Return what may be undone and holds `text`."""
        rows = self._site.undoable
        if self._key:
            rows = tuple(row for row in rows if row.key == self._key)
        return Found(holding(rows, text, _words), len(rows))

    def tell(self, item: Movement | None) -> None:
        """Say what would be undone."""
        if item is None:
            self.query_one(LinesPanel).show(lambda _: ())
            return
        lines = (
            said((movement_line(item), STRONG)),
            said(item.note or ""),
            said(("Enter undoes it; both the step and its reversal stay in the journal.", QUIET)),
        )
        self.query_one(LinesPanel).show(lambda _: lines)

    def open_item(self, item: Movement) -> None:
        """Ask, then undo."""
        self._new_key = self.desk.new_key()
        question = SureScreen("Undo this step?", movement_line(item))
        self.app.push_screen(question, lambda sure: self._undo(item) if sure else None)

    def _undo(self, item: Movement) -> None:
        self.ask(lambda: self.desk.undo(item.key, self._new_key), self._undone)

    def _undone(self, posted: Posted) -> None:
        self.app.post_message(Booked())
        self.app.switch_screen(ToldScreen("undone", booked_lines(posted, "undone")))


def _words(row: Movement) -> str:
    facts = (row.part, row.kind, row.store, row.crane, row.position, row.order, row.by, row.note)
    return " ".join(fact for fact in facts if fact)
