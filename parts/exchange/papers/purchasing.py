"""What purchasing hands over: days to order by, what to order, what is late, what to ask, the plan.

Figures are those of the answers; here they only find their columns.
"""

from __future__ import annotations

from collections.abc import Sequence

from parts.records.papers import Column, Paper, Row, known
from parts.records.plan_answers import HEAD_START, LAST_BUY, SPARE, PlanAnswer, PlanLine
from parts.records.purchase_answers import Deadline, Enquiry, LateOrder, ReorderLine

READER = "purchasing"
_ACTIONS = {SPARE: "spare", HEAD_START: "do ahead", LAST_BUY: "last buy"}


def deadlines_paper(found: Sequence[Deadline], cost: str) -> Paper:
    """Until when a part can still be ordered, and how many; `cost` heads a money column."""
    return Paper(
        reader=READER,
        title="Last days to order",
        says=("Days left below 0: that day has passed, ask the supplier today.",),
        columns=(
            *map(Column, ("part", "description", "supplier")), Column("order by", "day"),
            Column("days left", "whole"), Column("last buy", "day"), Column("last ship", "day"),
            Column("lead days", "days"), Column("buy", "whole"), Column(cost, "money"),
            Column("chance that it lasts", "share"), Column("why"), Column("record"),
        ),
        rows=tuple(
            (each.part, each.description, each.supplier or "nobody offers it",
             known(each.order_by), each.days_left, each.last_buy_on, each.last_ship_on,
             known(each.lead_days), each.quantity, known(each.cost), known(each.chance_enough),
             each.reason, each.record)
            for each in found
        ),
        nothing="No last day is known for any part that is still asked for.",
    )  # fmt: skip


def to_order_paper(reorder: Sequence[ReorderLine], cost: str) -> Paper:
    """The orders to place today."""
    return Paper(
        reader=READER,
        title="To order now",
        says=("What has fallen below its limit and can be had.",),
        columns=(
            *map(Column, ("part", "description")), Column("order now", "whole"), Column("from"),
            Column(cost, "money"), Column("lead days", "days"), Column("usable", "whole"),
            Column("on order", "whole"), Column("below", "whole"), Column("why"), Column("record"),
        ),
        rows=tuple(
            (each.part, each.description, each.order_now, each.supplier, known(each.cost),
             known(each.lead_days), each.usable, each.on_order, each.below, each.why, each.record)
            for each in reorder
            if each.order_now
        ),
        nothing="Nothing is to be ordered now.",
    )  # fmt: skip


def late_paper(found: Sequence[LateOrder]) -> Paper:
    """Open orders that are not coming as promised."""
    return Paper(
        reader=READER,
        title="Late orders",
        columns=(
            *map(Column, ("order", "part", "supplier")), Column("open", "whole"),
            Column("ordered", "day"), Column("promised", "day"), Column("days overdue", "whole"),
            Column("what"),
        ),
        rows=tuple(
            (each.order, each.part, each.supplier, each.open_qty, each.ordered_on, each.due_on,
             each.days_overdue, each.sentence)
            for each in found
        ),
        nothing="Every open order is coming as promised, as far as is known.",
    )  # fmt: skip


def enquiries_paper(found: Sequence[Enquiry]) -> Paper:
    """What to ask each supplier."""
    return Paper(
        reader=READER,
        title="Enquiries",
        columns=tuple(map(Column, ("supplier", "name", "part", "about", "what", "record"))),
        rows=tuple(
            (each.supplier, each.name, line.part, line.about, line.sentence, line.record)
            for each in found
            for line in each.lines
        ),
        nothing="There is nothing to ask any supplier.",
    )


def plan_paper(answer: PlanAnswer, currency: str | None, cost: str) -> Paper:
    """What to buy for the budget, in order of purchase."""
    head = (
        f"Of {answer.budget:,.2f}{f' {currency}' if currency else ''} the plan spends "
        f"{answer.spent:,.2f}. What a year may take falls from {answer.exposure_before:,.0f} to "
        f"{answer.exposure_after:,.0f} in money and from {answer.exposure_days_before:,.1f} to "
        f"{answer.exposure_days_after:,.1f} in lost days; keeping it costs {answer.yearly:,.0f} a "
        "year."
    )
    unpriced = f"Parts in use that nobody offers at a price: {len(answer.unpriced):,}."
    return Paper(
        reader=READER,
        title="Plan",
        says=(head, unpriced, f"Method: {answer.method}.", *map(_sentence, answer.notes)),
        columns=(
            Column("part"), Column("what"), Column("quantity", "whole"), Column("each", "price"),
            Column(cost, "price"), Column("order by", "day"), Column("saves days", "days"),
            Column("saves money", "money"), Column("from"),
        ),
        rows=tuple(map(_plan_row, answer.lines)),
        nothing=f"Nothing to buy: {answer.reason or 'nothing saves more than it costs'}.",
    )  # fmt: skip


def _plan_row(each: PlanLine) -> Row:
    origin = each.supplier or (f"{each.route}: {each.operation}" if each.route else "")
    return (each.part, _ACTIONS[each.action], each.qty, each.unit_price, each.cost, each.order_by,
            each.saves_days, each.saves_cost, origin)  # fmt: skip


def _sentence(note: str) -> str:
    return f"{note[:1].upper()}{note[1:]}."
