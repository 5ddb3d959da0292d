"""Upgrades against spares, as a JSON document and as lines of text."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from parts.cli.plan_tables import lines_document, lines_to_order
from parts.cli.tables import CAUTION, money, table
from parts.records.comparison_answers import AS_IS, SPARES, ComparedOption, ComparisonAnswer

Document = dict[str, Any]
WITHOUT_UPGRADES = {AS_IS: "leave all as it is", SPARES: "spares for all of the money"}
MOST_RETURN = 10.0  # beyond it a rate tells no more than that it is high


def document(answer: ComparisonAnswer) -> Document:
    options = [asdict(each) | {"lines": lines_document(each.lines)} for each in answer.options]
    return asdict(answer) | {"options": options}


def lines(
    answer: ComparisonAnswer, currency: str | None = None, first: int | None = None
) -> list[str]:
    """Which choice costs least, what the others cost, and what to order for it."""
    header = ("option", "takes now", "exposure a year", "cost in all", "the same each year",
              "return", "what")  # fmt: skip
    shown = answer.options[:first]
    found = [*_summary(answer, currency), ""]
    found += [f"All choices (money in {currency or 'the site currency'}, discounted to today):"]
    found += table(header, (_row(each) for each in shown), "lrrrrrl")
    if len(answer.options) > len(shown):
        found.append(f"... and {len(answer.options) - len(shown)} more (--all shows them)")
    if answer.choice.lines:
        found += ["", *lines_to_order(answer.choice.lines, currency)]
    found += [""]
    found += [f"note: {note}" for note in _once((*_notes_of(shown), *answer.notes))]
    return [*found, f"Method: {answer.method}.", "", CAUTION]


def _summary(answer: ComparisonAnswer, currency: str | None) -> list[str]:
    chosen, as_is = answer.choice, answer.as_is
    within = "" if answer.budget is None else f" within {money(answer.budget, currency)}"
    whose = " (the site's horizon)" if answer.years_assumed else ""
    head = f"Over {answer.years} years{whose} at {answer.discount_rate * 100:.1f} % a year"
    left = f"{money(as_is.npv_cost, currency)}, {money(as_is.equal_annual_cost)} a year"
    if chosen.kind == AS_IS:
        return [f"{head}, nothing{within} costs less than leaving all as it is: {left}."]
    return [
        f"{head}, the choice that costs least{within} is {chosen.option}: "
        f"{money(chosen.npv_cost, currency)} in all, {money(chosen.equal_annual_cost)} a year, "
        f"{money(answer.spent)} of it now. Leaving all as it is costs {left}."
    ]


def _row(each: ComparedOption) -> tuple[str, ...]:
    over = "" if each.within_budget or each.capital is None else "over the budget: "
    return (
        each.option,
        money(each.capital),
        money(each.exposure_cost_per_year),
        money(each.npv_cost),
        money(each.equal_annual_cost),
        _return(each.rate_of_return),
        over + (each.title or WITHOUT_UPGRADES[each.kind]),
    )


def _return(rate: float | None) -> str:
    if rate is None:
        return "none"
    return f"over {MOST_RETURN * 100:.0f} %" if rate > MOST_RETURN else f"{rate * 100:.1f} %"


def _notes_of(options: Iterable[ComparedOption]) -> Iterable[str]:
    return (note for each in options for note in each.notes)


def _once(notes: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(notes))
