"""The plan as sentences: what it spends and leaves, how it was chosen, what each line is for.

Knows those answers and how somebody in purchasing would say them; refuses to know widgets.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from parts.records.plan_answers import PlanAnswer, PlanLine
from tui import formats

ACTIONS = {"spare": "spare", "head_start": "do ahead", "last_buy": "last buy"}


def plan_sentence(plan: PlanAnswer, currency: str | None) -> str:
    """Return what is spent, what it changes, and what keeping it takes."""
    if not plan.lines:
        why = f" {plan.reason[:1].upper()}{plan.reason[1:]}." if plan.reason else ""
        left = formats.money(plan.exposure_before, currency)
        days = formats.days_in_words(plan.exposure_days_before)
        return f"This plan buys nothing.{why} A year's exposure stays {left} and {days} lost."
    of = "" if math.isinf(plan.budget) else f"Of {formats.money(plan.budget, currency)} "
    spends = f"{of}the plan spends {formats.money(plan.spent, currency)}"
    before, after = (
        formats.money(each, currency) for each in (plan.exposure_before, plan.exposure_after)
    )
    days_before = formats.days(plan.exposure_days_before).removesuffix(" d")
    days_after = formats.days_in_words(plan.exposure_days_after)
    return (
        f"{spends[:1].upper()}{spends[1:]}. A year's exposure falls from {before} to {after}, "
        f"from {days_before} to {days_after} lost; keeping it costs "
        f"{formats.money(plan.yearly, currency)} a year."
    )


def how_chosen(plan: PlanAnswer) -> Iterator[str]:
    """Return by which method the lines were chosen, and what the figures leave out."""
    yield f"{plan.method[:1].upper()}{plan.method[1:]}."
    if plan.gap > 0:
        yield (
            f"Buying step by step, the best next one each time, would leave {percent(plan.gap)} "
            "more of the exposure."
        )
    else:
        yield "Buying step by step, the best next one each time, would leave no more than this."
    for note in plan.notes:
        yield f"{note[:1].upper()}{note[1:]}."
    if plan.unpriced:
        yield f"Left out, as nobody offers them at a price: {', '.join(plan.unpriced)}."


def percent(share: float) -> str:
    """Return a share of 1 as a percentage, never 0 for what is above 0."""
    return "less than 0.01 %" if share < 0.0001 else f"{share * 100:.2f} %"


def saves_days(line: PlanLine) -> str:
    return formats.days(line.saves_days) if line.saves_days >= 0 else f"{line.saves_days:.1f} d"


def origin(line: PlanLine) -> str:
    """Return from whom a line is bought, or which work of a route is done ahead."""
    work = f"{line.route}: {line.operation}" if line.route else ""
    return " · ".join(text for text in (line.supplier, work) if text)


def line_sentence(line: PlanLine, description: str, currency: str | None) -> str:
    """Return what one line is and what it does."""
    if line.action == "head_start":
        what = f"Have {line.operation} of {line.part} done ahead"
    elif line.action == "last_buy":
        what = f"Take {formats.count(line.qty, 'unit')} of {line.part} while it can be bought"
    else:
        what = f"Keep {formats.count(line.qty, 'unit')} of {line.part} more"
    name = f" ({description})" if description else ""
    by = "" if line.order_by is None else f", order by {formats.day(line.order_by)}"
    source = f" from {line.supplier}" if line.supplier else ""
    return (
        f"{what}{name}{source}{by}. On top of the lines above, it takes {saves_days(line)} and "
        f"{formats.money(line.saves_cost, currency)} a year off; keeping it costs "
        f"{formats.money(line.yearly, currency)} a year."
    )
