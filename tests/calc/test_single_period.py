"""One order for one period: its identities, whatever the distribution of demand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy.stats import gamma, nbinom, norm, poisson, rv_discrete, uniform

from parts.calc.buying.single_period import SinglePeriod

WHOLE = rv_discrete(values=([0, 1, 2, 5], [0.4, 0.3, 0.2, 0.1]))()
DEMANDS = [poisson(6.0), nbinom(0.5, 0.26), WHOLE, norm(1e6, 5.0), gamma(0.4, scale=30.0)]


def test_units_short_and_left_by_hand() -> None:
    period = SinglePeriod(WHOLE, 3.0, 1.0)

    assert period.critical_ratio == 0.75
    assert period.quantity == 2.0
    assert period.expected_short(2.0) == pytest.approx(0.1 * 3.0)
    assert period.expected_left(2.0) == pytest.approx(0.4 * 2.0 + 0.3 * 1.0)
    assert period.expected_cost(2.0) == pytest.approx(3.0 * 0.3 + 1.1)


def test_any_demand_from_nothing_to_one_is_ordered_by_the_ratio_itself() -> None:
    period = SinglePeriod(uniform(0.0, 1.0), 7.0, 3.0)

    assert period.quantity == pytest.approx(0.7)
    assert period.expected_short(0.7) == pytest.approx(0.3**2 / 2.0)
    assert period.expected_cost(0.7) == pytest.approx(7.0 * 0.045 + 3.0 * 0.245)


@pytest.mark.parametrize("demand", DEMANDS)
def test_without_an_order_all_of_the_demand_is_short(demand: Any) -> None:
    period = SinglePeriod(demand, 1.0, 1.0)

    assert period.expected_short(0.0) == pytest.approx(demand.mean(), rel=1e-9)
    assert period.expected_left(0.0) == pytest.approx(0.0, abs=1e-9 * demand.mean())


@pytest.mark.parametrize("demand", DEMANDS)
def test_no_other_quantity_costs_less(demand: Any) -> None:
    period = SinglePeriod(demand, 9.0, 2.0)
    best = period.expected_cost(period.quantity)

    for step in (-3.0, -1.0, 1.0, 3.0):
        assert best <= period.expected_cost(max(0.0, period.quantity + step)) * (1.0 + 1e-9)


def test_a_quantity_beyond_all_demand_leaves_the_rest() -> None:
    period = SinglePeriod(WHOLE, 1.0, 1.0)

    assert period.expected_short(50.0) == 0.0
    assert period.expected_left(50.0) == pytest.approx(50.0 - WHOLE.mean())


def test_part_of_a_unit_lies_between_the_whole_ones() -> None:
    period = SinglePeriod(WHOLE, 1.0, 1.0)
    whole = [period.expected_short(quantity) for quantity in (1.0, 2.0)]

    assert period.expected_short(1.25) == pytest.approx(float(np.interp(0.25, [0.0, 1.0], whole)))
