"""Waits for one stock: degenerate cases, tiny and large figures, and brute force."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import poisson

from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.waiting.backorders import (
    chance_uncovered,
    expected_backorders,
    expected_batch_backorders,
    mean_wait_days,
)
from parts.calc.waiting.poisson import at_least, at_most, exactly, smallest_stock, units_at_most


def test_nothing_asked_for_is_never_owed() -> None:
    assert expected_backorders(0.0, 0) == 0.0
    assert expected_batch_backorders({}, 0, 10.0) == 0.0
    assert mean_wait_days({}, 1, 1, 100.0) == 0.0
    assert smallest_stock(0.0, 0.99) == 0


def test_less_than_a_use_takes_waits_the_whole_lead() -> None:
    assert mean_wait_days({}, 1, 0, 100.0) == 100.0
    assert mean_wait_days({2: 1.0}, 2, 1, 100.0) == 100.0


def test_a_lead_of_no_days_is_no_wait() -> None:
    assert mean_wait_days({1: 3.0}, 1, 0, 0.0) == 0.0
    assert mean_wait_days({1: 3.0}, 1, 2, 0.0) == 0.0


def test_chances_of_impossible_counts_are_none() -> None:
    assert float(at_most(-1, 2.0)) == 0.0
    assert float(exactly(-1, 2.0)) == 0.0
    assert float(at_least(0, 0.0)) == 1.0


def test_a_certain_confidence_is_refused() -> None:
    with pytest.raises(ValueError, match="confidence"):
        smallest_stock(1.0, 1.0)


@pytest.mark.parametrize("mean", [1e-300, 1e-12, 1e-3, 1.0, 40.0, 1e4, 1e7])
@pytest.mark.parametrize("stock", [0, 1, 2, 7, 60, 5000])
def test_units_owed_are_sound_at_tiny_and_at_large_means(mean: float, stock: int) -> None:
    owed = expected_backorders(mean, stock)

    assert max(0.0, mean - stock) * (1 - 1e-12) <= owed <= mean
    assert owed >= expected_backorders(mean, stock + 1)


def test_a_tiny_mean_keeps_its_digits() -> None:
    # leading term of the series: m^(S+1) / (S+1)!
    assert expected_backorders(1e-6, 2) == pytest.approx(1e-18 / 6.0, rel=1e-5)


@pytest.mark.parametrize("batches", [{1: 2.0, 3: 0.5}, {2: 1.0}, {1: 0.1, 2: 4.0, 5: 0.7}])
@pytest.mark.parametrize(("units", "stock"), [(1, 1), (1, 4), (2, 5), (3, 9)])
def test_batches_wait_as_the_integral_says(
    batches: dict[int, float], units: int, stock: int
) -> None:
    nodes, weights = np.polynomial.legendre.leggauss(40)
    years = 0.4 * (nodes + 1.0) / 2.0
    beyond = 1.0 - brute_at_most(batches, stock - units, years)
    expected = 0.4 * DAYS_A_YEAR * float(weights @ beyond) / 2.0

    found = mean_wait_days(batches, units, stock, 0.4 * DAYS_A_YEAR)

    assert found == pytest.approx(expected, rel=1e-10)


def brute_at_most(batches: dict[int, float], units: int, years: np.ndarray) -> np.ndarray:
    """P(D <= units) by convolving one stretched Poisson count for each size."""
    found = []
    for window in years.tolist():
        chances = np.array([1.0])
        for size, rate in batches.items():
            stretched = np.zeros(units + 1)
            stretched[::size] = poisson.pmf(np.arange(units // size + 1), rate * window)
            chances = np.convolve(chances, stretched)[: units + 1]
        found.append(chances.sum())
    return np.array(found)


def test_units_in_a_window_are_as_convolved() -> None:
    batches, years = {1: 3.0, 4: 1.5}, np.array([0.0, 0.1, 2.0, 300.0])
    found = units_at_most(batches, 9, years)

    assert found[:, 9] == pytest.approx(brute_at_most(batches, 9, years), abs=1e-14)
    assert (np.diff(found, axis=1) >= 0.0).all()


def test_batches_of_one_size_wait_as_counted_in_batches() -> None:
    mixed = {3: 2.0, 6: 1e-14}

    assert mean_wait_days({3: 2.0}, 3, 9, 80.0) == pytest.approx(
        mean_wait_days({1: 2.0}, 1, 3, 80.0)
    )
    assert mean_wait_days(mixed, 3, 9, 80.0) == pytest.approx(
        mean_wait_days({3: 2.0}, 3, 9, 80.0), rel=1e-9
    )


@pytest.mark.parametrize("batches", [{1: 900.0}, {1: 700.0, 8: 40.0}])
def test_hundreds_a_year_stay_between_nothing_and_the_lead(batches: dict[int, float]) -> None:
    waits = [mean_wait_days(batches, 1, stock, 200.0) for stock in (0, 1, 200, 450, 2000)]

    assert waits[0] == 200.0
    assert waits == sorted(waits, reverse=True)
    assert 0.0 <= waits[-1] < 1e-9


def test_a_stock_that_is_never_filled_up_covers_the_first_uses_only() -> None:
    # the sum over n > S of P(N >= n), over the units asked for
    owed = sum(float(poisson.sf(n - 1, 3.0)) for n in range(3, 60))

    assert chance_uncovered({1: 0.2}, 2, 15.0) == pytest.approx(owed / 3.0, rel=1e-12)
    assert chance_uncovered({1: 0.2}, 0, 15.0) == pytest.approx(1.0)
    assert chance_uncovered({}, 1, 15.0) == 0.0
    assert chance_uncovered({}, 0, 15.0) == 1.0
