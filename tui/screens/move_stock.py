"""What to do with the stock: one line for each kind of step, the commonest first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tui import actions, words
from tui.forms.fields import Values
from tui.forms.steps import PROMISE, RELEASE, STEP_FORMS
from tui.messages import OpenStep, OpenUndo
from tui.screens.listing import ListPage
from tui.site import Site
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, said


@dataclass(frozen=True)
class Choice:
    """One line: its word, what it is for, and the form that it opens; "" = undoing."""

    word: str
    says: str
    kind: str


CHOICES = (
    *(Choice(form.word, form.says, form.kind) for form in (*STEP_FORMS, PROMISE, RELEASE)),
    Choice("count sheet", "write a sheet to count by, which does not tell the book", "count sheet"),
    Choice("book sheet", "book a count sheet that was filled in", "book sheet"),
    Choice("undo", "take back a step that was booked wrongly, by its opposite", ""),
)
FIELDS = (
    Field[Choice](Column("Step", 12), lambda choice: choice.word, lambda _: "strong"),
    Field[Choice](Column("What it is for", None, least=40), lambda choice: choice.says),
)


class MoveStockScreen(ListPage[Choice]):
    """The kinds of steps; `begun` is what is known from where the list was opened."""

    ACTS: ClassVar = actions.MOVE_STOCK
    WORDS: ClassVar = words.STOCK
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "MoveStockScreen LinesPanel { height: 6; }"

    def __init__(self, site: Site, begun: Values) -> None:
        super().__init__(("longpole", "move stock"), f"today is {site.snapshot.today}", FIELDS)
        self._begun = begun

    def load(self) -> None:
        """List the steps."""
        about = " ".join(text for text in (self._begun.get("part"), self._begun.get("at")) if text)
        self.say("What do you do with the stock?" + (f"  {about}" if about else ""))
        self._table.list_items(CHOICES)

    def tell(self, item: Choice | None) -> None:
        """Say how a step is taken."""
        if item is None:
            return
        lines = (
            said((item.word, STRONG), f": {item.says}."),
            said(("Nothing is booked before you save it with F2.", QUIET)),
        )
        self.query_one(LinesPanel).show(lambda _: lines)

    def open_item(self, item: Choice) -> None:
        """Open the form of a step, in place of this list."""
        opening = OpenStep(item.kind, self._begun) if item.kind else OpenUndo()
        self.app.post_message(opening)
        self.dismiss()
