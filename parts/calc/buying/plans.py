"""The plan for a budget: spares, head starts and last-time buys that leave least exposure.

Chosen by money of exposure a year and what keeping the purchases costs a year, within the purchase
money. The options of a site are weighed once; then each budget is quick. Every figure of a plan is
that of a full reckoning of its lines.
"""

from __future__ import annotations

from functools import cached_property
from math import ceil, inf

import numpy as np

from parts.calc.buying.frontier import budget_for_days, frontier, knee
from parts.calc.buying.large_groups import LargeGroup
from parts.calc.buying.plan_grouping import groups_of
from parts.calc.buying.plan_lines import lines_of
from parts.calc.buying.plan_options import Option, Options
from parts.calc.buying.plan_pricing import Pricing
from parts.calc.buying.plan_savings import shared_out
from parts.calc.buying.plan_search import Chosen, best, marginal
from parts.calc.buying.plan_terms import PlanTerms
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.ranking.exposures import Exposures
from parts.records.plan_answers import FrontierPoint, PlanAnswer, PlanLine, Priced

# groups of more parts are walked through once, on held demand
LARGE = 150
# of the exposure; a share below it is rounding
NEGLIGIBLE = 1e-9
STEADY_NOTE = (
    "steady state: a spare protects only once it has come; see the forecast for the years between"
)


