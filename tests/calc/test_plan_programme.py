"""The choice between groups: proven the best, or how far from it at most; silent; the same twice.

Held against a table over all sums of money, which is exact where every cost is a whole number.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from random import Random

import numpy as np
import pytest

from parts.calc.buying import plan_programme
from parts.calc.buying.plan_options import Option
from parts.calc.buying.plan_search import best, marginal

ROOT = Path(__file__).parents[2]
Groups = Sequence[tuple[Option, ...]]


def options(*pairs: tuple[float, float]) -> tuple[Option, ...]:
    """Options of one group from what each costs and leaves."""
    return tuple(Option((at,), cost, 0.0, left, left) for at, (cost, left) in enumerate(pairs))


def drawn(seed: int) -> list[tuple[Option, ...]]:
    """Forty groups by chance."""
    rng = Random(seed)  # noqa: S311 - tests, not secrets
    found = []
    for _ in range(40):
        pairs = [(0.0, rng.uniform(1e3, 1e5))]
        for _ in range(rng.randint(1, 6)):
            cost, left = pairs[-1]
            pairs.append((cost + rng.randint(1, 99), left * rng.uniform(0.3, 0.98)))
        found.append(options(*pairs))
    return found


def alike(seed: int) -> list[tuple[Option, ...]]:
    """Twenty groups whose every step saves nearly what it costs, which is hard to choose from."""
    rng = Random(seed)  # noqa: S311 - tests, not secrets
    found = []
    for _ in range(20):
        pairs = [(0.0, rng.uniform(1e5, 1e6))]
        for step in (rng.randint(1000, 99999) for _ in range(rng.randint(1, 5))):
            cost, left = pairs[-1]
            pairs.append((cost + step, left - step - 1000.0))
        found.append(options(*pairs))
    return found


def least(groups: Groups, budget: int) -> float:
    """The least objective by a table over all sums of money."""
    table = np.zeros(budget + 1)
    for group in groups:
        kept = np.full((len(group), budget + 1), np.inf)
        for row, option in zip(kept, group, strict=True):
            cost = int(option.cost)
            if cost <= budget:
                row[cost:] = table[: budget + 1 - cost] + option.objective
        table = kept.min(axis=0)
    return float(table[budget])


def test_without_groups_there_is_nothing_to_choose() -> None:
    assert best([], 100.0).options == ()


def test_without_money_every_group_keeps_what_costs_nothing() -> None:
    found = best(drawn(1), 0.0)

    assert found.cost == found.unproven == 0.0


def test_with_money_for_all_every_group_takes_what_leaves_least() -> None:
    groups = drawn(1)
    found = best(groups, float("inf"))

    assert found.options == tuple(group[-1] for group in groups)
    assert found.unproven == 0.0


def test_a_budget_that_a_choice_uses_to_the_last_cent_allows_it() -> None:
    groups = [options((0.0, 9.0), (cost, 1.0)) for cost in (0.1, 0.2, 0.7)]

    assert best(groups, 0.1 + 0.2).cost == pytest.approx(0.3)
    assert best(groups, 0.3).cost == pytest.approx(0.3)


@pytest.mark.parametrize("budget", [1, 30, 120, 500, 2000])
@pytest.mark.parametrize("seed", range(6))
def test_no_choice_within_the_budget_leaves_less(seed: int, budget: int) -> None:
    groups = drawn(seed)
    found = best(groups, float(budget))

    assert found.unproven == 0.0
    assert found.cost <= budget + 1e-9
    assert found.objective <= marginal(groups, float(budget)).objective
    assert found.objective == pytest.approx(least(groups, budget), rel=1e-9)


@pytest.mark.parametrize("most_nodes", [1, plan_programme.MOST_NODES])
def test_a_search_cut_short_says_how_much_less_another_choice_may_leave(
    most_nodes: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(plan_programme, "MOST_NODES", most_nodes)
    groups, budget = alike(2), 1_442_827
    found, exact = best(groups, budget), least(groups, budget)

    assert found.cost <= budget
    assert found.bound <= exact <= found.objective
    assert 0.0 < found.unproven < 1e-3 * found.objective


@pytest.mark.parametrize("unit", [1e-6, 1e9])
def test_the_size_of_money_changes_nothing(unit: float) -> None:
    groups = drawn(3)
    large = [options(*((o.cost * unit, o.objective * unit) for o in group)) for group in groups]

    assert best(large, 500.0 * unit).objective / unit == pytest.approx(least(groups, 500), rel=1e-9)


def test_the_same_numbers_give_the_same_choice() -> None:
    groups = alike(2)

    assert best(groups, 1_442_827) == best(groups, 1_442_827)


def test_the_solver_writes_nothing() -> None:
    """In a process of its own, since what a library writes is held back until the end."""
    work = (
        "from tests.calc.test_plan_programme import alike, best, drawn\n"
        "for seed in range(8): best(drawn(seed), 555.5)\n"
        "best(alike(2), 1e6)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", work], capture_output=True, check=True, cwd=ROOT, timeout=100
    )

    assert (done.stdout, done.stderr) == (b"", b"")
