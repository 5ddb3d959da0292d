"""Which option of each group to buy with one budget.

A knapsack in which each group gives exactly one of its options: solved by mixed-integer
programme. Marginal analysis with fill-in solves it too, not always as well, and says by how much.
Knows nothing of parts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from itertools import pairwise

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from parts.calc.plan_options import Option, worth

# so many options together are solved exactly
MOST_OPTIONS = 20_000
# of a group with more options only those on its convex hull count in marginal analysis
MANY = 500
# of the saving; below it two plans count as equally good
PROVEN = 1e-7
# money that rounding may add to a plan within its budget
ROUNDING = 1e-9

Choices = Sequence[Sequence[Option]]


@dataclass(frozen=True, slots=True)
class Chosen:
    """One option of each group; `exact` = no plan within the budget is better."""

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
    if by_steps.exact or not groups:
        return by_steps
    left = _that_may_be_better(groups, budget, by_steps)
    if sum(map(len, left)) > MOST_OPTIONS:
        return by_steps
    found = _programme(left, budget)
    if found is None or found.objective > by_steps.objective:
        return Chosen(by_steps.options, True)
    return found


def _that_may_be_better(groups: Choices, budget: float, known: Chosen) -> list[list[Option]]:
    """The options with which a plan may still be better than a known one.

    With a price of money p, no plan within the budget leaves less than the sum over groups of the
    least objective + p x cost, less p x budget: Everett (1963), from memory. An option that lifts
    this bound above what is known is in no better plan.
    """
    price = _price_of_money(groups, budget)
    priced = [np.array([each.objective + price * each.cost for each in group]) for group in groups]
    bound = sum(float(each.min()) for each in priced) - price * budget
    room = known.objective - bound + PROVEN * abs(known.objective)
    return [
        [option for option, lift in zip(group, each - each.min(), strict=True)
         if lift <= room or option is taken]
        for group, each, taken in zip(groups, priced, known.options, strict=True)
    ]  # fmt: skip


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


def _programme(groups: Choices, budget: float) -> Chosen | None:
    """By mixed-integer programme, to proven optimality; None where it finds none."""
    open_ = [group for group in groups if len(group) > 1]
    fixed = [group[0] for group in groups if len(group) == 1]
    left = budget - sum(option.cost for option in fixed)
    flat = [option for group in open_ for option in group]
    if not flat:
        return Chosen(tuple(fixed), True)
    first = np.cumsum([0, *map(len, open_)])
    least = np.repeat([min(option.cost for option in group) for group in open_], np.diff(first))
    cost = np.array([option.cost for option in flat]) - least
    objective = np.array([option.objective for option in flat])
    objective -= np.repeat([min(each.objective for each in group) for group in open_],
                           np.diff(first))  # fmt: skip
    spend = left - sum(min(option.cost for option in group) for group in open_)
    of_group = np.repeat(np.arange(len(open_)), np.diff(first))
    one_each = csr_array((np.ones(len(flat)), (of_group, np.arange(len(flat)))))
    found = milp(
        objective / max(float(objective.max()), ROUNDING),
        integrality=np.ones(len(flat)),
        bounds=Bounds(0.0, 1.0),
        constraints=[
            LinearConstraint(one_each, 1.0, 1.0),
            LinearConstraint(csr_array(cost[None, :] / max(spend, ROUNDING)), -np.inf, 1.0),
        ],
        options={"mip_rel_gap": PROVEN},
    )
    if found.x is None:
        return None
    picks = (
        start + int(np.argmax(found.x[start:stop])) for start, stop in pairwise(first.tolist())
    )
    taken = iter([flat[pick] for pick in picks])
    chosen = Chosen(tuple(group[0] if len(group) == 1 else next(taken) for group in groups), True)
    return chosen if chosen.cost <= budget + ROUNDING * max(1.0, budget) else None
