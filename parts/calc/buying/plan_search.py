"""Which option of each group to buy with one budget.

A knapsack in which each group gives exactly one of its options. Marginal analysis with fill-in
solves it nearly; the price of money at which it ends bounds every other plan, and what the bound
leaves open is combined group by group, dominated combinations dropped, to proven optimality. Knows
nothing of parts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from parts.calc.buying.plan_options import Option, worth

Array = NDArray[np.float64]
# so many combinations are carried along at once
MOST_COMBINED = 1_000_000
# a group with more options was walked through step by step: only those on its convex hull count,
# and no choice between groups makes up for what a walk leaves open
MANY = 500
# of the objective; below it two plans count as equally good
PROVEN = 1e-12
# money that rounding may add to a plan within its budget
ROUNDING = 1e-9

Choices = Sequence[Sequence[Option]]


@dataclass(frozen=True, slots=True)
class Chosen:
    """One option of each group; `exact` = no other choice within the budget is better."""

    options: tuple[Option, ...]
    exact: bool

    @property
    def cost(self) -> float:
        return sum(option.cost for option in self.options)

    @property
    def objective(self) -> float:
        return sum(option.objective for option in self.options)

    @property
    def money(self) -> float:
        return sum(option.money for option in self.options)

    @property
    def days(self) -> float:
        return sum(option.days for option in self.options)


def best(groups: Choices, budget: float) -> Chosen:
    """The best option of each group within the budget."""
    by_steps = marginal(groups, budget)
    if by_steps.exact or any(len(group) > MANY for group in groups):
        return by_steps
    found = _Combining(groups, budget, by_steps).best()
    if found is None:
        return by_steps
    return found if found.objective < by_steps.objective else Chosen(by_steps.options, True)


class _Combining:
    """Combines the options of group after group, as far as they may be in a better plan.

    With a price of money p, no plan within the budget leaves less than the sum over groups of the
    least objective + p x cost, less p x budget: Everett, Operations Research 11 (1963) 399-417,
    from memory. What lifts this bound above the known plan is in no better one.
    """

    def __init__(self, groups: Choices, budget: float, known: Chosen) -> None:
        self.groups = groups
        self.budget = budget
        self.price = _price_of_money(groups, budget)
        self.known = known
        priced = [min(self._priced(option) for option in group) for group in groups]
        # the least that the groups from each one on add to the bound
        self.ahead = [*np.cumsum(priced[::-1])[::-1].tolist(), 0.0]
        self.limit = known.objective * (1.0 + PROVEN) + self.price * budget

    def _priced(self, option: Option) -> float:
        return option.objective + self.price * option.cost

    def best(self) -> Chosen | None:
        """The best plan, the known one left aside; None where too much stays open."""
        cost, objective = np.zeros(1), np.zeros(1)
        taken: list[tuple[NDArray[np.int64], list[Option]]] = []
        for number, group in enumerate(self.groups):
            options = self._that_may_be_better(number, group)
            if len(cost) * len(options) > MOST_COMBINED:
                return None
            cost = np.add.outer(cost, [option.cost for option in options]).ravel()
            objective = np.add.outer(objective, [option.objective for option in options]).ravel()
            kept = self._kept(cost, objective, self.ahead[number + 1])
            cost, objective = cost[kept], objective[kept]
            taken.append((kept, options))
        if not len(cost):
            return Chosen(self.known.options, True)
        return Chosen(tuple(self._traced(taken, int(objective.argmin()))), True)

    def _that_may_be_better(self, number: int, group: Sequence[Option]) -> list[Option]:
        others = self.ahead[0] - (self.ahead[number] - self.ahead[number + 1])
        return [option for option in group if others + self._priced(option) <= self.limit]

    def _kept(self, cost: Array, objective: Array, ahead: float) -> NDArray[np.int64]:
        """Combinations within the budget and the bound that no cheaper one beats."""
        fits = (cost <= self.budget + ROUNDING) & (
            objective + self.price * cost + ahead <= self.limit
        )
        (found,) = np.nonzero(fits)
        found = found[np.lexsort((objective[found], cost[found]))]
        least = np.minimum.accumulate(objective[found])
        return found[np.diff(least, prepend=np.inf) < 0.0]

    def _traced(
        self, taken: Sequence[tuple[NDArray[np.int64], list[Option]]], at: int
    ) -> list[Option]:
        """The options behind a combination."""
        found = []
        for kept, options in reversed(taken):
            at, option = divmod(int(kept[at]), len(options))
            found.append(options[option])
        return found[::-1]


def _price_of_money(groups: Choices, budget: float) -> float:
    """What the step saves for its money at which the budget ends, all steps on convex hulls."""
    steps = [
        (worth(low, high), high.cost - low.cost)
        for group in groups
        for low, high in pairwise(hull(group))
    ]
    left = budget - sum(group[0].cost for group in groups)
    for saves, cost in sorted(steps, reverse=True):
        left -= cost
        if left < 0.0:
            return saves
    return 0.0


def marginal(groups: Choices, budget: float) -> Chosen:
    """Always the step that saves most for its money among those that the money left allows.

    Exact where the money reaches for every group's best option.
    """
    wanted = [group[-1] for group in groups]
    if sum(option.cost for option in wanted) <= budget + ROUNDING:
        return Chosen(tuple(wanted), True)
    kept = [group if len(group) <= MANY else hull(group) for group in groups]
    place = [0] * len(kept)
    left = budget - sum(group[0].cost for group in kept)
    waiting = [(*_best_step(group, 0, left), at) for at, group in enumerate(kept)]
    heapify(waiting)
    while waiting:
        worth_less, to, at = heappop(waiting)
        if worth_less >= 0.0:
            break
        cost = kept[at][to].cost - kept[at][place[at]].cost
        if cost <= left + ROUNDING:
            left -= cost
            place[at] = to
        heappush(waiting, (*_best_step(kept[at], place[at], left), at))
    return Chosen(tuple(group[at] for group, at in zip(kept, place, strict=True)), False)


def _best_step(group: Sequence[Option], place: int, left: float) -> tuple[float, int]:
    """What the best step of a group saves for its money, below 0, and where it leads."""
    here = group[place]
    found = (0.0, place)
    last = place + 2 if len(group) > MANY else len(group)  # on a hull the next step is the best
    for to in range(place + 1, min(last, len(group))):
        if group[to].cost - here.cost > left + ROUNDING:
            break
        found = min(found, (-worth(here, group[to]), to))
    return found


def hull(options: Sequence[Option]) -> list[Option]:
    """The options on the lower convex hull of cost and objective, cheapest first."""
    found: list[Option] = []
    for each in options:
        while len(found) > 1 and _bulges(found[-2], found[-1], each):
            found.pop()
        found.append(each)
    return found


def _bulges(low: Option, middle: Option, high: Option) -> bool:
    """Whether the middle one lies above the line from the low to the high one."""
    left = (low.objective - middle.objective) * (high.cost - middle.cost)
    return left <= (middle.objective - high.objective) * (middle.cost - low.cost)
