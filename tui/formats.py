"""Figures as a storeroom keeper would read them: days, shares, money, counts, with their units.

Knows numbers and words; refuses to know widgets, colours and where a figure comes from. What
nobody knows is written as that, never as nothing.
"""

from __future__ import annotations

from datetime import date

from tui.widgets.bars import days_text
from tui.widgets.frontier import figure

NOT_KNOWN = "not known"


def days(value: float | None) -> str:
    """Return days for a column: "77 d"."""
    return NOT_KNOWN if value is None else days_text(value)


def days_in_words(value: float) -> str:
    """Return days for a sentence: "77 days"."""
    figure = days_text(value).removesuffix(" d").replace("<", "less than ")
    return f"{figure} day" if figure == "1" else f"{figure} days"


def share(value: float) -> str:
    """Return a share of 1 as a percentage, never 0 for what is above 0."""
    percent = value * 100
    return "<0.1 %" if 0 < percent < 0.05 else f"{round(percent, 1):g} %"


def money(value: float | None, currency: str | None) -> str:
    """Return an amount with its currency, whole from 100 upwards."""
    if value is None:
        return NOT_KNOWN
    figure = f"{value:,.0f}" if value >= 100 or value == int(value) else f"{value:,.2f}"
    return f"{figure} {currency or '(currency not set)'}"


def amount(value: float | None) -> str:
    """Return money for a column whose title names the currency: whole, never 0 for more."""
    return NOT_KNOWN if value is None else figure(value)


def in_currency(title: str, currency: str | None) -> str:
    """Return the title of a column of money."""
    return f"{title}, {currency}" if currency else title


def count(number: int, noun: str) -> str:
    """Return a number with its noun, which takes a plain s."""
    return f"{number:,} {noun}" + ("" if number == 1 else "s")


def day(value: date | None) -> str:
    """Return a date as ISO 8601 writes it."""
    return NOT_KNOWN if value is None else value.isoformat()


def listed(names: tuple[str, ...] | list[str]) -> str:
    """Return names as a person would say them: "a, b and c"."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"
