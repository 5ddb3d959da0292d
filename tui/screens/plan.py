"""What to buy for a budget that is typed: the lines, what they save, and more or less money.

Everything is weighed once, which takes some seconds; after that the plan follows the budget.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from math import inf
from typing import ClassVar

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from parts.records.plan_answers import FrontierPoint, PlanAnswer, PlanLine
from tui import actions, amounts, formats, words
from tui import plan_sentences as sentences
from tui.messages import OpenComparison, OpenPart
from tui.screens.typed import TypedPage
from tui.site import Site
from tui.widgets.amount_line import AmountLine
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.frontier import Spot, figure, frontier_lines
from tui.widgets.panel import Panel
from tui.widgets.texts import QUIET, STRONG, WARN, said

PlanField = Field[PlanLine]
WEIGHING = "Weighing every purchase: this takes some seconds, once. Esc goes back."
STEPPED = "type it, or + and -"
NO_LINES = "No line to order."


class PlanPanel(Panel):
    """The line under the cursor and the frontier, or how the plan was chosen."""

    DEFAULT_CSS = "PlanPanel { height: 45%; min-height: 9; max-height: 18; }"

    def __init__(self) -> None:
        super().__init__()
        self._plan: PlanAnswer | None = None
        self._line = ""
        self.tells_how = False

    def show_plan(self, plan: PlanAnswer) -> None:
        """Draw another plan."""
        self._plan = plan
        self.refresh()

    def show_line(self, sentence: str) -> None:
        """Tell about another line."""
        self._line = sentence
        self.refresh()

    def turn(self) -> None:
        """Change between the frontier and how the plan was chosen."""
        self.tells_how = not self.tells_how
        self.refresh()

    def drawn(self, width: int, height: int) -> Sequence[Content]:
        """Return what there is room for."""
        if self._plan is None or width < 1:
            return ()
        if self.tells_how:
            told = [said(text) for text in sentences.how_chosen(self._plan)]
            return [line for text in told for line in text.wrap(width)]
        head = list(said(self._line).wrap(width))[: max(0, height - 6)] if self._line else []
        return [*head, *self._frontier(self._plan, width, height - len(head))]

    def _frontier(self, plan: PlanAnswer, width: int, height: int) -> list[Content]:
        here = Spot(plan.spent, plan.exposure_after)
        knee = None if plan.knee is None else spot(plan.knee)
        lines = frontier_lines([spot(each) for each in plan.frontier], here, knee, width, height)
        return [said((line, "$text-primary" if "│" in line else STRONG)) for line in lines]


def spot(point: FrontierPoint) -> Spot:
    return Spot(point.cost, point.exposure_cost)


class PlanScreen(TypedPage[PlanLine]):
    """The plan for a budget."""

    ACTS: ClassVar = actions.PLAN
    WORDS: ClassVar = words.PLAN
    BINDINGS: ClassVar = actions.bindings(ACTS)

    def __init__(self, site: Site) -> None:
        super().__init__(("longpole", "plan"), f"as known on {site.snapshot.today}", _fields(site))
        self._site = site
        self._step = 0.0

    def line(self) -> AmountLine:
        """Return the budget."""
        return AmountLine("Budget", self._site.currency or "(currency not set)", "12000")

    def above(self) -> ComposeResult:
        """Return the room for what the plan comes to."""
        yield Static(said((WEIGHING, STRONG)), classes="line", id="answer")

    def panel(self) -> PlanPanel:
        """Return the room for the frontier."""
        return PlanPanel()

    @property
    def _budget(self) -> AmountLine:
        return self.query_one(AmountLine)

    def ask_again(self) -> None:
        """Ask for the plan of the budget, first of all for the one that buys everything."""
        if not self._step:
            self.ask_in_turn(lambda: self._site.plan(inf), self._begin)
            return
        typed = self._budget.typed
        self._budget.tell((typed.trouble, WARN) if typed.trouble else (STEPPED, QUIET))
        if typed.value is None:
            self._is_due = False
            return
        budget = typed.value
        self.ask_in_turn(lambda: self._site.plan(budget), self._show)

    def _begin(self, everything: PlanAnswer) -> None:
        """Begin at the knee, or with all where there is none; what was typed meanwhile stays."""
        self._step = amounts.round_step(everything.spent)
        if self.typed:
            self.ask_again()
        else:
            knee = 0.0 if everything.knee is None else everything.knee.cost
            self._budget.fill(knee or everything.spent)

    def _show(self, plan: PlanAnswer) -> None:
        sentence = sentences.plan_sentence(plan, self._site.currency)
        self.query_one("#answer", Static).update(said((sentence, STRONG)))
        self.query_one(PlanPanel).show_plan(plan)
        self._table.set_empty_text(NO_LINES)
        self.list_found(plan.lines)

    def refused(self, sentence: str) -> None:
        """Say why there is no plan, and take away the promise of one."""
        super().refused(sentence)
        self._table.set_empty_text("")
        self.query_one("#answer", Static).update(said(("No plan to show.", QUIET)))

    def tell(self, item: PlanLine | None) -> None:
        """Say what the line under the cursor is for."""
        row = None if item is None else self._site.snapshot.parts.get(item.part)
        description = (row.description or "") if row is not None else ""
        sentence = (
            "" if item is None
            else sentences.line_sentence(item, description, self._site.currency)
        )  # fmt: skip
        self.query_one(PlanPanel).show_line(sentence)

    def open_item(self, item: PlanLine) -> None:
        """Open the part of the line."""
        self.post_message(OpenPart(item.part))

    def action_step(self, up: bool) -> None:
        """Raise or lower the budget to the next round one."""
        value = self._budget.typed.value
        if self._step:
            self._budget.fill(amounts.stepped(value or 0.0, self._step, up))

    def action_compare(self) -> None:
        """Weigh upgrades against spares for the money that is typed, or whatever they cost."""
        budget = self._budget.typed.value
        if budget is not None or not self.typed:
            self.post_message(OpenComparison(budget))

    def action_how(self) -> None:
        """Change between the frontier and how the plan was chosen."""
        self.query_one(PlanPanel).turn()


def _fields(site: Site) -> tuple[PlanField, ...]:
    """Return the columns, those of money in the site's currency."""
    money = partial(formats.in_currency, currency=site.currency)
    return (
        PlanField(Column("Part", 12), lambda line: line.part, lambda _: "strong"),
        PlanField(Column("What", 8), lambda line: sentences.ACTIONS[line.action]),
        PlanField(Column("Qty", 4, "right"), lambda line: f"{line.qty:,}"),
        PlanField(Column("Each", 9, "right"), lambda line: figure(line.unit_price), from_width=94),
        PlanField(Column(money("Cost"), 9, "right"), lambda line: figure(line.cost)),
        PlanField(
            Column("Order by", 10),
            lambda line: "-" if line.order_by is None else formats.day(line.order_by),
        ),
        PlanField(Column("Saves days", 10, "right"), sentences.saves_days),
        PlanField(Column(money("Saves"), 10, "right"), lambda line: f"{line.saves_cost:,.0f}"),
        PlanField(Column("From", None, least=14), sentences.origin, from_width=106),
    )
