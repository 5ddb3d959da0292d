"""Which projects go together: none, one, those that exclude each other; then every case by hand."""

from __future__ import annotations

from itertools import chain, combinations
from math import inf
from random import Random

import pytest

from parts.calc.comparing import combinations as module
from parts.calc.comparing.combinations import Choosable, Together, combinations_within


def never(_: int, __: int) -> bool:
    return False


def test_of_none_or_one_nothing_can_be_combined() -> None:
    assert combinations_within([], never, inf, 5) == Together((), True, True)
    assert combinations_within([Choosable(1.0, 1.0)], never, inf, 5) == Together((), True, True)


def test_two_that_exclude_each_other_are_never_together() -> None:
    two = [Choosable(1.0, 1.0), Choosable(1.0, 1.0)]

    assert combinations_within(two, lambda *_: True, inf, 5).combinations == ()


def test_what_costs_more_than_the_budget_together_is_left_out() -> None:
    three = [Choosable(10.0, 5.0), Choosable(20.0, 4.0), Choosable(30.0, 3.0)]
    found = combinations_within(three, never, 40.0, 9)

    assert found == Together(((0, 1), (0, 2)), True, True)


def test_what_costs_more_than_it_saves_is_combined_too_but_stands_last() -> None:
    three = [Choosable(1.0, 5.0), Choosable(1.0, -9.0), Choosable(1.0, 4.0)]
    found = combinations_within(three, never, inf, 9).combinations

    assert found == ((0, 2), (0, 1, 2), (0, 1), (1, 2))


@pytest.mark.parametrize("seed", range(40))
def test_the_most_promising_are_those_of_trying_every_one(seed: int) -> None:
    rng = Random(seed)  # noqa: S311 - tests, not secrets
    things = [Choosable(rng.uniform(1, 9), rng.uniform(-3, 9)) for _ in range(rng.randint(2, 8))]
    clashes = {pair for pair in combinations(range(len(things)), 2) if rng.random() < 0.2}
    budget, most = rng.choice([inf, 15.0, 25.0]), rng.choice([1, 4, 500])

    def excludes(one: int, other: int) -> bool:
        return (min(one, other), max(one, other)) in clashes

    every = chain.from_iterable(
        combinations(range(len(things)), size) for size in range(2, len(things) + 1)
    )
    allowed = [
        places
        for places in every
        if sum(things[at].price for at in places) <= budget
        and not any(pair in clashes for pair in combinations(places, 2))
    ]
    savings = sorted((sum(things[at].saving for at in each) for each in allowed), reverse=True)
    found = combinations_within(things, excludes, budget, most)

    assert set(found.combinations) <= set(allowed)
    assert found.proven
    assert [sum(things[at].saving for at in each) for each in found.combinations] == pytest.approx(
        savings[:most]
    )
    assert not found.all_of_them or len(found.combinations) == len(allowed)


def test_a_hundred_that_all_save_are_no_trouble() -> None:
    many = [Choosable(1.0, float(saving)) for saving in range(1, 101)]
    found = combinations_within(many, never, inf, 3)

    assert found.combinations[0] == tuple(range(100))
    assert found.combinations[1] == tuple(range(1, 100))
    assert (found.all_of_them, found.proven) == (False, True)


def test_a_walk_that_is_cut_short_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_STEPS", 10)
    found = combinations_within([Choosable(1.0, 1.0)] * 30, never, 9.0, 3)

    assert (found.all_of_them, found.proven) == (False, False)
