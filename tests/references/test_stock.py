"""Spares and backorders come out as their sources print them, and well-known slips are caught.

Sources, printed digits and how they are known stand in stock.toml. Figures without an entry there
are identities, or are reckoned in the test itself by another method.
"""

from __future__ import annotations

import tomllib
from decimal import Decimal
from math import exp, log, sqrt
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.stats import chi2

from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.waiting.backorders import (
    expected_backorders,
    expected_batch_backorders,
    mean_wait_days,
)
from parts.calc.waiting.poisson import at_least, at_most, exactly, smallest_stock

Entry = dict[str, Any]
KNOWN: dict[str, Any] = tomllib.loads(
    Path(__file__).with_name("stock.toml").read_text("utf-8"), parse_float=Decimal
)


def each(table: str) -> pytest.MarkDecorator:
    rows = KNOWN[table]
    names = [row.get("name", str(number)) for number, row in enumerate(rows)]
    return pytest.mark.parametrize("row", rows, ids=names)


def as_printed(value: float, printed: Decimal) -> bool:
    """Equal at the digits that are printed."""
    exponent = printed.as_tuple().exponent
    assert isinstance(exponent, int)
    slack = 1e-9 if exponent < -9 else 0.5 * 10.0**exponent * (1 + 1e-9)
    return abs(value - float(printed)) <= slack


def logarithmic_batches(mean: float, variance: float) -> dict[int, float]:
    """Events by size whose units are negative binomial: Quenouille (1949), from memory."""
    p = mean / variance
    r = mean * p / (1.0 - p)
    return {size: r * (1.0 - p) ** size / size for size in range(1, 700)}


@each("spares")
def test_no_stock_out_over_a_period_begun_with_spares(row: Entry) -> None:
    mean = float(row["mean"])

    assert as_printed(float(at_most(row["spares"], mean)), row["printed"])
    for count, term in enumerate(row.get("terms", [])):
        assert as_printed(float(exactly(count, mean)), term)
    for count, chance in enumerate(row.get("table", [])):
        assert as_printed(float(at_most(count, mean)), chance)


def test_no_stock_out_is_the_life_of_one_unit_and_its_standbys() -> None:
    # Erlang: n cold standbys with a perfect switch; identity, no source needed
    x = 0.5

    assert float(at_most(2, x)) == pytest.approx(exp(-x) * (1 + x + x * x / 2), abs=1e-12)
    assert float(at_most(1, x)) == pytest.approx(0.9097959896, abs=1e-9)


@each("enough")
def test_the_fewest_spares_that_are_enough(row: Entry) -> None:
    mean, confidence = float(row["mean"]), float(row["confidence"])

    assert smallest_stock(mean, confidence) == row.get("right", row["printed"])


def test_a_normal_approximation_would_buy_too_many() -> None:
    (row,) = (row for row in KNOWN["enough"] if "errata" in row)
    mean = float(row["mean"])
    by_normal = np.ceil(mean + 1.645 * sqrt(mean))

    assert by_normal == row["printed"]
    assert smallest_stock(mean, 0.95) == by_normal - 1
    assert float(at_most(1, mean)) == pytest.approx(0.95758, abs=5e-6)


@pytest.mark.parametrize("mean", KNOWN["enough_by_mean"])
def test_the_fewest_spares_by_confidence(mean: str) -> None:
    found = [smallest_stock(float(mean), q) for q in (0.90, 0.95, 0.99, 0.999)]

    assert found == KNOWN["enough_by_mean"][mean]


@pytest.mark.parametrize("spares", range(6))
def test_spares_are_enough_up_to_a_mean_that_chi_square_tells(spares: int) -> None:
    # P(N <= s) = 0.95 where the mean is chi2(0.05; 2s + 2) / 2; standard identity
    boundary = float(chi2.ppf(0.05, 2 * spares + 2)) / 2.0

    assert smallest_stock(boundary * (1 - 1e-9), 0.95) == spares
    assert smallest_stock(boundary * (1 + 1e-9), 0.95) == spares + 1


@each("backorders")
def test_units_owed_of_poisson_demand(row: Entry) -> None:
    for stock, printed in enumerate(row["printed"], row["from_stock"]):
        assert as_printed(expected_backorders(float(row["mean"]), stock), printed)


@each("batches")
def test_units_owed_where_demand_comes_in_batches(row: Entry) -> None:
    batches = logarithmic_batches(float(row["mean"]), float(row["variance"]))

    for stock, printed in enumerate(row["printed"], row["from_stock"]):
        assert as_printed(expected_batch_backorders(batches, stock, 1.0), printed)


@each("waits")
def test_mean_waits_by_stock(row: Entry) -> None:
    rate, lead_days = float(row["per_year"]), float(row["lead_years"]) * DAYS_A_YEAR

    for stock, printed in enumerate(row["printed"]):
        years = mean_wait_days({1: rate}, 1, stock, lead_days) / DAYS_A_YEAR
        assert years * 365.0 == pytest.approx(float(printed), abs=1e-3)


