"""Upgrades against spares under one budget: all choices, and the one that costs least.

The choices are: leave all as it is; each upgrade; upgrades together, unless two of them change one
position; and each of these with spares for what is left of the money. Without a budget no money is
left over and no spares are planned. The rules of a single choice stand in `weighing`.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from functools import cached_property
from math import inf, isfinite

from parts.calc.buying.plans import Plans
from parts.calc.comparing.combinations import Choosable, Together, combinations_within
from parts.calc.comparing.present_worth import annuity_factor
from parts.calc.comparing.projects import Project, projects_of
from parts.calc.comparing.refits import Progress, Refits
from parts.calc.comparing.weighing import Weighing
from parts.calc.likelihoods.years import years_between
from parts.calc.ranking.exposures import Exposures
from parts.errors import LongpoleError
from parts.records.comparison_answers import ComparedOption, ComparisonAnswer

# so many combinations are weighed in full, and spares are planned beside so many choices
MOST_COMBINATIONS = 40
MOST_PLANNED = 6
MOST_YEARS = 200
MOST_NAMED = 5
DECIMALS = 6  # of money by which two choices are told apart
STEADY_NOTE = (
    "each year's exposure is the coming year's, changed only by what arrives: ageing and ways that "
    "close are left out, the forecast shows them"
)
WORTH_NOTE = "nothing has any worth at the end of the years"
SPARES_NOTE = (
    "spares are paid today and taken to protect from today on; of holding them counts what goes "
    "beyond the interest, which discounting already counts"
)
NO_BUDGET_NOTE = "without a budget upgrades may cost anything, and no spares are planned"


class TooManyYears(LongpoleError):
    def __init__(self, years: int) -> None:
        super().__init__(f"{years} years cannot be compared; give 1 to {MOST_YEARS} years")


class Comparison:
    """The choices of one site on one day."""

    def __init__(
        self,
        exposed: Exposures,
        years: int,
        budget: float | None = None,
        plans: Plans | None = None,
        progress: Progress | None = None,
    ) -> None:
        """`plans` are those of the site as it is, where they have been weighed already; `progress`
        is told what comes next, what it raises ends the comparison.

        Raises TooManyYears, and ValueError for less than a year or for a budget below 0 or without
        end.
        """
        if years < 1:
            raise ValueError(f"a comparison takes 1 year or more, not {years}")
        if years > MOST_YEARS:
            raise TooManyYears(years)
        if budget is not None and not (budget >= 0.0 and isfinite(budget)):
            raise ValueError(f"a budget is 0 or more, not {budget}")
        self.snapshot = exposed.snapshot
        self.years = years
        self.budget = budget
        self.refits = Refits(exposed, plans, progress)
        self.weighing = Weighing(self.refits, years)
        self.projects = projects_of(self.snapshot, exposed.fleet)

    def answer(self, years_assumed: bool = False) -> ComparisonAnswer:
        """All choices and the one that costs least; `years_assumed` = nobody gave the years."""
        options = [*self._without_spares, *self._with_spares]
        chosen = min((each for each in options if each.within_budget), key=_by_cost)
        return ComparisonAnswer(
            years=self.years,
            years_assumed=years_assumed,
            discount_rate=self.weighing.rate,
            budget=self.budget,
            options=(options[0], *sorted(options[1:], key=_by_cost)),
            chosen=chosen.members,
            spent=chosen.capital or 0.0,
            npv_cost=chosen.npv_cost or 0.0,
            method="; ".join(self._method()),
            notes=tuple(self._notes()),
        )

    @property
    def _limit(self) -> float:
        return inf if self.budget is None else self.budget

    # Without spares -----------------------------------------------------------------------------

    @cached_property
    def _as_is(self) -> ComparedOption:
        return self.weighing.option((), None, self._limit)

    @cached_property
    def _singles(self) -> dict[str, ComparedOption]:
        return {each.name: self.weighing.option((each,), None, self._limit)
                for each in self.projects}  # fmt: skip

    @cached_property
    def _combinations(self) -> Together:
        priced = self._priced

        def saving(project: Project) -> float:
            return (self._as_is.npv_cost or 0.0) - (self._singles[project.name].npv_cost or 0.0)

        return combinations_within(
            [Choosable(each.cost or 0.0, saving(each)) for each in priced],
            lambda one, other: priced[one].excludes(priced[other]),
            self._limit,
            MOST_COMBINATIONS,
        )

    @cached_property
    def _priced(self) -> list[Project]:
        return [each for each in self.projects if each.cost is not None]

    @cached_property
    def _without_spares(self) -> list[ComparedOption]:
        together = [
            self.weighing.option(tuple(self._priced[at] for at in places), None, self._limit)
            for places in self._combinations.combinations
        ]
        return [self._as_is, *self._singles.values(), *together]

    # With spares --------------------------------------------------------------------------------

    @cached_property
    def _candidates(self) -> list[ComparedOption]:
        """What can be afforded beside leaving all as it is, the most promising first."""
        within = [each for each in self._without_spares[1:] if each.within_budget]
        return sorted(
            within,
            key=lambda each: ((each.npv_cost or 0.0) - self._likely_saving(each), each.option),
        )

    @cached_property
    def _with_spares(self) -> list[ComparedOption]:
        """The most promising choices once more, with spares for what is left of the money."""
        if self.budget is None:
            return []
        found = [self.weighing.option((), self.refits.plans(()).plan(self.budget), self.budget)]
        for option in self._candidates[: MOST_PLANNED - 1]:
            projects = tuple(each for each in self.projects if each.name in option.upgrades)
            plan = self.refits.plans(projects).plan(self._left(option))
            if plan.lines:
                found.append(self.weighing.option(projects, plan, self.budget))
        return found

    def _left(self, option: ComparedOption) -> float:
        return max(0.0, self._limit - (option.capital or 0.0))

    def _likely_saving(self, option: ComparedOption) -> float:
        """What spares for the money left would save if nothing else were done."""
        plan = self.refits.plans(()).plan(self._left(option))
        a_year = plan.exposure_before - plan.exposure_after - self.weighing.upkeep(plan)
        return a_year * annuity_factor(self.years, self.weighing.rate) - plan.spent

    # Words --------------------------------------------------------------------------------------

    def _method(self) -> Iterator[str]:
        together, count = self._combinations, len(self._combinations.combinations)
        if not count:
            yield "no upgrades can be combined within the budget"
        elif together.all_of_them:
            yield f"all {count} combinations that are allowed and affordable weighed in full"
        else:
            best = "the best" if together.proven else "the best found"
            yield f"of the combinations {best} {count} by the sum of single savings weighed in full"
        if self.budget is not None:
            planned = min(MOST_PLANNED - 1, len(self._candidates))
            yield (
                f"spares planned alone and beside {planned} of {len(self._candidates)} choices"
                + (", the most promising" if planned < len(self._candidates) else "")
            )

    def _notes(self) -> Iterator[str]:
        yield STEADY_NOTE
        yield WORTH_NOTE
        yield NO_BUDGET_NOTE if self.budget is None else SPARES_NOTE
        for crane, row in sorted(self.snapshot.cranes.items()):
            if self.snapshot.is_live(crane) and self._goes_before_the_end(row.retire_on):
                yield f"{crane} retires on {row.retire_on}, before the end; it counts to the end"
        unknown = sorted(self.refits.state(()).unknown)
        if unknown:
            more = len(unknown) - MOST_NAMED
            yield (
                f"not known today, so nothing is counted: {', '.join(unknown[:MOST_NAMED])}"
                + (f" and {more} more positions" if more > 0 else "")
            )

    def _goes_before_the_end(self, on: date | None) -> bool:
        return on is not None and years_between(self.snapshot.today, on) < self.years


def _by_cost(option: ComparedOption) -> tuple[bool, float, float, int, str]:
    """The cheapest first; of equal ones that which takes less money, then fewer things."""
    cost, capital = option.npv_cost, option.capital
    return (
        cost is None,
        round(cost or 0.0, DECIMALS),
        round(capital or 0.0, DECIMALS),
        len(option.upgrades) + option.with_spares,
        option.option,
    )
