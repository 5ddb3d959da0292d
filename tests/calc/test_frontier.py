"""The frontier of options: hulls, steps, the chosen point, the knee."""

from __future__ import annotations

import pytest

from parts.calc.buying.frontier import budget_for_days, frontier, knee
from parts.calc.buying.plan_options import Option
from parts.calc.buying.plan_search import hull
from parts.records.plan_answers import FrontierPoint


def option(cost: float, left: float) -> Option:
    return Option((0,), cost, 0.0, left / 10.0, left)


def point(cost: float, left: float) -> FrontierPoint:
    return FrontierPoint(cost, left / 10.0, left)


CONVEX = (option(0.0, 100.0), option(10.0, 40.0), option(30.0, 20.0))
NOTHING = point(0.0, 100.0)


def test_a_site_without_options_has_one_point() -> None:
    assert frontier([], point(0.0, 0.0), point(0.0, 0.0)) == [point(0.0, 0.0)]
    assert knee([point(0.0, 0.0)]) is None


def test_an_option_above_the_line_between_two_others_is_on_no_hull() -> None:
    bulging = option(20.0, 39.0)

    assert hull([*CONVEX[:2], bulging, CONVEX[2]]) == list(CONVEX)


def test_the_steps_of_all_groups_are_taken_by_what_they_save_for_their_money() -> None:
    other = (option(0.0, 50.0), option(20.0, 10.0))
    start = point(0.0, 150.0)
    found = frontier([CONVEX, other], start, start)

    assert [(each.cost, each.exposure_cost) for each in found] == [
        (0.0, 150.0), (10.0, 90.0), (30.0, 50.0), (50.0, 30.0),
    ]  # fmt: skip


def test_a_plan_between_two_steps_is_a_point_too() -> None:
    chosen = point(20.0, 39.0)

    assert chosen in frontier([CONVEX], NOTHING, chosen)


def test_a_step_that_leaves_more_than_the_cheaper_plan_is_dropped() -> None:
    chosen = point(9.0, 30.0)
    found = frontier([CONVEX], NOTHING, chosen)

    assert [each.cost for each in found] == [0.0, 9.0, 30.0]


def test_what_costs_nothing_is_part_of_the_first_point() -> None:
    found = frontier([(option(0.0, 100.0), option(5.0, 90.0))], NOTHING, point(0.0, 95.0))

    assert [(each.cost, each.exposure_cost) for each in found] == [(0.0, 95.0), (5.0, 90.0)]


def test_the_knee_lies_furthest_below_the_line_from_first_to_last() -> None:
    points = [NOTHING, point(10.0, 40.0), point(20.0, 25.0), point(100.0, 0.0)]

    assert knee(points) == point(20.0, 25.0)


def test_the_least_money_for_so_many_lost_days() -> None:
    points = [NOTHING, point(10.0, 40.0), point(30.0, 20.0)]

    assert budget_for_days(points, 4.0) == 10.0
    assert budget_for_days(points, 3.9) == 30.0
    assert budget_for_days(points, 1.0) is None


@pytest.mark.parametrize("cost", [0.0, 10.0, 30.0])
def test_a_chosen_plan_on_the_hull_adds_no_point(cost: float) -> None:
    left = {0.0: 100.0, 10.0: 40.0, 30.0: 20.0}[cost]

    assert len(frontier([CONVEX], NOTHING, point(cost, left))) == 3
