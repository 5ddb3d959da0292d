"""Last orders come out as sources print them where demand has one period, and well-known slips
are caught.

Sources and how they are known stand in last_orders.toml. A last order without discount or holding
is the newsvendor: buy the n-th unit while P(N >= n) > price / value.
"""

from __future__ import annotations

import tomllib
from itertools import pairwise
from math import ceil, exp, sqrt
from pathlib import Path
from statistics import NormalDist
from typing import Any

import numpy as np
import pytest
from scipy.stats import lognorm, nbinom, norm, poisson

from parts.calc.buying.marginal_units import MarginalUnits, Money
from parts.calc.buying.remaining_demand import RemainingDemand, Stream
from parts.calc.buying.single_period import SinglePeriod

Entry = dict[str, Any]
KNOWN: dict[str, Any] = tomllib.loads(
    Path(__file__).with_name("last_orders.toml").read_text("utf-8")
)


def each(table: str) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("row", KNOWN[table], ids=[row["name"] for row in KNOWN[table]])


def one_period(mean: float, short: float, over: float) -> MarginalUnits:
    """What is short costs `short` beyond the price, what is over costs the price `over`."""
    money = Money(short + over, over, discount_rate=0.0, holding_rate=0.0)
    return MarginalUnits(RemainingDemand([Stream(mean, 1.0)], 1.0), 0, money)


@each("periods")
def test_one_period_without_interest_is_the_newsvendor(row: Entry) -> None:
    units = one_period(row["mean"], row["short"], row["over"])
    lot = units.lot(row["quantity"], 0.0)
    # short x E[short] + over x E[over] = (short + over) E[N] - over E[N] - saving + price
    cost = row["short"] * row["mean"] - lot.gain

    assert units.quantity(1, 0.0) == row["quantity"]
    assert cost == pytest.approx(row["cost"], rel=1e-8)


@each("periods")
def test_the_quantity_is_the_smallest_that_reaches_the_ratio(row: Entry) -> None:
    ratio = row["short"] / (row["short"] + row["over"])
    n = row["quantity"]

    assert poisson.cdf(n - 1, row["mean"]) < ratio <= poisson.cdf(n, row["mean"])


def test_a_normal_approximation_would_buy_too_many() -> None:
    # 6 a period, ratio 4/5: F(7) = 0.744 and F(8) = 0.847; a normal quantile of 8.06 rounds up
    normal = ceil(6.0 + NormalDist().inv_cdf(0.8) * sqrt(6.0))

    assert one_period(6.0, 4.0, 1.0).quantity(1, 0.0) == 8 == normal - 1


def single(row: Entry) -> SinglePeriod:
    first, second = row["parameters"]
    demand = (
        norm(first, second) if row["distribution"] == "normal" else lognorm(second, 0.0, exp(first))
    )
    return SinglePeriod(demand, row["short"], row["over"])


@each("continuous")
def test_one_period_of_any_demand_is_ordered_up_to_the_ratio(row: Entry) -> None:
    period = single(row)

    assert period.critical_ratio == pytest.approx(row["ratio"], rel=1e-6)
    assert period.quantity == pytest.approx(row["quantity"], abs=row["within"])
    if "cost" in row:
        assert period.expected_cost(period.quantity) == pytest.approx(
            row["cost"], abs=row["within"]
        )
    if "expected_short" in row:
        short = period.expected_short(period.quantity)

        assert short == pytest.approx(row["expected_short"], abs=row["within"])


@pytest.mark.parametrize("row", [row for row in KNOWN["continuous"] if "profit" in row])
def test_profit_is_what_all_would_earn_less_what_is_short_and_left(row: Entry) -> None:
    period = single(row)
    all_of_it = row["earned"] * period.demand.mean() - row["paid_anyhow"]

    for quantity, profit in row["profit"]:
        assert all_of_it - period.expected_cost(quantity) == pytest.approx(profit, abs=1e-4)


@each("periods")
def test_one_period_of_whole_units_is_ordered_up_to_the_ratio(row: Entry) -> None:
    period = SinglePeriod(poisson(row["mean"]), row["short"], row["over"])

    assert period.quantity == row["quantity"]
    assert period.expected_cost(row["quantity"]) == pytest.approx(row["cost"], rel=1e-8)


@each("uncertain")
def test_an_uncertain_rate_asks_for_more(row: Entry) -> None:
    shape, mean = row["shape"], row["shape"] * row["ratio"]
    demand = RemainingDemand([Stream(mean, 1.0, uncertain=True)], 1.0, shape)

    assert [demand.enough(q) for q in row["confidence"]] == row["units"]


@pytest.mark.parametrize("row", [r for r in KNOWN["uncertain"] if "certain_units" in r])
def test_the_same_mean_known_for_certain_would_be_too_few(row: Entry) -> None:
    demand = RemainingDemand([Stream(row["shape"] * row["ratio"], 1.0)], 1.0)

    assert [demand.enough(q) for q in row["confidence"]] == row["certain_units"]


def test_an_uncertain_count_is_the_negative_binomial_of_a_library() -> None:
    shape, rate = 2.0, 4.0
    demand = RemainingDemand([Stream(shape / rate, 9.0, uncertain=True)], 5.0, shape)
    chances = demand.chances(np.array([2.0, 5.0]), 40)

    for at, years in enumerate((2.0, 5.0)):
        assert chances[at] == pytest.approx(nbinom.pmf(np.arange(41), shape, rate / (rate + years)))
    assert chances[1, 3] == pytest.approx(0.1354807025, abs=1e-10)  # by quadrature, apart


def test_a_falling_fleet_asks_for_the_sum_of_its_years() -> None:
    row = KNOWN["falling"]
    fleet = [*row["units_in_year"], 0]
    going = [here - later for here, later in pairwise(fleet)]
    streams = [Stream(gone * row["failures_per_year"], year) for year, gone in enumerate(going, 1)]
    demand = RemainingDemand(streams, 6.0)

    assert float(demand.mean(np.array([6.0]))[0]) == pytest.approx(row["mean"])
    assert [demand.enough(q) for q in row["confidence"]] == row["units"]


def test_demand_that_falls_by_a_share_a_year() -> None:
    row = KNOWN["geometric"]
    rates = [row["first_year"] * row["factor"] ** year for year in range(row["years"])]
    ends = zip(rates, [*rates[1:], 0.0], strict=True)
    streams = [Stream(rate - later, year) for year, (rate, later) in enumerate(ends, 1)]
    demand = RemainingDemand(streams, float(row["years"]))

    assert float(demand.mean(np.array([7.0]))[0]) == pytest.approx(row["mean"])
    assert demand.enough(row["confidence"]) == row["units"]


def test_lasting_to_the_end_is_not_serving_the_last_one() -> None:
    # mean 1, two units: P(N <= 2) = 5/2e lasts; P(N <= 1) = 2/e has one left at the end
    demand = RemainingDemand([Stream(0.5, 2.0)], 2.0)

    assert demand.at_most(2) == pytest.approx(2.5 * exp(-1.0))
    assert demand.at_most(1) == pytest.approx(2.0 * exp(-1.0))
