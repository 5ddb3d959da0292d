"""One choice weighed: its exposure year by year, its purchases, its days down, its upkeep.

The exposure of a year falls due at its end; it is that of what has arrived so far, by days. A
project is paid for, and stops its cranes, when it is fitted; spares are paid today and kept at each
year's end. Nothing has any worth at the end. Knows no other choice, except leaving all as it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import inf

from parts.calc.comparing.present_worth import (
    Flow,
    equal_annual_cost,
    internal_rate_of_return,
    net_present_value,
    yearly,
)
from parts.calc.comparing.projects import Project, in_order_of_arrival
from parts.calc.comparing.refits import Refits
from parts.records.comparison_answers import (
    AS_IS,
    COMBINATION,
    JOINED_BY,
    SPARES,
    UPGRADE,
    ComparedOption,
)
from parts.records.plan_answers import HEAD_START, PlanAnswer

Projects = tuple[Project, ...]


@dataclass(frozen=True, slots=True)
class CashFlows:
    """What a choice costs, in years from today, by what for."""

    exposure: list[Flow]
    purchases: list[Flow]
    down: list[Flow]
    keeping: list[Flow]


def yearly_costs(stages: Sequence[Flow], years: int) -> list[float]:
    """What each year costs by stages of (start in years, cost a year), in order, the first at 0;
    a year in which a stage starts is split by days."""
    ends = [start for start, _ in stages[1:]] + [inf]
    return [
        sum(
            cost * max(0.0, min(end, year + 1.0) - max(start, float(year)))
            for (start, cost), end in zip(stages, ends, strict=True)
        )
        for year in range(years)
    ]


@dataclass(frozen=True)
class Weighing:
    """Weighs choices over so many years, at the site's rate."""

    refits: Refits
    years: int

    @property
    def rate(self) -> float:
        return self.refits.now.snapshot.site.discount_rate

    def upkeep(self, plan: PlanAnswer) -> float:
        """What keeping the spares of a plan costs a year: holding beyond the interest, which
        discounting already counts, renewing what passes its shelf life, and care."""
        interest = min(self.rate, self.refits.now.snapshot.site.holding_rate)
        kept = (line.unit_price * line.qty for line in plan.lines if line.action != HEAD_START)
        return plan.yearly - interest * sum(kept)

    def option(self, projects: Projects, plan: PlanAnswer | None, budget: float) -> ComparedOption:
        """Some projects, by name, and the spares of a plan beside them if there is one."""
        names = tuple(each.name for each in projects)
        prices = [each.cost for each in projects if each.cost is not None]
        is_priced = len(prices) == len(projects)
        capital = sum(prices) + (0.0 if plan is None else plan.spent) if is_priced else None
        stages = list(self._stages(projects, plan))
        found = ComparedOption(
            option=JOINED_BY.join([*names, *([] if plan is None else [SPARES])]) or AS_IS,
            kind=kind_of(names, plan is not None),
            upgrades=names,
            with_spares=plan is not None,
            title="; ".join(_titles(projects, plan)),
            capital=capital,
            exposure_cost_per_year=stages[-1][1],
            npv_cost=None,
            equal_annual_cost=None,
            within_budget=capital is not None and capital <= budget,
            lines=() if plan is None else plan.lines,
            notes=tuple(self._notes(projects)),
        )
        if capital is None:
            return found
        return self._weighed(found, self._flows(projects, plan, stages))

    def _weighed(self, option: ComparedOption, flows: CashFlows) -> ComparedOption:
        exposure, purchases, down, keeping = (
            net_present_value(each, self.rate)
            for each in (flows.exposure, flows.purchases, flows.down, flows.keeping)
        )
        cost = exposure + purchases + down + keeping
        return replace(
            option,
            npv_cost=cost,
            equal_annual_cost=equal_annual_cost(cost, self.years, self.rate),
            npv_exposure=exposure,
            npv_purchases=purchases,
            npv_down=down,
            npv_keeping=keeping,
            rate_of_return=self._rate_of_return(flows),
        )

    def _stages(self, projects: Projects, plan: PlanAnswer | None) -> Iterator[Flow]:
        """When each project arrives, and what a year costs from then on."""
        arrived = list[Project]()
        yield 0.0, self._exposure((), plan)
        for each in in_order_of_arrival(projects):
            arrived.append(each)
            yield each.arrives_years, self._exposure(tuple(arrived), plan)

    def _exposure(self, arrived: Projects, plan: PlanAnswer | None) -> float:
        if plan is None or not plan.lines:
            return self.refits.state(arrived).cost_per_year
        return self.refits.with_spares(arrived, plan)

    def _flows(
        self, projects: Projects, plan: PlanAnswer | None, stages: Sequence[Flow]
    ) -> CashFlows:
        spent, kept = (0.0, 0.0) if plan is None else (plan.spent, self.upkeep(plan))
        return CashFlows(
            exposure=yearly(yearly_costs(stages, self.years)),
            purchases=[
                (0.0, spent),
                *(flow for each in projects for flow in each.purchases(self.years)),
            ],
            down=[flow for each in projects for flow in each.days_down(self.years)],
            keeping=yearly([kept] * self.years),
        )

    def _rate_of_return(self, flows: CashFlows) -> float | None:
        """Of what is paid, against what it takes off the exposure of today."""
        as_is = yearly([self.refits.state(()).cost_per_year] * self.years)
        saved = [(at, before - after) for (at, before), (_, after)
                 in zip(as_is, flows.exposure, strict=True)]  # fmt: skip
        paid = [(at, -cost) for at, cost in (*flows.purchases, *flows.down, *flows.keeping)]
        return internal_rate_of_return([*paid, *saved])

    def _notes(self, projects: Projects) -> Iterator[str]:
        for each in projects:
            yield from each.notes
        known_today = self.refits.state(projects).unknown - self.refits.state(()).unknown
        if known_today:
            yield (
                "failures or restoring are not known once it is fitted, so nothing is counted: "
                + ", ".join(sorted(known_today))
            )


def _titles(projects: Projects, plan: PlanAnswer | None) -> Iterator[str]:
    yield from (each.upgrade.title or each.name for each in projects)
    if projects and plan is not None:
        yield SPARES


def kind_of(upgrades: tuple[str, ...], with_spares: bool) -> str:
    """What a choice consists of, in one word."""
    if not upgrades:
        return SPARES if with_spares else AS_IS
    return COMBINATION if with_spares or len(upgrades) > 1 else UPGRADE
