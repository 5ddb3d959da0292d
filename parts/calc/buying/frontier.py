"""The frontier: what each sum of money, spent best, leaves of the exposure.

Its points are those at which marginal analysis over all groups stands after each step on the
convex hull of their options: no plan that costs as much or less is better. The chosen plan is a
point too. First nothing, last everything that is worth its keeping.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from parts.calc.buying.plan_search import Choices, hull
from parts.records.plan_answers import FrontierPoint

# of the exposure; a fall below it is rounding
NEGLIGIBLE = 1e-12


@dataclass(frozen=True, slots=True)
class Step:
    """A group's next option on the hull: what it saves for its money, and its changes."""

    worth: float
    group: int
    cost: float
    days: float
    money: float


def steps(groups: Choices) -> list[Step]:
    """The steps of all groups, the one that saves most for its money first."""
    found = []
    for number, options in enumerate(groups):
        for low, high in pairwise(hull(options)):
            cost = high.cost - low.cost
            saved = low.objective - high.objective
            worth = saved / cost if cost > 0.0 else float("inf")
            found.append(Step(worth, number, cost, high.days - low.days, high.money - low.money))
    return sorted(found, key=lambda step: (-step.worth, step.group))


def frontier(groups: Choices, start: FrontierPoint, chosen: FrontierPoint) -> list[FrontierPoint]:
    """The efficient points of a site.

    Arguments: groups (options of each, cheapest first), start (where every group takes its first
    option), chosen (the plan for the budget).
    Returns: costs rise and the exposure falls from point to point.
    """
    points = [start]
    cost, days, money = start.cost, start.exposure_days, start.exposure_cost
    for step in steps(groups):
        cost, days, money = cost + step.cost, days + step.days, money + step.money
        points.append(FrontierPoint(cost, days, money))
    return _falling(points, chosen)


def _falling(points: Sequence[FrontierPoint], chosen: FrontierPoint) -> list[FrontierPoint]:
    """The points in order of cost, without those that leave no less than a cheaper one; the
    chosen one stays."""
    slack = NEGLIGIBLE * points[0].exposure_cost
    before = [each for each in points if each.cost < chosen.cost
              and each.exposure_cost > chosen.exposure_cost + slack]  # fmt: skip
    after = [each for each in points if each.cost > chosen.cost
             and each.exposure_cost < chosen.exposure_cost - slack]  # fmt: skip
    found: list[FrontierPoint] = []
    for each in [*before, chosen, *after]:
        if found and each.cost <= found[-1].cost:
            found.pop()
        if not found or each.exposure_cost < found[-1].exposure_cost - slack:
            found.append(each)
    return found


def knee(points: Sequence[FrontierPoint]) -> FrontierPoint | None:
    """The point furthest below the line from the first to the last, both axes taken as shares.

    Common practice without a source; None where there are no three points.
    """
    if len(points) < 3:
        return None
    first, last = points[0], points[-1]
    width, height = last.cost - first.cost, first.exposure_cost - last.exposure_cost
    return max(
        points,
        key=lambda each: (
            (first.exposure_cost - each.exposure_cost) / height - (each.cost - first.cost) / width
        ),
    )


def budget_for_days(points: Sequence[FrontierPoint], lost_days: float) -> float | None:
    """The least money on the frontier that leaves no more lost days a year; None = never."""
    return next((each.cost for each in points if each.exposure_days <= lost_days), None)
