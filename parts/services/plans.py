"""What to buy for a budget, what any plan would leave, and the years to come with and without it.

The options of a site are weighed once, in `planner`; each budget after that is quick.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from parts.records.plan_answers import ForecastAnswer, PlanAnswer, Priced, Purchase
from parts.services.collector import collector_paused

if TYPE_CHECKING:
    from parts.calc.buying.plans import Plans
    from parts.calc.ranking.exposures import Exposures


def planner(exposed: Exposures) -> Plans:
    """The plans of a site, for asking with one budget after another."""
    from parts.calc.buying.plans import Plans

    return Plans(exposed)


def buy(exposed: Exposures, budget: float, plans: Plans | None = None) -> PlanAnswer:
    """The plan within a budget, in the site's currency; 0 or more.

    Raises ValueError for a budget below 0.
    """
    with collector_paused():
        return (plans or planner(exposed)).plan(budget)


def buy_for_lost_days(
    exposed: Exposures, lost_days: float, plans: Plans | None = None
) -> PlanAnswer | None:
    """The least plan on the frontier that leaves no more lost days a year; None = none does."""
    with collector_paused():
        return (plans or planner(exposed)).for_lost_days(lost_days)


def buy_for_share(
    exposed: Exposures, lost_share: float, plans: Plans | None = None
) -> PlanAnswer | None:
    """The least plan on the frontier that leaves no more than a share of all live cranes' time
    lost; None = none does."""
    with collector_paused():
        return (plans or planner(exposed)).for_share(lost_share)


def price(exposed: Exposures, purchases: Iterable[Purchase]) -> Priced:
    """What any list of purchases costs and leaves, also one edited by hand."""
    from parts.calc.buying.plan_pricing import price as weigh

    with collector_paused():
        return weigh(exposed, purchases)


def forecast(
    exposed: Exposures, years: int, budget: float | None = None, plans: Plans | None = None
) -> ForecastAnswer:
    """Exposure year by year, as is and with the plan of a budget.

    Raises ValueError for a number of years or a budget below 0, TooFarAhead for more years than
    can be told.
    """
    from parts.calc.buying.forecast import Forecast

    with collector_paused():
        plan = None if budget is None else buy(exposed, budget, plans)
        return Forecast(exposed, plan).answer(years)
