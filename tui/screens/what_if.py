"""What would change if a quotation for a part came true, or if a supplier of it closed.

A question only: the answer is reckoned on a changed copy, and nothing is written down.
"""

from __future__ import annotations

from typing import ClassVar, NamedTuple

from textual.app import ComposeResult
from textual.widgets import Static

from parts.records.what_if_answers import PositionChange, WhatIfAnswer
from tui import actions, amounts, formats, words
from tui.messages import OpenPosition
from tui.screens.typed import TypedPage
from tui.site import Site
from tui.widgets.amount_line import AmountLine
from tui.widgets.bars import bar
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, WARN, Piece, said

ChangeField = Field[PositionChange]
NOT_SAVED = "Nothing is saved by asking."
NO_SUPPLIER = "Nobody offers this part: record an offer to ask about it."
NO_NEED = "Not needed: the supplier closes."
UNCHANGED = "No position would be restored sooner or later."
STEP_DAYS, BAR_WIDTH = 5.0, 12


class Asked(NamedTuple):
    """A supplier, and whether it closes or keeps a quotation."""

    supplier: str
    closes: bool


class WhatIfScreen(TypedPage[PositionChange]):
    """Today beside then."""

    ACTS: ClassVar = actions.WHAT_IF
    WORDS: ClassVar = words.WHAT_IF
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "WhatIfScreen LinesPanel { height: 7; }"

    def __init__(self, site: Site, part: str) -> None:
        trail = ("longpole", "part", part, "what if")
        self._top = 1.0
        super().__init__(trail, f"as known on {site.snapshot.today}", self._fields())
        self._site = site
        self._part = part
        suppliers = site.suppliers_of(part)
        self._questions = [Asked(each, closes) for each in suppliers for closes in (False, True)]
        self._at = 0

    def _fields(self) -> tuple[ChangeField, ...]:
        return (
            ChangeField(Column("Crane", 10), lambda change: change.crane, lambda _: "strong"),
            ChangeField(Column("Position", None, least=14), lambda change: change.position),
            ChangeField(
                Column("Lost now", 9, "right"), lambda change: formats.days(change.lost_days_now)
            ),
            ChangeField(
                Column("0 … most", BAR_WIDTH), lambda change: self._bar(change.lost_days_now)
            ),
            ChangeField(
                Column("Then", 9, "right"), lambda change: formats.days(change.lost_days_then)
            ),
            ChangeField(
                Column("0 … most", BAR_WIDTH),
                lambda change: self._bar(change.lost_days_then),
                more_style,
                from_width=96,
            ),
            ChangeField(Column("Change", 9, "right"), more_text, more_style),
        )

    def _bar(self, days: float | None) -> str:
        return bar(days, self._top, BAR_WIDTH)

    def line(self) -> AmountLine:
        """Return the days of the quotation."""
        return AmountLine("Quotation", "days", "30")

    def above(self) -> ComposeResult:
        """Return the room for the question and its answer."""
        yield Static(classes="line", id="answer")

    def panel(self) -> LinesPanel:
        """Return the room for the position under the cursor."""
        return LinesPanel()

    def _say(self, *pieces: Piece) -> None:
        self.query_one("#answer", Static).update(said(*pieces))

    def ask_again(self) -> None:
        """Ask about the supplier, with the days that are typed where they matter."""
        line = self.query_one(AmountLine)
        if not self._questions:
            self._rest(NO_SUPPLIER)
            return
        asked, typed = self._questions[self._at], line.typed
        line.tell((NO_NEED, QUIET) if asked.closes else (typed.trouble, WARN))
        days = None if asked.closes else typed.value
        if days is None and not asked.closes:
            self._rest("")
            return
        self._say((self._question(asked, days), STRONG), " Reckoning ...")
        self.ask_in_turn(
            lambda: self._site.what_if(self._part, asked.supplier, days),
            lambda found: self._show(self._question(asked, days), found),
        )

    def _rest(self, why: str) -> None:
        """Show the question without an answer."""
        self._asked += 1  # an answer that is still under way is to another question
        question = self._question(self._questions[self._at], None) if self._questions else ""
        self._say((question, STRONG), (why, WARN), f" {NOT_SAVED}")
        self._table.set_empty_text("")
        self.list_found(())

    def _question(self, asked: Asked, days: float | None) -> str:
        if asked.closes:
            return f"What if {asked.supplier} closes?"
        how = "as quickly as you type" if days is None else f"in {formats.days_in_words(days)}"
        return f"What if {asked.supplier} delivers {self._part} {how}?"

    def _show(self, question: str, found: WhatIfAnswer) -> None:
        days = [
            day
            for each in found.changes
            for day in (each.lost_days_now, each.lost_days_then)
            if day
        ]
        self._top = max([1.0, *days])
        self._table.set_empty_text(UNCHANGED)
        self._say(
            (f"{question} ", STRONG), f"{answer_text(found, self._site.currency)} {NOT_SAVED}"
        )
        self.list_found(found.changes)

    def tell(self, item: PositionChange | None) -> None:
        """Say what would change at the position under the cursor."""
        told = () if item is None else (
            said((f"{item.crane}/{item.position}: {item.part or 'part not known'}", STRONG)),
            said(change_sentence(item)),
        )  # fmt: skip
        self.query_one(LinesPanel).show(lambda _: told)

    def open_item(self, item: PositionChange) -> None:
        """Open the position as it is today."""
        self.post_message(OpenPosition(item.crane, item.position))

    def action_step(self, up: bool) -> None:
        """Raise or lower the days to the next round ones."""
        line = self.query_one(AmountLine)
        line.fill(amounts.stepped(line.typed.value or 0.0, STEP_DAYS, up))

    def action_next_question(self) -> None:
        """Ask the next question: the same supplier closing, then the next supplier."""
        if self._questions:
            self._at = (self._at + 1) % len(self._questions)
            self.ask_again()


