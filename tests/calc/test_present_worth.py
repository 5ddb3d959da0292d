"""Present worth: no years, no rate, no sign to change, then identities that must hold."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.calc.comparing.present_worth import (
    annuity_factor,
    equal_annual_cost,
    internal_rate_of_return,
    net_present_value,
    worth_today,
    yearly,
)

RATES = st.floats(0.0, 1.0)
AMOUNTS = st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=30)


def test_nothing_is_worth_nothing() -> None:
    assert net_present_value([], 0.08) == 0.0


def test_what_falls_due_today_is_worth_what_it_is() -> None:
    assert worth_today(123.0, 0.0, 0.5) == 123.0


def test_without_interest_every_day_is_worth_the_same() -> None:
    assert net_present_value([(0.0, 1.0), (7.5, 2.0), (100.0, 3.0)], 0.0) == 6.0
    assert annuity_factor(12.0, 0.0) == 12.0
    assert equal_annual_cost(60.0, 12.0, 0.0) == 5.0


def test_part_of_a_year_counts_as_that_part() -> None:
    assert worth_today(100.0, 0.5, 0.21) == pytest.approx(100.0 / 1.1)


def test_a_small_rate_is_near_none() -> None:
    assert annuity_factor(15.0, 1e-12) == pytest.approx(15.0, abs=1e-9)


@pytest.mark.parametrize("rate", [-1.0, -2.0, float("nan")])
def test_a_rate_that_leaves_nothing_is_refused(rate: float) -> None:
    with pytest.raises(ValueError, match="above -100 %"):
        net_present_value([(1.0, 1.0)], rate)


def test_a_cost_over_no_years_is_refused() -> None:
    with pytest.raises(ValueError, match="more than 0 years"):
        equal_annual_cost(1.0, 0.0, 0.08)


@given(RATES, st.integers(1, 40), st.floats(0.0, 1e6))
def test_an_equal_amount_a_year_is_its_own_equal_annual_cost(
    rate: float, years: int, amount: float
) -> None:
    in_all = net_present_value(yearly([amount] * years), rate)

    assert equal_annual_cost(in_all, years, rate) == pytest.approx(amount, rel=1e-9)


@given(RATES, AMOUNTS)
def test_a_year_later_everything_is_worth_a_year_less(rate: float, amounts: list[float]) -> None:
    now = net_present_value(yearly(amounts, 0), rate)
    later = net_present_value(yearly(amounts, 1), rate)

    assert later * (1.0 + rate) == pytest.approx(now, rel=1e-9, abs=1e-6)


# Rate of return ---------------------------------------------------------------------------------


@pytest.mark.parametrize("amounts", [[], [5.0, 6.0], [-5.0, -6.0], [0.0, 0.0]])
def test_without_both_signs_there_is_no_rate_of_return(amounts: list[float]) -> None:
    assert internal_rate_of_return(yearly(amounts, 0)) is None


def test_money_that_comes_back_as_it_was_returns_nothing() -> None:
    assert internal_rate_of_return([(0.0, -50.0), (3.0, 50.0)]) == pytest.approx(0.0, abs=1e-12)


def test_a_loss_returns_less_than_nothing() -> None:
    assert internal_rate_of_return([(0.0, -100.0), (2.0, 81.0)]) == pytest.approx(-0.1)


def test_amounts_that_are_worth_something_at_every_rate_have_no_rate_of_return() -> None:
    assert internal_rate_of_return([(0.0, 1.0), (1.0, -1.0), (2.0, 1.0)]) is None


def test_a_century_has_a_rate_of_return_too() -> None:
    found = internal_rate_of_return([(0.0, -100.0), *yearly([8.0] * 300)])

    assert found == pytest.approx(0.08, abs=1e-9)


@given(st.floats(0.01, 0.9), st.integers(1, 60), st.floats(1.0, 1e6))
def test_at_its_rate_of_return_a_purchase_is_worth_nothing(
    rate: float, years: int, a_year: float
) -> None:
    flows = [(0.0, -a_year * annuity_factor(years, rate)), *yearly([a_year] * years)]
    found = internal_rate_of_return(flows)

    assert found == pytest.approx(rate, rel=1e-6)
    assert not math.isnan(found or math.nan)
