"""What would change if something failed, closed, came true, was bought, done or used more.

A question only: the answer is reckoned on a changed copy, and nothing is written down.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import ClassVar

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.widgets import Input, Static

from parts.records.shown import shown
from parts.records.what_if_answers import Asks, PositionChange, Question, WhatIfAnswer
from tui import actions, amounts, formats, words
from tui import what_if_sentences as sentences
from tui.acts import MORE
from tui.messages import OpenPosition
from tui.screens.page import RECKONING
from tui.screens.typed import TypedPage
from tui.site import Site
from tui.what_if_questions import NUMBERS, Subject, questions_about
from tui.widgets.amount_line import AmountLine
from tui.widgets.bars import bar
from tui.widgets.columns import Column, fit
from tui.widgets.field_table import Field
from tui.widgets.key_line import KeyLine
from tui.widgets.panel import LinesPanel
from tui.widgets.rows import ItemRows
from tui.widgets.table import RowTable
from tui.widgets.texts import QUIET, STRONG, WARN, Piece, said

ChangeField = Field[PositionChange]
NOT_SAVED = "Nothing is saved by asking."
UNCHANGED = "No position would stand longer or shorter, or fail more or less often."
BAR_WIDTH, WIDEST_NAME, WIDE = 12, 16, 96


class WhatIfScreen(TypedPage[PositionChange]):
    """The questions, and today beside then for the one that is chosen."""

    ACTS: ClassVar = actions.WHAT_IF
    WORDS: ClassVar = words.WHAT_IF
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = """
    WhatIfScreen #questions { height: 20%; min-height: 5; max-height: 12; margin-left: 1; }
    WhatIfScreen #answer { max-height: 9; }
    WhatIfScreen FieldTable { min-height: 3; }
    WhatIfScreen LinesPanel { height: 20%; min-height: 5; max-height: 10; }
    """

    def __init__(self, site: Site, subjects: Iterable[Subject] = ()) -> None:
        self._top, self._of_a_year = 1.0, False
        trail = ("longpole", "what if")
        super().__init__(trail, f"as known on {site.snapshot.today}", self._fields())
        self._site = site
        self._subjects = tuple(subjects)
        self._questions = questions_about(site, self._subjects)
        self._at = 0
        self._found: WhatIfAnswer | None = None
        self._typed: dict[Asks, str] = {asks: number.begins for asks, number in NUMBERS.items()}
        self._list = RowTable(Column("What if ...", None), id="questions")
        self._list.can_focus = False
        self._set_questions()

    def _set_questions(self) -> None:
        rows = ItemRows(self._questions, lambda question: (self._in_list(question),))
        self._list.set_rows(rows, keep_cursor_at=self._at)

    def _fields(self) -> tuple[ChangeField, ...]:
        """Lost days of one failure, or of a year where one failure takes as long as before."""
        said_now = "A year now" if self._of_a_year else "Lost now"
        return (
            ChangeField(Column("Crane", 6), lambda change: change.crane, lambda _: "strong"),
            ChangeField(Column("Position", None, least=14), lambda change: change.position),
            ChangeField(Column(said_now, 10, "right"), self._text_now),
            ChangeField(
                Column("0 … most", BAR_WIDTH),
                lambda each: self._bar(self._now(each)),
                from_width=WIDE,
            ),
            ChangeField(Column("Then", 9, "right"), self._text_then),
            ChangeField(
                Column("0 … most", BAR_WIDTH),
                lambda each: self._bar(self._then(each)),
                self._style,
                from_width=WIDE,
            ),
            ChangeField(
                Column("Change", 9, "right"),
                lambda each: sentences.more_text(self._more(each)),
                self._style,
            ),
        )

    def _now(self, change: PositionChange) -> float | None:
        return change.year_days_now if self._of_a_year else change.lost_days_now

    def _then(self, change: PositionChange) -> float | None:
        return change.year_days_then if self._of_a_year else change.lost_days_then

    def _more(self, change: PositionChange) -> float | None:
        return change.more_days_a_year if self._of_a_year else change.more_days

    def _text_now(self, change: PositionChange) -> str:
        return "-" if change.present == "then" else formats.days(self._now(change))

    def _text_then(self, change: PositionChange) -> str:
        return "gone" if change.present == "now" else formats.days(self._then(change))

    def _style(self, change: PositionChange) -> str:
        """Return the style word of a change: loud where it is for the worse or not known."""
        more = self._more(change)
        is_better = self._then(change) is not None and (-1.0 if more is None else more) < 0
        return "in-service" if is_better else "" if more == 0 else "down"

    def _bar(self, days: float | None) -> str:
        return bar(days, self._top, BAR_WIDTH)

    def line(self) -> AmountLine:
        """Return the line for the number of a question that has one."""
        return AmountLine("", "", "1")

    def above(self) -> ComposeResult:
        """Return the questions and the room for the answer."""
        yield self._list
        yield Static(classes="line", id="answer")

    def panel(self) -> LinesPanel:
        """Return the room for the position under the cursor."""
        return LinesPanel()

    @property
    def _question(self) -> Question:
        return self._questions[self._at]

    def _say(self, *pieces: Piece) -> None:
        self.query_one("#answer", Static).update(said(*pieces))

    def on_mount(self) -> None:
        """Begin with the number that the first question begins with."""
        self._begin_number()

    def take_site(self, site: Site) -> bool:
        """Ask the same again of another state of the site."""
        before = self._question
        self._questions = questions_about(site, self._subjects)
        self._at = self._questions.index(before) if before in self._questions else 0
        self._set_questions()
        return super().take_site(site)

    # Asking -------------------------------------------------------------------------------------

    def ask_again(self) -> None:
        """Ask the question that is chosen, with the number that is typed where it needs one."""
        self._ready_line()
        number = self._number()
        if self._question.asks in NUMBERS and number is None:
            self._rest()
            return
        asked = replace(self._question, number=number)
        self._say((asked.sentence, STRONG), f" {RECKONING}")
        self.ask_in_turn(lambda: self._site.what_if(asked), lambda found: self._show(asked, found))

    def _ready_line(self) -> None:
        """Let the line be typed in where the question has a number; else letters are keys."""
        line, number = self.query_one(AmountLine), NUMBERS.get(self._question.asks)
        field = line.query_one(Input)
        line.visible = number is not None
        field.disabled = number is None
        self.query_one(KeyLine).leave_out(*(() if number else (MORE,)))
        if number is not None:
            line.ask_for(number.label, number.unit, number.example)
            field.focus()

    def _number(self) -> float | None:
        """The number that is typed, if the question has one; what is wrong stands beside it."""
        if self._question.asks not in NUMBERS:
            return None
        line = self.query_one(AmountLine)
        if self._typed[self._question.asks] != self.typed:
            self._typed[self._question.asks] = self.typed
            self._list.redraw()
        line.tell((line.typed.trouble, WARN))
        return line.typed.value

    def _rest(self) -> None:
        """Show the question without an answer."""
        self._asked += 1  # an answer that is still under way is to another question
        self._say((self._question.sentence, STRONG), f" {NOT_SAVED}")
        self._list_nothing("")

    def _list_nothing(self, why: str) -> None:
        self._found = None
        self._table.set_empty_text(why)
        self.list_found(())

    def refused(self, sentence: str) -> None:
        """Say why there is no answer, and take away the one to another question."""
        super().refused(sentence)
        self._say((self._question.sentence, STRONG), f" {NOT_SAVED}")
        self._list_nothing("")

    def _show(self, asked: Question, found: WhatIfAnswer) -> None:
        self._found = found
        self._of_a_year = not any(each.more_days != 0.0 for each in found.changes)
        days = [day for each in found.changes for day in (self._now(each), self._then(each)) if day]
        self._top = max([1.0, *days]) if not self._of_a_year else max([1e-9, *days])
        self._table.set_empty_text(UNCHANGED)
        self._table.show_fields(self._fields())
        rows = sentences.beside(found, self._site.currency)
        self._say(
            (f"{asked.sentence}\n", STRONG),
            *beside_lines(rows),
            f"{sentences.answer_text(found)} {NOT_SAVED}",
        )
        self.list_found(found.changes)

    def _in_list(self, question: Question) -> str:
        """A question as the list shows it: with what is typed, and with what an upgrade is."""
        typed = amounts.number(self._typed.get(question.asks, "")).value
        text = replace(question, number=typed).sentence.removeprefix("What if ")
        titles = {row.upgrade: row.title for row in self._site.snapshot.upgrades}
        title = titles.get(question.names[0]) if question.asks == "upgrade" else None
        return text if title is None else f"{text} ({title})"

    # Keys ---------------------------------------------------------------------------------------

    def on_row_table_row_highlighted(self, event: RowTable.RowHighlighted) -> None:
        """Ask the question that the cursor came to."""
        if event.table is self._list:
            event.prevent_default()  # the base class would tell about a position
            if event.index is not None and event.index != self._at:
                self._turn_to(event.index)

    def on_row_table_row_chosen(self, event: RowTable.RowChosen) -> None:
        """Leave a click on the question that is asked without effect."""
        if event.table is self._list:
            event.prevent_default()

    def _turn_to(self, index: int) -> None:
        self._at = index
        self._begin_number()
        self._list_nothing(RECKONING)
        self.ask_again()

    def _begin_number(self) -> None:
        """Put in the number that was typed for such a question before; typing replaces it."""
        line = self.query_one(AmountLine)
        field = line.query_one(Input)
        with field.prevent(Input.Changed):
            line.write(self._typed.get(self._question.asks, ""))
        field.select_all()
        line.tell()

    def action_next_question(self) -> None:
        """Go on to the next question, after the last one to the first."""
        self._list.move_cursor((self._at + 1) % len(self._questions))

    def action_question_before(self) -> None:
        """Go back to the question before, from the first one to the last."""
        self._list.move_cursor((self._at - 1) % len(self._questions))

    def action_step(self, up: bool) -> None:
        """Raise or lower the number to the next round one."""
        number = NUMBERS.get(self._question.asks)
        if number is not None:
            line = self.query_one(AmountLine)
            value = amounts.stepped(line.typed.value or 0.0, number.step, up)
            line.write(f"{value:,.10g}")

    def tell(self, item: PositionChange | None) -> None:
        """Say what would change at the position under the cursor, else the working periods."""
        if item is not None:
            told = [
                said((f"{item.crane}/{item.position}: {item.part or 'part not known'}", STRONG)),
                said(sentences.change_sentence(item)),
            ]
        else:
            periods = self._found.periods if self._found else ()
            told = [said(sentences.period_sentence(each)) for each in periods]
        self.query_one(LinesPanel).show(lambda _: told)

    def open_item(self, item: PositionChange) -> None:
        """Open the position as it is today."""
        if self._site.lists(item.crane, item.position):
            self.post_message(OpenPosition(item.crane, item.position))


def beside_lines(rows: Sequence[sentences.Row]) -> Iterator[Piece]:
    """Return rows as lines of columns; today and then are as wide as their widest figure."""
    name, *widths = (max(cell_len(shown(row[at])) for row in rows) for at in range(3))
    name = min(name, WIDEST_NAME)
    for number, row in enumerate(rows):
        look = QUIET if number == 0 else ""
        head = fit(row[0], name)
        now, then = (fit(row[at], width, "right") for at, width in zip((1, 2), widths, strict=True))
        yield f"{head}  {now}  ", look
        yield then, look or STRONG
        yield f"  {row[3]}\n", look
