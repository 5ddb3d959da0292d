"""A site book taken in from the screens: looked through first, then loaded whole or not at all."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Input, Label, Static

from parts.records.answers import Fault, LoadReport
from tui import actions, formats
from tui.desk import Desk
from tui.messages import Booked
from tui.screens.page import Page
from tui.widgets.columns import Column
from tui.widgets.field_table import Field, FieldTable
from tui.widgets.path_input import PathInput
from tui.widgets.texts import QUIET, STRONG, Piece, said

FaultField = Field[Fault]
FIELDS = (
    FaultField(Column("File", 18), lambda fault: fault.where, lambda _: "strong"),
    FaultField(Column("Row", 6, "right"), lambda f: "" if f.row is None else str(f.row)),
    FaultField(Column("Column", 20), lambda fault: fault.column or ""),
    FaultField(Column("Value", 16), lambda fault: fault.value, from_width=90),
    FaultField(Column("What is wrong", None, least=24), lambda fault: fault.reason),
)
BEGIN = (
    "Type the path of a site book, a folder of CSV files or one .xlsx workbook, and press Enter. "
    "It is only looked through at first."
)


class LoadBookScreen(Page):
    """The path, and what is found in the book."""

    ACTS: ClassVar = actions.LOAD_BOOK
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = """
    LoadBookScreen Horizontal { height: 1; padding: 0 1; }
    LoadBookScreen Horizontal Label { width: auto; }
    LoadBookScreen Input { width: 1fr; margin-left: 1; background: $panel; color: $foreground; }
    """

    def __init__(self, desk: Desk) -> None:
        super().__init__(("longpole", "first steps", "load a book"), f"into {desk.name}")
        self._sound = ""
        self._table = FieldTable(FIELDS)

    def body(self) -> ComposeResult:
        """Lay out the path, the answer and the faults."""
        with Horizontal():
            yield Label(said(("Site book", "bold")))
            yield PathInput(placeholder="path of a folder or a workbook")
        yield Static(said(BEGIN), classes="line", id="answer")
        yield self._table

    def on_mount(self) -> None:
        """Begin in the line."""
        self._table.can_focus = False
        self.query_one(Input).focus()

    def on_input_submitted(self) -> None:
        """Look the book through, or load the one that was."""
        self.action_load()

    def action_load(self) -> None:
        """Look the book through; load it when it was found sound."""
        path = self.query_one(Input).value.strip()
        desk, is_sound = self.desk, bool(path) and path == self._sound
        self._sound = ""
        if is_sound:
            self._say("Loading ...")
            self.ask(lambda: desk.load_book(path), self._loaded, "Loading")
        elif path:
            self._say("Looking it through ...")
            self.ask(lambda: desk.check_book(path), lambda r: self._checked(path, r), "Looking")
        else:
            self.refused("Type the folder or the workbook first.")

    def _say(self, *pieces: Piece) -> None:
        self.query_one("#answer", Static).update(said(*pieces))

    def _checked(self, path: str, report: LoadReport) -> None:
        self._table.list_items(report.faults)
        if report.faults:
            number = formats.count(len(report.faults), "fault")
            self._say((f"{number}: nothing is loaded. Correct the book, then press Enter.", STRONG))
            return
        self._sound = path
        self._say(
            (f"Nothing is wrong with it: {told(report)}. Press Enter again to load it.", STRONG),
            (" Nothing is ever deleted.", QUIET),
        )

    def _loaded(self, report: LoadReport) -> None:
        self._table.list_items(report.faults)
        if not report.written:
            self._say(("The book was changed meanwhile: nothing is loaded.", STRONG))
            return
        self._say((f"Loaded: {told(report)}. Press Esc to go on.", STRONG))
        self.post_message(Booked())

    def refused(self, sentence: str) -> None:
        """Say why, and what to type."""
        super().refused(sentence)
        self._say(BEGIN)


def told(report: LoadReport) -> str:
    """Return what loading adds and changes."""
    new, changed = sum(report.added.values()), sum(report.updated.values())
    same = sum(report.unchanged.values())
    return f"{formats.count(new, 'row')} new, {changed:,} changed, {same:,} as they were"
