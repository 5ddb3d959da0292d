"""Fits of few, equal and odd ages; limits against a search that knows no short cut."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize, stats

from parts.calc.likelihoods.life_fits import DROP, Lifetimes

Units = tuple[list[float], list[float]]

HANDBOOK: Units = ([54, 187, 216, 240, 244, 335, 361, 373, 375, 386], [500] * 10)
COILS: Units = (
    [1450, 2300, 2875, 3100, 3620, 4100, 4450, 5020],
    [1200, 2000, 2600, 3500, 4000, 5200],
)
MANY_AT_WORK: Units = ([310, 700, 1500, 2200, 2900], [3000] * 60)


def units(failed: list[float], running: list[float]) -> Lifetimes:
    return Lifetimes(np.array(failed, dtype=float), np.array(running, dtype=float))


def test_one_failure_tells_no_shape_but_a_scale() -> None:
    assert units([7], []).shape() is None
    assert units([7], []).scale_at(2.0) == pytest.approx(7.0)


def test_equal_ages_tell_no_shape() -> None:
    assert units([5] * 6, []).shape() is None
    assert units([5] * 6, [1, 5]).shape() is None


def test_equal_ages_tell_a_shape_once_a_unit_has_outlived_them() -> None:
    assert units([5] * 6, [9]).shape() is not None


def test_ages_all_but_equal_tell_no_shape_that_can_be_used() -> None:
    assert units([5.0, 5.0, 5.0, 5.0, 5.01], []).shape() is None


def test_new_units_at_work_tell_nothing() -> None:
    with_new = units([3, 5, 8], [6, 0, 0])

    assert with_new.shape() == units([3, 5, 8], [6]).shape()


def test_the_unit_of_time_does_not_matter() -> None:
    years, hours = units([1, 2, 4, 5, 7], [9]), units([8e5, 16e5, 32e5, 40e5, 56e5], [72e5])
    shape = years.shape()
    assert shape is not None

    assert hours.shape() == pytest.approx(shape, rel=1e-10)
    assert hours.scale_at(shape) == pytest.approx(8e5 * years.scale_at(shape), rel=1e-10)


@pytest.mark.parametrize("ages", [HANDBOOK, COILS, MANY_AT_WORK])
def test_limits_are_where_the_likelihood_has_fallen_by_chi_square(
    ages: Units,
) -> None:
    """Twice the fall is chi-square with one degree of freedom, the other parameter searched for."""
    found = units(*ages)
    shape = found.shape()
    assert shape is not None
    scale = found.scale_at(shape)
    height = found.log_likelihood(shape, scale)
    assert pytest.approx(stats.chi2(1).ppf(0.95) / 2) == DROP

    def best(unlike: object) -> float:
        return -float(optimize.minimize_scalar(unlike, bracket=(-1.0, 1.0)).fun)

    for limit in found.shape_limits(shape):
        assert limit is not None
        top = best(
            lambda x, at=limit: -found.log_likelihood(at, found.scale_at(at) * float(np.exp(x)))
        )
        assert height - top == pytest.approx(DROP, abs=1e-6)
    for limit in found.scale_limits(scale):
        assert limit is not None
        top = best(lambda x, at=limit: -found.log_likelihood(shape * float(np.exp(x)), at))
        assert height - top == pytest.approx(DROP, abs=1e-6)


def test_limits_lie_on_either_side() -> None:
    found = units(*HANDBOOK)
    shape = found.shape()
    assert shape is not None
    low, high = found.shape_limits(shape)
    least, most = found.scale_limits(found.scale_at(shape))
    assert None not in (low, high, least, most)

    assert low < shape < high  # type: ignore[operator]  # none is None
    assert least < found.scale_at(shape) < most  # type: ignore[operator]  # none is None


@pytest.mark.parametrize("shape", [1.0, 2.5])
@pytest.mark.parametrize("failed", [[700.0], [300.0, 900.0, 1400.0]])
def test_limits_with_the_shape_held(shape: float, failed: list[float]) -> None:
    found = units(failed, [1000.0, 2000.0])
    height = found.log_likelihood(shape, found.scale_at(shape))
    low, high = found.scale_limits_held(shape)

    assert low < found.scale_at(shape) < high
    for limit in (low, high):
        assert height - found.log_likelihood(shape, limit) == pytest.approx(DROP, abs=1e-9)


def test_lives_drawn_from_a_weibull_are_found_again() -> None:
    rng = np.random.default_rng(20261125)
    lives, seen_until = 40.0 * rng.weibull(2.2, size=4000), rng.uniform(10.0, 60.0, size=4000)
    found = Lifetimes(lives[lives <= seen_until], seen_until[lives > seen_until])
    shape = found.shape()
    assert shape is not None

    assert shape == pytest.approx(2.2, rel=0.05)
    assert found.scale_at(shape) == pytest.approx(40.0, rel=0.03)