def test_the_best_reorder_point_and_quantity_of_a_textbook() -> None:
    # Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., example 5.8 (cost as an open
    # library that accompanies the book prints it): h 20, p 150, K 100, 1.5 a year, lead 2 years
    def cost(reorder: int, quantity: int) -> float:
        stocks = range(reorder + 1, reorder + quantity + 1)
        owed = [expected_backorders(3.0, stock) for stock in stocks]
        held = [stock - 3.0 + late for stock, late in zip(stocks, owed, strict=True)]
        return (100.0 * 1.5 + 20.0 * sum(held) + 150.0 * sum(owed)) / quantity

    best = min(((r, q) for r in range(8) for q in range(1, 12)), key=lambda point: cost(*point))

    assert best == (3, 5)
    assert cost(3, 5) == pytest.approx(107.92358063314975, abs=1e-8)


def test_the_best_stock_for_one_period_of_a_textbook() -> None:
    # Snyder and Shen, as above, data of example 4.7: Poisson 6, h 1, p 4
    def cost(stock: int) -> float:
        owed = expected_backorders(6.0, stock)
        return stock - 6.0 + owed + 4.0 * owed

    assert min(range(20), key=cost) == 8 == smallest_stock(6.0, 4.0 / 5.0)
    assert cost(8) == pytest.approx(3.5701069457709416, abs=1e-9)
    assert cost(5) == pytest.approx(6.590296024616343, abs=1e-9)


@pytest.mark.parametrize(
    ("mean", "holding", "owed", "stock", "cost"),
    [
        (1.0, 2000.0, 15000.0, 2, 5554.574853),
        (0.4, 8000.0, 250000.0, 2, 18192.027621),
        (2.5, 300.0, 4000.0, 5, 1747.799047),
    ],
)
def test_the_cheapest_stock_is_where_running_out_costs_no_more_than_holding(
    mean: float, holding: float, owed: float, stock: int, cost: float
) -> None:
    # first difference of a convex cost: smallest S with P(N > S) <= h/b; reckoned apart
    assert smallest_stock(mean, 1.0 - holding / owed) == stock
    assert holding * stock + owed * expected_backorders(mean, stock) == pytest.approx(cost)


def test_a_depot_with_two_bases() -> None:
    # METRIC (Sherbrooke 1968), figures of our own: 1.5 a year in all, repair 0.5, transit 0.1
    depot = [expected_backorders(0.75, stock) for stock in range(3)]
    pipelines = [[rate * (0.1 + owed / 1.5) for rate in (0.5, 1.0)] for owed in depot]

    assert depot == pytest.approx([0.75, 0.222367, 0.049008], abs=1e-6)
    assert pipelines == pytest.approx(
        np.array([[0.3, 0.6], [0.124122, 0.248244], [0.066336, 0.132672]]), abs=1e-6
    )


def test_spares_for_a_period_are_not_a_stock_that_is_filled_up() -> None:
    # with two spares no stock-out: P(N <= 2); served at once from a base stock of two: P(N <= 1)
    served_at_once = 1.0 - float(at_least(2, 1.0))

    assert float(at_most(2, 1.0)) == pytest.approx(0.919699, abs=1e-6)
    assert served_at_once == pytest.approx(0.735759, abs=1e-6)
    assert expected_backorders(1.0, 1) - expected_backorders(1.0, 2) == pytest.approx(
        1.0 - served_at_once
    )


def test_who_waits_is_not_lost() -> None:
    # Erlang's loss formula, B = 1/2 for one server and one erlang, is demand that goes elsewhere
    lost = 1.0 / (1.0 + 1.0)
    waiting = float(at_least(1, 1.0))

    assert waiting == pytest.approx(0.632121, abs=1e-6)
    assert waiting > lost


def missing_machines(machines: int, spares: int, rate: float, repair: float, crews: int) -> float:
    """Machines standing for want of a spare, by the balance of births and deaths."""
    weights = [1.0]
    for down in range(machines + spares):
        running = min(machines, machines + spares - down)
        weights.append(weights[-1] * running * rate / (repair * min(down + 1, crews)))
    owed = [max(0, down - spares) for down in range(len(weights))]
    return sum(w * n for w, n in zip(weights, owed, strict=True)) / sum(weights)


def test_a_constant_rate_overstates_few_machines_and_understates_few_repairers() -> None:
    # a limit of the model, shown: what stands still does not fail, and repairs may queue
    assert missing_machines(1, 1, 1.0, 1.0, 99) == pytest.approx(0.2)
    assert missing_machines(4, 1, 0.25, 2.0, 99) == pytest.approx(0.0970241371)
    assert missing_machines(4, 1, 0.25, 2.0, 1) == pytest.approx(0.2778067885)

    assert missing_machines(1, 1, 1.0, 1.0, 99) < expected_backorders(1.0, 1)
    assert missing_machines(4, 1, 0.25, 2.0, 99) < expected_backorders(0.5, 1)
    assert missing_machines(4, 1, 0.25, 2.0, 1) > expected_backorders(0.5, 1)


def test_logarithmic_batches_make_a_negative_binomial() -> None:
    batches = logarithmic_batches(23.0, 64.0)
    units = sum(size * rate for size, rate in batches.items())
    variance = sum(size**2 * rate for size, rate in batches.items())

    assert (units, variance) == pytest.approx((23.0, 64.0))
    assert sum(batches.values()) == pytest.approx(-23.0 * 23.0 / 41.0 * log(23.0 / 64.0))
