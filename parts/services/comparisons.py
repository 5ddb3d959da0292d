"""Upgrades against spares over the years: which of them costs the site least."""

from __future__ import annotations

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
) -> ComparisonAnswer:
    """All choices within a budget, over so many years; the site's horizon, in whole years, where
    none are given. Without a budget upgrades may cost anything and no spares are planned.

    Raises ValueError for less than a year, or a budget below 0 or without end.
    """
    from parts.calc.comparing.comparison import Comparison

    horizon = max(1, round(exposed.snapshot.site.horizon_years))
    with collector_paused():
        found = Comparison(exposed, horizon if years is None else years, budget, plans)
        return found.answer(years_assumed=years is None)
