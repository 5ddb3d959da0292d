"""Upgrades against spares within the money of the plan: every choice, what it costs a year, why.

Weighing takes a while, since each choice is a site of its own; the answer is kept with the site.
"""

from __future__ import annotations

from typing import ClassVar

from parts.records.comparison_answers import ComparedOption, ComparisonAnswer
from tui import actions, formats, words
from tui import comparison_sentences as sentences
from tui.screens.listing import ListPage
from tui.site import Site
from tui.widgets.bars import bar
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import STRONG, said

OptionField = Field[ComparedOption]
WEIGHING = "Weighing every choice on a site of its own: this may take a minute."
WEIGHING_SHORT = "Weighing every choice"
BAR_WIDTH = 16


class CompareScreen(ListPage[ComparedOption]):
    """The choices, leaving all as it is first."""

    ACTS: ClassVar = actions.COMPARE
    WORDS: ClassVar = words.COMPARE
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "CompareScreen LinesPanel { height: 11; }"

    def __init__(self, site: Site, budget: float | None) -> None:
        super().__init__(
            ("longpole", "plan", "upgrades"), f"as known on {site.snapshot.today}", self._fields()
        )
        self._site = site
        self._budget = budget
        self._answer: ComparisonAnswer | None = None
        self._tells_how = False

    def _fields(self) -> tuple[OptionField, ...]:
        return (
            OptionField(Column("Choice", None, least=14), self._called, self._style_of),
            OptionField(
                Column("Takes now", 10, "right"),
                lambda each: formats.amount(each.capital),
                lambda each: "" if each.within_budget else "quiet",
            ),
            OptionField(
                Column("Outages", 10, "right"),
                lambda each: formats.amount(each.exposure_cost_per_year),
                from_width=76,
            ),
            OptionField(
                Column("Each year", 10, "right"), lambda e: formats.amount(e.equal_annual_cost)
            ),
            OptionField(Column("0 … most", BAR_WIDTH), self._bar, self._style_of, from_width=100),
            OptionField(Column("In all", 11, "right"), lambda each: formats.amount(each.npv_cost)),
            OptionField(Column("Return", 8, "right"), sentences.return_of),
        )

    def load(self) -> None:
        """Ask for all choices."""
        self.say((WEIGHING, STRONG))
        self.ask(lambda: self._site.compare(self._budget), self._show, WEIGHING_SHORT)

    def _show(self, answer: ComparisonAnswer) -> None:
        self._answer = answer
        self.say((sentences.choice_sentence(answer, self._site.currency), STRONG))
        self._table.list_items(answer.options, at=answer.options.index(answer.choice))

    def _called(self, option: ComparedOption) -> str:
        chosen = self._answer is not None and option.members == self._answer.chosen
        return f"{sentences.name_of(option)} ← least" if chosen else sentences.name_of(option)

    def _style_of(self, option: ComparedOption) -> str:
        if not option.within_budget:
            return "quiet"
        return "strong" if self._answer and option.members == self._answer.chosen else ""

    def _bar(self, option: ComparedOption) -> str:
        costs = [] if self._answer is None else [
            each.equal_annual_cost or 0.0 for each in self._answer.options
        ]  # fmt: skip
        return bar(option.equal_annual_cost, max([1.0, *costs]), BAR_WIDTH)

    def tell(self, item: ComparedOption | None) -> None:
        """Say what makes up the cost of the choice under the cursor, or how all were compared."""
        answer = self._answer
        if answer is None or item is None:
            return
        if self._tells_how:
            told = [said(text) for text in sentences.how_compared(answer)]
        else:
            first, *more = sentences.option_sentences(item, answer, self._site.currency)
            told = [said((first, STRONG)), *(said(text) for text in more)]
        self.query_one(LinesPanel).show(lambda _: told)

    def action_how(self) -> None:
        """Change between the choice under the cursor and how all were compared."""
        self._tells_how = not self._tells_how
        self.tell(self._table.chosen)
