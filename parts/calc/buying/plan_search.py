"""Which option of each group to buy with one budget.

A knapsack in which each group gives exactly one of its options. Marginal analysis with fill-in
solves it nearly, a mixed-integer programme exactly, or with a proof of how nearly. Knows nothing
of parts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from heapq import heapify, heappop, heappush
from math import inf

import numpy as np

from parts.calc.buying.plan_options import Option, worth
from parts.calc.buying.plan_programme import PROVEN, solved

# a group with more options was walked through step by step: only those on its convex hull count
MANY = 500
# of a budget; what rounding may add to a plan within it
ROUNDING = 1e-12

Choices = Sequence[Sequence[Option]]


@dataclass(frozen=True, slots=True)
class Chosen:
    """One option of each group; `bound` = no choice within the budget has a lower objective."""

    options: tuple[Option, ...]
    bound: float = -inf

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

    @property
    def unproven(self) -> float:
        """Money a year that another choice may save at most; 0 = this one is proven the best."""
        saved = self.objective - self.bound
        return saved if saved > PROVEN * abs(self.objective) else 0.0


def best(groups: Choices, budget: float) -> Chosen:
    """The best option of each group within the budget, with the proof of it."""
    within = _with_rounding(budget)
    kept = [[option for option in _thinned(group) if option.cost <= within] for group in groups]
    wanted = Chosen(tuple(group[-1] for group in kept))
    if wanted.cost <= within:
        return replace(wanted, bound=wanted.objective)
    costs = [np.array([option.cost for option in group]) for group in kept]
    objectives = [np.array([option.objective for option in group]) for group in kept]
    found, by_steps = solved(costs, objectives, within), marginal(groups, budget)
    if found.places is None:
        return replace(by_steps, bound=found.bound)
    options = (group[at] for group, at in zip(kept, found.places, strict=True))
    by_programme = Chosen(tuple(options), found.bound)
    if by_programme.objective <= by_steps.objective:
        return by_programme
    return replace(by_steps, bound=found.bound)


def marginal(groups: Choices, budget: float) -> Chosen:
    """Always the step that saves most for its money among those that the money left allows."""
    kept = [_thinned(group) for group in groups]
    wanted = Chosen(tuple(group[-1] for group in kept))
    left = _with_rounding(budget)
    if wanted.cost <= left:
        return wanted
    place = [0] * len(kept)
    left -= sum(group[0].cost for group in kept)
    waiting = [(*_best_step(group, 0, left), at) for at, group in enumerate(kept)]
    heapify(waiting)
    while waiting:
        worth_less, to, at = heappop(waiting)
        if worth_less >= 0.0:
            break
        cost = kept[at][to].cost - kept[at][place[at]].cost
        if cost <= left:
            left -= cost
            place[at] = to
        heappush(waiting, (*_best_step(kept[at], place[at], left), at))
    return Chosen(tuple(group[at] for group, at in zip(kept, place, strict=True)))


def _with_rounding(budget: float) -> float:
    return budget * (1.0 + ROUNDING)


def _thinned(group: Sequence[Option]) -> Sequence[Option]:
    return group if len(group) <= MANY else hull(group)


def _best_step(group: Sequence[Option], place: int, left: float) -> tuple[float, int]:
    """What the best step of a group saves for its money, below 0, and where it leads."""
    here = group[place]
    found = (0.0, place)
    last = place + 2 if len(group) > MANY else len(group)  # on a hull the next step is the best
    for to in range(place + 1, min(last, len(group))):
        if group[to].cost - here.cost > left:
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