def more_text(change: PositionChange) -> str:
    if change.more_days is None:
        return "?"
    return f"{'+' if change.more_days > 0 else '-'}{formats.days(abs(change.more_days))}"


def more_style(change: PositionChange) -> str:
    """Return the style word of a change: loud where it is for the worse or not known."""
    is_better = change.lost_days_then is not None and (change.more_days or -1.0) < 0
    return "in-service" if is_better else "down"


def change_sentence(change: PositionChange) -> str:
    """Return what one position's failure takes today, and what it would take."""
    now, then = (
        "nobody knows how long it stands" if days is None
        else f"{formats.days_in_words(days)} of work are lost"
        for days in (change.lost_days_now, change.lost_days_then)
    )  # fmt: skip
    return f"If it fails today: as things are {now}; then {then}."


def answer_text(found: WhatIfAnswer, currency: str | None) -> str:
    """Return what changes in all; a sum that lost a part is not held against a whole one."""
    listed = min(found.changed, len(found.changes))
    which = f", the {listed} that change most are listed" if listed < found.changed else ""
    days_now = f"{found.exposure_days_now:,.1f}"
    days_then = f"{found.exposure_days_then:,.1f} lost days"
    money_now, money_then = (
        formats.money(each, currency)
        for each in (found.exposure_cost_now, found.exposure_cost_then)
    )
    head = f"Changes at {formats.count(found.changed, 'position')}{which}. A year's exposure"
    unknown = (
        f"restore {formats.count(found.unknown_then, 'position')}, today {found.unknown_now:,}"
    )
    if found.unknown_then > found.unknown_now:
        return (
            f"{head} of {days_now} lost days and {money_now} could no longer be told: nobody would "
            f"know how to {unknown}."
        )
    in_all = f"{head} goes from {days_now} to {days_then} and from {money_now} to {money_then}."
    if found.unknown_then < found.unknown_now:
        in_all += f" Nobody would know how to {unknown}; those add nothing to the sums."
    return in_all
