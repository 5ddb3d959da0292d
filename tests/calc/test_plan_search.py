"""Plans of random sites against all that could be bought, and against a full reckoning.

The suite takes a few sites; a long run of 200 (1,400 budgets, 158,628 purchases weighed one by one)
found no plan more than 0.24 % off the best purchase, and two of them off it at all.
"""

from __future__ import annotations

from itertools import pairwise
from random import Random

import pytest

from parts.calc.buying import plan_options
from parts.calc.buying import plans as plans_module
from parts.calc.buying.buyables import buyables_of
from parts.calc.buying.head_starts import Started
from parts.calc.buying.plan_pricing import Bought, Pricing
from parts.calc.buying.plan_terms import PlanTerms
from parts.calc.buying.plans import Plans
from parts.records.plan_answers import Purchase
from tests.calc.plan_sites import every_purchase, exposed, random_site

SEEDS = range(24)
WITHIN = 1.005


def budgets(seed: int, most: float) -> list[float]:
    rng = Random(seed)  # noqa: S311 - tests, not secrets
    return sorted([0.0, 0.05 * most, *(rng.random() * most for _ in range(3)), 1e9])


@pytest.mark.parametrize("seed", SEEDS)
def test_no_purchase_within_a_budget_is_half_a_percent_better_than_the_plan(seed: int) -> None:
    found = exposed(random_site(seed))
    everything = [priced for _, priced in every_purchase(found)]
    plans = Plans(found)
    before = float("inf")

    for budget in budgets(seed, max(each.cost for each in everything)):
        plan = plans.plan(budget)
        objective = plan.exposure_after + plan.yearly
        least = min(each.objective for each in everything if each.cost <= budget + 1e-9)

        assert plan.spent <= budget + 1e-6
        assert objective <= WITHIN * least + 1e-6
        assert objective <= before * (1.0 + 1e-9), "more money makes no plan worse"
        before = objective


@pytest.mark.parametrize("seed", SEEDS)
def test_what_a_plan_says_is_what_a_full_reckoning_of_its_lines_says(seed: int) -> None:
    found = exposed(random_site(seed))
    plan = Plans(found).plan(4000.0)
    priced = Pricing(PlanTerms(found)).price([line.purchase for line in plan.lines])
    saved = plan.exposure_before - plan.exposure_after

    assert plan.exposure_after == pytest.approx(priced.exposure_cost, rel=1e-6)
    assert plan.exposure_days_after == pytest.approx(priced.exposure_days, rel=1e-6)
    assert plan.spent == pytest.approx(priced.cost, rel=1e-9)
    assert sum(line.saves_cost for line in plan.lines) == pytest.approx(
        saved, abs=1e-6 * plan.exposure_before + 1e-9
    )


@pytest.mark.parametrize("seed", SEEDS)
def test_no_cheaper_purchase_beats_a_point_of_the_frontier(seed: int) -> None:
    found = exposed(random_site(seed))
    plans = Plans(found)
    plan = plans.plan(2500.0)
    everything = [priced for _, priced in every_purchase(found)]

    assert plan.frontier[0].cost == 0.0
    assert plan.frontier[-1].cost == pytest.approx(plans.plan(1e9).spent)
    assert (plan.spent, plan.exposure_after) in [
        (point.cost, point.exposure_cost) for point in plan.frontier
    ]
    for low, high in pairwise(plan.frontier):
        assert low.cost < high.cost
        assert low.exposure_cost > high.exposure_cost
    for point in plan.frontier:
        there = plans.plan(point.cost)
        least = min(each.objective for each in everything if each.cost <= point.cost + 1e-9)

        assert there.exposure_after + there.yearly <= WITHIN * least + 1e-6


@pytest.mark.parametrize("seed", SEEDS)
def test_groups_reckon_as_the_whole_fleet_does(seed: int) -> None:
    """For all purchases that may be worth making; the others are in no group."""
    found = exposed(random_site(seed))
    plans = Plans(found)
    pricing, groups = plans.pricing, [options.group for options in plans.options]
    worth_it = {each.name for group in groups for each in buyables_of(group)}
    rest = pricing.price([]).exposure_cost - sum(group.exposure({}, {})[1] for group in groups)
    for purchases, priced in list(every_purchase(found))[::7]:
        units, starts = bought(pricing, purchases)
        if worth_it.issuperset([*units, *starts]):
            by_groups = rest + sum(group.exposure(units, starts)[1] for group in groups)

            assert by_groups == pytest.approx(priced.exposure_cost, rel=1e-6, abs=1e-6)


def bought(
    pricing: Pricing, purchases: tuple[Purchase, ...]
) -> tuple[dict[str, int], dict[str, Started]]:
    """Units by pool, and operations done ahead by route."""
    found = Bought(pricing.terms, purchases)
    by_pool: dict[str, int] = {}
    for part, qty in found.units.items():
        pool = pricing.terms.of(part).restock.pool
        by_pool[pool] = by_pool.get(pool, 0) + qty
    return by_pool, found.starts


@pytest.mark.parametrize("seed", SEEDS)
def test_marginal_analysis_in_a_large_group_stays_near_the_best(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Groups small enough to try every combination, with that forbidden."""
    monkeypatch.setattr(plan_options, "MOST_COMBINATIONS", 1)
    found = exposed(random_site(seed))
    everything = [priced for _, priced in every_purchase(found)]
    plans = Plans(found)
    for budget in budgets(seed, max(each.cost for each in everything)):
        plan = plans.plan(budget)
        least = min(each.objective for each in everything if each.cost <= budget + 1e-9)

        assert plan.exposure_after + plan.yearly <= WITHIN * least + 1e-6


@pytest.mark.parametrize("seed", SEEDS)
def test_a_walk_through_a_very_large_group_tells_the_truth_about_its_plan(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Groups of any size walked through on held demand; the plan is weighed in full."""
    monkeypatch.setattr(plans_module, "LARGE", 0)
    found = exposed(random_site(seed))
    plans = Plans(found)
    plan = plans.plan(4000.0)
    priced = plans.pricing.price([line.purchase for line in plan.lines])
    saved = plan.exposure_before - plan.exposure_after

    assert plan.spent <= 4000.0
    assert plan.spent == pytest.approx(priced.cost)
    assert plan.spent == pytest.approx(sum(line.cost for line in plan.lines))
    assert plan.exposure_after == pytest.approx(priced.exposure_cost, rel=1e-9)
    assert plan.exposure_after <= plan.exposure_before
    assert sum(line.saves_cost for line in plan.lines) == pytest.approx(
        saved, abs=1e-6 * plan.exposure_before + 1e-9
    )
    for low, high in pairwise(plan.frontier):
        assert low.cost < high.cost
        assert low.exposure_cost > high.exposure_cost