class Plans:
    """The plans of one site on one day."""

    def __init__(self, exposed: Exposures) -> None:
        self.exposed = exposed
        self.snapshot = exposed.snapshot
        self.terms = PlanTerms(exposed)
        self.pricing = Pricing(self.terms)

    @cached_property
    def options(self) -> list[Options | LargeGroup]:
        """The options of each group in which something can be bought."""
        found = [
            LargeGroup(group, self.pricing.before) if len(group.waiting) > LARGE else Options(group)
            for group in groups_of(self.pricing)
        ]
        return [each for each in found if each.buyables]

    @cached_property
    def _efficient(self) -> list[tuple[Option, ...]]:
        return [each.efficient for each in self.options]

    @cached_property
    def before(self) -> Priced:
        return self.pricing.price([])

    @cached_property
    def _rest(self) -> tuple[float, float]:
        """Lost days and money that no purchase of any group changes."""
        nothing = [options.nothing for options in self.options]
        days = self.before.exposure_days - sum(option.days for option in nothing)
        return days, self.before.exposure_cost - sum(option.money for option in nothing)

    def chosen(self, budget: float) -> Chosen:
        return best(self._efficient, budget) if self._efficient else Chosen((), 0.0)

    def plan(self, budget: float) -> PlanAnswer:
        """The plan within a budget, in the site's currency.

        Raises ValueError for a budget below 0 or none at all.
        """
        if not budget >= 0.0:
            raise ValueError(f"a budget is 0 or more, not {budget}")
        chosen = self.chosen(budget)
        lines, after = self._lines(chosen)
        points = self._frontier(FrontierPoint(after.cost, after.exposure_days, after.exposure_cost))
        return PlanAnswer(
            budget=budget,
            spent=after.cost,
            lines=lines,
            unpriced=self.unpriced,
            exposure_before=self.before.exposure_cost,
            exposure_after=after.exposure_cost,
            exposure_days_before=self.before.exposure_days,
            exposure_days_after=after.exposure_days,
            yearly=after.yearly,
            frontier=points,
            knee=knee(points),
            method=self._method(chosen),
            gap=self._gap(budget, chosen),
            unproven=self._share(chosen.unproven, chosen),
            reason="" if lines else self._why_nothing(),
            notes=self._notes(lines),
        )

    def _lines(self, chosen: Chosen) -> tuple[tuple[PlanLine, ...], Priced]:
        """The lines of a choice, and what a full reckoning of them leaves.

        What lines of large groups save is brought in line with that reckoning.
        """
        pairs = zip(self.options, chosen.options, strict=True)
        groups = [each.savings(option) for each, option in pairs]
        after = self.pricing.price(saving.purchase for group in groups for saving in group)
        held = [group for each, group in zip(self.options, groups, strict=True)
                if isinstance(each, LargeGroup)]  # fmt: skip
        saved = [saving for group in groups for saving in group]
        days = self.before.exposure_days - after.exposure_days - sum(each.days for each in saved)
        money = self.before.exposure_cost - after.exposure_cost - sum(each.money for each in saved)
        shared_out(held, days, money)
        return lines_of(self.terms, groups), after

    def for_lost_days(self, lost_days: float) -> PlanAnswer | None:
        """The least plan on the frontier that leaves no more lost days a year."""
        everything = self.plan(inf)
        budget = budget_for_days(everything.frontier, lost_days)
        return None if budget is None else self.plan(budget)

    def for_share(self, lost_share: float) -> PlanAnswer | None:
        """As by lost days, as a share of the time of all live cranes."""
        live = sum(map(self.snapshot.is_live, self.snapshot.cranes))
        return self.for_lost_days(lost_share * live * DAYS_A_YEAR)

    def _frontier(self, chosen: FrontierPoint) -> tuple[FrontierPoint, ...]:
        first = [options[0] for options in self._efficient]
        start = FrontierPoint(
            sum(option.cost for option in first),
            self._rest[0] + sum(option.days for option in first),
            self._rest[1] + sum(option.money for option in first),
        )
        return tuple(frontier(self._efficient, start, chosen))

    def _gap(self, budget: float, chosen: Chosen) -> float:
        by_steps = marginal(self._efficient, budget).money
        return self._share(by_steps - chosen.money, chosen)

    def _share(self, money: float, chosen: Chosen) -> float:
        """Money a year as a share of the exposure that a choice leaves."""
        left = chosen.money + self._rest[1]
        share = money / left if left > 0.0 else 0.0
        return share if abs(share) > NEGLIGIBLE else 0.0

    def _method(self, chosen: Chosen) -> str:
        large = sum(not each.is_exact for each in self.options)
        small = len(self.options) - large
        words = [f"{small} groups of parts weighed in every combination"] if small else []
        if large:
            words.append(f"{large} large groups by marginal analysis with sets as sets")
        words.append(f"chosen between groups by mixed-integer programme, {self._proof(chosen)}")
        return "; ".join(words) if self.options else "nothing to choose from"

    def _proof(self, chosen: Chosen) -> str:
        share = self._share(chosen.unproven, chosen)
        if share == 0.0:
            return "proven the best"
        return f"proven within {ceil(share * 1e4) / 100:.2f} % of the best"

    @cached_property
    def unpriced(self) -> tuple[str, ...]:
        """Parts in use on live cranes, or taken along by those, without an offer at a price."""
        used = set(self.exposed.fleet.live_parts)
        waiting = list(used)
        while waiting:
            more = set(self.pricing.sets.companions(waiting.pop())) - used
            used |= more
            waiting += more
        return tuple(sorted(part for part in used if self.terms.price(part) is None))

    def _why_nothing(self) -> str:
        """Why there is no line, and what would change that."""
        failing = np.nan_to_num(self.exposed.likelihood.failures_next_year) > 0.0
        if not failing.any():
            return "no failure is expected anywhere: give parts or classes a failure rate or a life"
        if not self.exposed.money_per_lost_day[failing].any():
            return "no live crane has a cost a day: give cranes their down_cost_per_day"
        if self.before.exposure_cost <= 0.0:
            return "nothing to gain: no failure costs anything that is known"
        costs = [options[1].cost for options in self._efficient if len(options) > 1]
        if not costs:
            return "nothing to gain: no purchase at a known price saves more than it costs to keep"
        return f"the budget is too small: the cheapest purchase worth making costs {min(costs):.2f}"

    def _notes(self, lines: tuple[PlanLine, ...]) -> tuple[str, ...]:
        notes = [STEADY_NOTE] if lines else []
        if last := self.terms.fixed:
            _, in_risks = self.pricing.exposure(self.exposed.long_run)
            notes.append(
                f"before is {self.before.exposure_cost:,.0f} here, {in_risks:,.0f} among risks: "
                f"the stock of {', '.join(last)} is fixed here, as it can soon no longer be bought"
            )
        return tuple(notes)
