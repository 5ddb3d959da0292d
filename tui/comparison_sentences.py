"""Upgrades against spares as sentences: the choice, what it is made of, what was taken for granted.

Knows those answers and how somebody who asks for the money would say them; refuses to know widgets.
"""

from __future__ import annotations

from collections.abc import Iterator

from parts.records.comparison_answers import AS_IS, SPARES, ComparedOption, ComparisonAnswer
from tui import formats

AS_THINGS_ARE, SPARES_ONLY = "leave all as it is", "spares for all of the money"
HIGH_RETURN = 10.0
"""Beyond this a rate tells no more than that it is high."""


def name_of(option: ComparedOption) -> str:
    """Return what a choice is called in the table."""
    return {AS_IS: "as it is", SPARES: "spares"}.get(option.kind, " + ".join(option.members))


def what_of(option: ComparedOption) -> str:
    """Return what is done."""
    return option.title or {AS_IS: AS_THINGS_ARE}.get(option.kind, SPARES_ONLY)


def choice_sentence(answer: ComparisonAnswer, currency: str | None) -> str:
    """Return which choice costs least, and what it costs beside leaving all as it is."""
    chosen, as_is = answer.choice, answer.as_is
    within = "" if answer.budget is None else f" within {formats.money(answer.budget, currency)}"
    over = f"Over {formats.count(answer.years, 'year')} at {formats.share(answer.discount_rate)}"
    left = formats.money(as_is.equal_annual_cost, currency)
    if not any(each.upgrades for each in answer.options):
        over = f"No upgrade is recorded. {over}"
    if chosen.kind == AS_IS:
        return f"{over}, nothing{within} costs less than leaving all as it is: {left} a year."
    return (
        f"{over}, what costs least{within} is {name_of(chosen)}: "
        f"{formats.money(chosen.equal_annual_cost, currency)} a year instead of {left}. "
        f"It takes {formats.money(answer.spent, currency)} now."
    )


def option_sentences(
    option: ComparedOption, answer: ComparisonAnswer, currency: str | None
) -> Iterator[str]:
    """Return what makes up the cost of a choice, the first sentence being what it is."""
    within = "" if option.within_budget or option.capital is None else ", over the budget"
    yield f"{name_of(option)}: {what_of(option)}{within}"
    if option.npv_cost is not None:
        yield (
            f"In today's money, over {formats.count(answer.years, 'year')}: "
            f"{formats.money(option.npv_exposure, currency)} for outages"
            + "".join(
                f", {formats.money(figure, currency)} for {what}"
                for figure, what in (
                    (option.npv_purchases, "purchases"),
                    (option.npv_down, "days down for fitting"),
                    (option.npv_keeping, "keeping the spares"),
                )
                if figure
            )
            + "."
        )
    if option.lines:
        units = [f"{line.qty} {line.part}" if line.operation is None else
                 f"{line.operation} of {line.part} ahead" for line in option.lines]  # fmt: skip
        yield f"Spares, in order of purchase: {', '.join(units)}."
    yield from (f"{note[:1].upper()}{note[1:]}." for note in option.notes)


def how_compared(answer: ComparisonAnswer) -> Iterator[str]:
    """Return how the choices were found, and what the figures leave out."""
    yield f"{answer.method[:1].upper()}{answer.method[1:]}."
    yield from (f"{note[:1].upper()}{note[1:]}." for note in answer.notes)


def return_of(option: ComparedOption) -> str:
    """Return the rate of return of a choice, short."""
    rate = option.rate_of_return
    if rate is None:
        return "-"
    return f"> {HIGH_RETURN * 100:.0f} %" if rate > HIGH_RETURN else f"{rate * 100:.0f} %"
