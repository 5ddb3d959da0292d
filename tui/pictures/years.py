"""Exposure by year: as it is, and with the plan of a budget that plus and minus move.

The years as they are come at once; the plan needs every purchase weighed, which takes some
seconds, once.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from math import inf
from threading import Lock
from typing import ClassVar

from textual.app import ComposeResult
from textual.content import Content

from parts.records.plan_answers import ForecastAnswer, ForecastYear, PlanAnswer
from tui import amounts, formats
from tui.acts import OPEN_DRAWN
from tui.pictures.view import View
from tui.screens.page import Page
from tui.site import Site
from tui.widgets.bars import days_figure
from tui.widgets.frontier import figure
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, said
from tui.widgets.year_bars import WITH_PLAN, YearBar, year_lines

YEARS = 10
WEIGHING = "Weighing every purchase for the plan: this takes some seconds, once."
BAR = re.compile("([█-▏]+)")
MOVES = "+ and - move the budget, u changes between money and lost days."


class YearsView(View):
    """Bars by year."""

    NAME: ClassVar = "Exposure by year"
    IDLE: ClassVar = (OPEN_DRAWN,)
    DEFAULT_CSS = "YearsView LinesPanel { height: 1fr; max-height: 100%; }"

    def __init__(self, page: Page, site: Site) -> None:
        super().__init__(page, site)
        self._unit = "money"
        self._answer: ForecastAnswer | None = None
        self._step = 0.0
        self._budget: float | None = None
        self._turn = Lock()

    def compose(self) -> ComposeResult:
        """Lay out the sentence and the bars."""
        yield self._sentence
        panel = LinesPanel()
        panel.can_focus = True
        yield panel

    def load(self) -> None:
        """Ask for the years as they are, then for the plan."""
        self.query_one(LinesPanel).focus()
        if self._step:
            self._ask_for_budget()
        else:
            self._on.ask(lambda: self._site.forecast(YEARS), self._begin)

    def _begin(self, answer: ForecastAnswer) -> None:
        """Draw the years as they are, and ask what money could do at all."""
        self._show(answer)
        self.say((WEIGHING, STRONG))
        self._on.ask(lambda: self._site.plan(inf), self._take_budget)

    def _take_budget(self, everything: PlanAnswer) -> None:
        """Begin with the budget at the knee, or with all where there is none."""
        self._step = amounts.round_step(everything.spent)
        knee = 0.0 if everything.knee is None else everything.knee.cost
        self._budget = knee or everything.spent
        self._ask_for_budget()

    def _ask_for_budget(self) -> None:
        budget = self._budget
        self.say((f"A budget of {self._money(budget)}: reckoning its years ...", STRONG))

        def in_turn() -> ForecastAnswer | None:
            """Reckon once what was asked before is done, and only for the budget that stands."""
            with self._turn:
                return self._site.forecast(YEARS, budget) if budget == self._budget else None

        self._on.ask(in_turn, self._show)

    def _show(self, answer: ForecastAnswer | None) -> None:
        if answer is None:
            return
        self._answer = answer
        if answer.plan is not None:
            self._tell(answer.plan, answer.years[0])
        self.query_one(LinesPanel).show(self._lines)

    def _tell(self, plan: PlanAnswer, first: ForecastYear) -> None:
        """Say what the plan spends, and what that does to the year that begins today."""
        spends = f"Of {self._money(plan.budget)} the plan spends {self._money(plan.spent)}: "
        after, before = self._money(first.plan_exposure_cost), self._money(first.exposure_cost)
        self.say((f"{spends}the first year takes {after} instead of {before}.", STRONG))

    def _lines(self, width: int) -> Sequence[Content]:
        if self._answer is None:
            return ()
        written = figure if self._unit == "money" else days_figure
        unit = self._site.currency or "(currency not set)" if self._unit == "money" else "lost days"
        title = f"A year's exposure in {unit}, twelve months each:"
        drawn = year_lines([self._bar(year) for year in self._answer.years], width, written)
        found = [said((title, STRONG)), said((drawn[0], QUIET))]
        found += [*(inked(line, drawn[0].find(WITH_PLAN)) for line in drawn[1:]), said()]
        found += [said((f"{note[:1].upper()}{note[1:]}.", QUIET)) for note in self._answer.notes]
        return [*found, said((MOVES, QUIET))]

    def _bar(self, year: ForecastYear) -> YearBar:
        label = formats.day(year.starts_on)
        if self._unit == "money":
            return YearBar(label, year.exposure_cost, year.plan_exposure_cost)
        return YearBar(label, year.exposure_days, year.plan_exposure_days)

    def _money(self, value: float | None) -> str:
        return formats.money(value, self._site.currency)

    def turn_unit(self) -> str:
        """Change between money and days."""
        self._unit = "days" if self._unit == "money" else "money"
        self.query_one(LinesPanel).show(self._lines)
        return ""

    def step(self, up: bool) -> str:
        """Raise or lower the budget to the next round one."""
        if not self._step or self._budget is None:
            return WEIGHING
        self._budget = amounts.stepped(self._budget, self._step, up)
        self._ask_for_budget()
        return ""

    def open_item(self) -> str:
        """Say where the plan is."""
        return "Press b for the lines of the plan."


def inked(line: str, planned_at: int) -> Content:
    """Return the line of a year, its bars in colour: as is, and from a cell on with the plan."""

    def pieces() -> Iterator[tuple[str, str]]:
        done = 0
        for piece in BAR.split(line):
            is_planned = 0 <= planned_at <= done
            ink = "$text-success" if is_planned else "$text-warning"
            yield piece, ink if BAR.fullmatch(piece) else ""
            done += len(piece)

    return said(*pieces())
