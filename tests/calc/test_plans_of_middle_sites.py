"""Plans of sites too large to try every purchase, against a bound that is proven.

What proves what: in these sites every group of parts is small enough to be weighed in every
combination, so that the programme chooses among all purchases of the site, and its bound is what
no purchase at all gets below. That groups change nothing for one another, and that no amount beyond
those weighed is worth its keeping, is held to all purchases of small sites elsewhere. A second
plan walks through the groups instead, as in groups too large for that, and is held to the bound.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import pytest

from parts.calc.buying import plan_options
from parts.calc.buying.plans import Plans
from parts.records.plan_answers import PlanAnswer
from tests.calc.plan_sites import exposed, middle_site

# sites of 60 to 150 parts
SEEDS = (0, 7, 11, 16, 20, 37)
SHARES = (0.05, 0.2, 0.7)  # of the money for all that is worth its keeping
WITHIN = 1.005
FEW = 8  # so many combinations are tried where walking is wanted
POINTS = 8


@cache
def in_full(seed: int) -> Plans:
    """Plans that weigh every combination in every group."""
    plans = Plans(exposed(middle_site(seed)))

    assert 60 <= len(plans.snapshot.parts) <= 150
    assert all(options.is_exact for options in plans.options)
    return plans


def objective(plan: PlanAnswer) -> float:
    return plan.exposure_after + plan.yearly


def bound(plans: Plans, budget: float) -> float:
    """No purchase within the budget leaves less, money a year of exposure and keeping."""
    by_groups = sum(options.nothing.money for options in plans.options)
    return plans.before.exposure_cost - by_groups + plans.chosen(budget).bound


@pytest.mark.parametrize("seed", SEEDS)
def test_a_plan_leaves_what_no_purchase_gets_below(seed: int) -> None:
    plans = in_full(seed)
    most = plans.plan(1e12).spent

    for share in SHARES:
        plan = plans.plan(share * most)

        assert plan.unproven == 0.0
        assert plan.spent <= share * most * (1.0 + 1e-9)
        assert objective(plan) == pytest.approx(bound(plans, share * most), rel=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_walks_through_groups_stay_near_what_no_purchase_gets_below(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    plans = in_full(seed)
    most = plans.plan(1e12).spent
    monkeypatch.setattr(plan_options, "MOST_COMBINATIONS", FEW)
    walked = Plans(plans.exposed)

    assert sum(not options.is_exact for options in walked.options) >= 5
    for share in SHARES:
        plan, least = walked.plan(share * most), bound(plans, share * most)

        assert least * (1.0 - 1e-6) <= objective(plan) <= WITHIN * least


@pytest.mark.parametrize("seed", SEEDS)
def test_no_cheaper_plan_beats_a_point_of_the_frontier_and_more_money_leaves_less(
    seed: int,
) -> None:
    plans = in_full(seed)
    frontier = plans.plan(0.0).frontier
    points = frontier[:: len(frontier) // POINTS]
    there = [plans.plan(point.cost) for point in points]

    for point, plan in zip(points, there, strict=True):
        assert plan.unproven == 0.0
        assert plan.exposure_after == pytest.approx(point.exposure_cost, rel=1e-6)
    for less, more in pairwise(there):
        assert objective(more) < objective(less)
