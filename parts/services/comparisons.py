"""Upgrades against spares over the years: which of them costs the site least."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from parts.records.comparison_answers import ComparisonAnswer
from parts.services.collector import collector_paused

if TYPE_CHECKING:
    from parts.calc.buying.plans import Plans
    from parts.calc.ranking.exposures import Exposures


def compare(
    exposed: Exposures,
    budget: float | None = None,
    years: int | None = None,
    plans: Plans | None = None,
    progress: Callable[[str], None] | None = None,
) -> ComparisonAnswer:
    """All choices within a budget, over so many years; the site's horizon, in whole years, where
    none are given. Without a budget upgrades may cost anything and no spares are planned.

    `plans` are those of the site, where they have been weighed already; `progress` is told what
    comes next, and what it raises ends the comparison.

    Raises TooManyYears, and ValueError for less than a year or for a budget below 0 or without end.
    """
    from parts.calc.comparing.comparison import MOST_YEARS, Comparison

    horizon = min(MOST_YEARS, max(1, round(exposed.snapshot.site.horizon_years)))
    with collector_paused():
        found = Comparison(exposed, horizon if years is None else years, budget, plans, progress)
        return found.answer(years_assumed=years is None)
