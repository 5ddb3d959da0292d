"""The plan and the years to come, as JSON documents and as lines of text."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from parts.cli.tables import CAUTION, days, money, table
from parts.records.plan_answers import (
    ForecastAnswer,
    ForecastYear,
    FrontierPoint,
    PlanAnswer,
    PlanLine,
)

Document = dict[str, Any]
ACTIONS = {"spare": "spare", "head_start": "do ahead", "last_buy": "last buy"}
SHOWN_POINTS = 12


def buy_document(answer: PlanAnswer) -> Document:
    document = asdict(answer) | {"lines": lines_document(answer.lines)}
    return {name: list(value) if isinstance(value, tuple) else value
            for name, value in document.items()}  # fmt: skip


def lines_document(lines: Sequence[PlanLine]) -> list[Document]:
    """The lines of a plan with their dates as text."""
    dates = (None if each.order_by is None else each.order_by.isoformat() for each in lines)
    return [asdict(each) | {"order_by": day} for each, day in zip(lines, dates, strict=True)]


def buy_lines(
    answer: PlanAnswer, currency: str | None = None, first: int | None = None
) -> list[str]:
    """What to order in which order, what it saves, and what more or less money would leave."""
    lines = [_summary(answer, currency)]
    if answer.reason:
        lines.append(f"Nothing to buy: {answer.reason}.")
    if answer.lines:
        lines += ["", *lines_to_order(answer.lines[:first], currency)]
        if first is not None and len(answer.lines) > first:
            lines.append(f"... and {len(answer.lines) - first} more (--all shows them)")
    if len(answer.frontier) > 1:
        lines += ["", "What so much money, spent best, leaves a year:"]
        lines += table(("cost", "lost days", "exposure", ""), _points(answer), "rrrl")
    if answer.unpriced:
        lines += ["", f"Cannot be bought at a known price: {', '.join(answer.unpriced)}"]
    lines += [f"note: {note}" for note in answer.notes]
    lines += [
        f"Method: {answer.method}. "
        f"Marginal analysis alone would leave {answer.gap * 100:.2f} % more."
    ]
    return [*lines, "", CAUTION]


def lines_to_order(lines: Sequence[PlanLine], currency: str | None = None) -> list[str]:
    """The lines of a plan as a table."""
    header = ("part", "what", "qty", "each", "cost", "order by", "saves days", "saves", "from")
    head = f"In order of purchase (money in {currency or 'the site currency'}):"
    return [head, *table(header, map(_line, lines), "llrrrlrrl")]


def _summary(answer: PlanAnswer, currency: str | None) -> str:
    return (
        f"Of {money(answer.budget, currency)} the plan spends {money(answer.spent)}: exposure "
        f"falls from {money(answer.exposure_before)} to {money(answer.exposure_after)} a year, "
        f"lost days from {days(answer.exposure_days_before)} to "
        f"{days(answer.exposure_days_after)}; keeping it costs {money(answer.yearly)} a year."
    )


def _line(each: PlanLine) -> tuple[str, ...]:
    origin = each.supplier or (f"{each.route}: {each.operation}" if each.route else "")
    return (
        each.part,
        ACTIONS[each.action],
        str(each.qty),
        money(each.unit_price),
        money(each.cost),
        "" if each.order_by is None else each.order_by.isoformat(),
        days(each.saves_days),
        money(each.saves_cost),
        origin,
    )


def _points(answer: PlanAnswer) -> list[tuple[str, ...]]:
    """The frontier thinned to what can be read, with the plan and the knee marked."""
    points = answer.frontier
    every = max(1, -(-len(points) // SHOWN_POINTS))
    return [
        (money(each.cost), days(each.exposure_days), money(each.exposure_cost), _mark(each, answer))
        for at, each in enumerate(points)
        if at % every == 0 or at == len(points) - 1 or _mark(each, answer)
    ]


def _mark(point: FrontierPoint, answer: PlanAnswer) -> str:
    marks = []
    if (point.cost, point.exposure_cost) == (answer.spent, answer.exposure_after):
        marks.append("<- this plan")
    if point == answer.knee:
        marks.append("knee: beyond, money saves less than on average")
    return ", ".join(marks)


def forecast_document(answer: ForecastAnswer) -> Document:
    years = [asdict(each) | {"starts_on": each.starts_on.isoformat()} for each in answer.years]
    return {"years": years, "notes": list(answer.notes)}


def forecast_lines(answer: ForecastAnswer, currency: str | None = None) -> list[str]:
    """Exposure of each year, as is and with the plan."""
    if not answer.years:
        return ["No year asked for."]
    header = ["year", "from", "lost days", f"exposure {currency or ''}".strip()]
    if answer.plan is not None:
        header += ["with plan: lost days", "exposure"]
    lines = table(header, (_year(each, answer.plan is not None) for each in answer.years),
                  "rlrrrr")  # fmt: skip
    if answer.plan is not None:
        lines += ["", _summary(answer.plan, currency)]
    lines += [f"note: {note}" for note in answer.notes]
    return [*lines, "", CAUTION]


def _year(each: ForecastYear, with_plan: bool) -> list[str]:
    cells = [str(each.year), each.starts_on.isoformat(), days(each.exposure_days),
             money(each.exposure_cost)]  # fmt: skip
    if with_plan:
        cells += [days(each.plan_exposure_days), money(each.plan_exposure_cost)]
    return cells
