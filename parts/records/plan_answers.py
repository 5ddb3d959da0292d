"""The answers on what to buy: a plan, the money it takes and what it saves; and coming years.

Money is in the site's currency, days lost and exposures are a year's; None = not known or not
asked for. Nothing here says that a worn part may stay in.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass

SPARE, HEAD_START, LAST_BUY = "spare", "head_start", "last_buy"


@dataclass(frozen=True, slots=True)
class Purchase:
    """What one line of a plan buys, without price or reason.

    A spare or a last buy: `qty` units of the part. A head start: an operation of a route, with
    all before it that is not done; `part` is then the part that is made by the route.
    """

    part: str
    action: str
    qty: int = 1
    route: str | None = None
    operation: str | None = None


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One line to order, in order of purchase.

    `saves_days` and `saves_cost` are what it takes off the exposure on top of the lines above it;
    `yearly` is what keeping it costs a year.
    """

    part: str
    action: str
    qty: int
    unit_price: float
    cost: float
    order_by: datetime.date | None
    saves_days: float
    saves_cost: float
    supplier: str | None
    route: str | None
    operation: str | None
    yearly: float = 0.0

    @property
    def purchase(self) -> Purchase:
        return Purchase(self.part, self.action, self.qty, self.route, self.operation)


@dataclass(frozen=True, slots=True)
class FrontierPoint:
    """What so much money, spent best, leaves of the exposure."""

    cost: float
    exposure_days: float
    exposure_cost: float


@dataclass(frozen=True, slots=True)
class Priced:
    """Any plan as the formulas weigh it: purchase money, exposure, and keeping it for a year.

    `unpriced` are parts and operations of the plan that nobody offers at a price; they count in
    the exposure and not in the money.
    """

    cost: float
    exposure_days: float
    exposure_cost: float
    yearly: float
    unpriced: tuple[str, ...] = ()

    @property
    def objective(self) -> float:
        """What a plan is chosen by: exposure and keeping, money a year."""
        return self.exposure_cost + self.yearly


@dataclass(frozen=True, slots=True)
class PlanAnswer:
    """The plan for a budget.

    `unpriced` are parts in use that cannot be bought at a known price. `gap` = how much more
    exposure marginal analysis alone would leave at this budget, as a share; `unproven` = how much
    less another choice among the purchases weighed may leave at most, as a share, 0 = none leaves
    less.
    `reason` says why there is no line; `knee` is the point of the frontier beyond which money does
    least for most; `notes` say what the figures leave out.
    """

    budget: float
    spent: float
    lines: tuple[PlanLine, ...]
    unpriced: tuple[str, ...]
    exposure_before: float
    exposure_after: float
    exposure_days_before: float
    exposure_days_after: float
    yearly: float
    frontier: tuple[FrontierPoint, ...]
    knee: FrontierPoint | None
    method: str
    gap: float
    unproven: float = 0.0
    reason: str = ""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ForecastYear:
    """One year from today's date on, as is and with the plan; None = no plan asked for."""

    year: int
    starts_on: datetime.date
    exposure_days: float
    exposure_cost: float
    plan_exposure_days: float | None
    plan_exposure_cost: float | None


@dataclass(frozen=True, slots=True)
class ForecastAnswer:
    years: tuple[ForecastYear, ...]
    plan: PlanAnswer | None
    notes: tuple[str, ...] = ()
