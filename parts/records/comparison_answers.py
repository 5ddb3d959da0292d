"""The answer to upgrades against spares: what each choice costs the site over so many years.

Money is in the site's currency; what falls due later is discounted to today. None = not known, or
not asked for. A comparison of money only: nothing here says that a worn part may stay in.
"""

from __future__ import annotations

from dataclasses import dataclass

from parts.records.plan_answers import PlanLine

AS_IS, SPARES, UPGRADE, COMBINATION = "as_is", "spares", "upgrade", "combination"
JOINED_BY = "+"


@dataclass(frozen=True, slots=True)
class ComparedOption:
    """One choice, over all years.

    `capital` is what it takes of the budget: the first purchase of its upgrades and its spares.
    `exposure_cost_per_year` is the exposure once all has arrived. `npv_cost` is the sum of the four
    that start with `npv_`: exposure, purchases (bought again too), days down for fitting, and
    keeping the spares. `rate_of_return` is the rate at which it costs as much as leaving all as it
    is. `lines` are the spares; `notes` what had to be taken for granted.
    """

    option: str
    kind: str
    upgrades: tuple[str, ...]
    with_spares: bool
    title: str
    capital: float | None
    exposure_cost_per_year: float
    npv_cost: float | None
    equal_annual_cost: float | None
    npv_exposure: float | None = None
    npv_purchases: float | None = None
    npv_down: float | None = None
    npv_keeping: float | None = None
    rate_of_return: float | None = None
    within_budget: bool = True
    lines: tuple[PlanLine, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def members(self) -> tuple[str, ...]:
        """What it consists of: upgrades, spares, or leaving all as it is."""
        return (*self.upgrades, *([SPARES] if self.with_spares else [])) or (AS_IS,)


@dataclass(frozen=True, slots=True)
class ComparisonAnswer:
    """All choices, as things are first, the others by what they cost; `chosen` joined is the name
    of the one that costs least within the budget."""

    years: int
    years_assumed: bool
    discount_rate: float
    budget: float | None
    options: tuple[ComparedOption, ...]
    chosen: tuple[str, ...]
    spent: float
    npv_cost: float
    method: str
    notes: tuple[str, ...] = ()

    @property
    def choice(self) -> ComparedOption:
        """The option that is chosen."""
        return next(each for each in self.options if each.members == self.chosen)

    @property
    def as_is(self) -> ComparedOption:
        """Leaving all as it is."""
        return next(each for each in self.options if each.kind == AS_IS)
