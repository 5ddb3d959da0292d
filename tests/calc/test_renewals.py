"""Expected renewals: nothing ahead, no age, great ages, steep lives, and what must hold of all."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.special import gammainc

from parts.calc.likelihoods.renewals import expected_renewals
from parts.calc.likelihoods.weibull import hazard_ahead, mean_life

SHAPES = (0.5, 0.8, 1.0, 1.3, 2.0, 3.5, 8.0, 20.0)
AGES = np.array([0.0, 0.001, 0.2, 0.7, 0.95, 1.2, 2.0])


def renewals(shape: float, ages: object, spans: object) -> NDArray[np.float64]:
    ages_, spans_ = np.broadcast_arrays(
        np.atleast_1d(np.asarray(ages, float)), np.atleast_1d(np.asarray(spans, float))
    )
    return expected_renewals(shape, 1.0, ages_, spans_)


def test_nothing_is_expected_of_no_units() -> None:
    assert renewals(2.0, [], []).shape == (0,)


@pytest.mark.parametrize("shape", SHAPES)
def test_nothing_is_expected_of_no_time(shape: float) -> None:
    assert renewals(shape, AGES, 0.0) == pytest.approx(np.zeros(len(AGES)), abs=1e-12)


def test_a_constant_rate_knows_no_age() -> None:
    assert renewals(1.0, AGES, 0.37).tolist() == [0.37] * len(AGES)


@pytest.mark.parametrize("shape", [0.999999, 1.000001])
def test_all_but_a_constant_rate_is_all_but_the_span(shape: float) -> None:
    for span in (0.01, 1.0, 5.0, 40.0):
        assert renewals(shape, AGES, span) == pytest.approx(np.full(len(AGES), span), rel=1e-4)


def test_an_age_far_beyond_its_life_fails_at_once() -> None:
    """Then it goes on as a new unit: M(0.5) of shape 2 is 0.2307938936."""
    assert renewals(2.0, 1e6, 0.5) == pytest.approx([1.2307938936], abs=1e-5)


def test_the_steepest_life_fails_like_clockwork() -> None:
    assert renewals(500.0, 0.0, [0.9, 1.5, 2.5]) == pytest.approx([0.0, 1.0, 2.0], abs=1e-6)
    assert renewals(500.0, 0.5, [0.4, 0.6, 1.7]) == pytest.approx([0.0, 1.0, 2.0], abs=1e-6)


def test_a_span_of_very_many_lives_takes_them_at_their_mean() -> None:
    for shape in (0.8, 2.0, 20.0):
        many = renewals(shape, 0.0, 1e5)

        assert many == pytest.approx([1e5 / mean_life(shape, 1.0)], rel=1e-4)


@pytest.mark.parametrize("shape", SHAPES)
def test_more_is_expected_than_one_failure_and_less_than_repairs_as_bad_as_old(
    shape: float,
) -> None:
    ahead = hazard_ahead(shape, 1.0, AGES, np.full(len(AGES), 0.5))
    found = renewals(shape, AGES, 0.5)

    assert (found >= -np.expm1(-ahead) - 1e-9).all()
    if shape >= 1.0:
        assert (found <= ahead + 1e-9).all()


@pytest.mark.parametrize("shape", [0.6, 0.9, 1.2, 2.0, 3.5, 8.0])
@pytest.mark.parametrize("span", [0.05, 1.5, 3.3])
def test_exactly_one_unit_is_in_service_at_any_time(shape: float, span: float) -> None:
    """After Smith (1958), from memory: a process that starts with the age that it has in the long
    run renews evenly, span/mean; that age has the density R/mean."""
    mean = mean_life(shape, 1.0)
    edges = np.linspace(0.0, 1.0, 4001) ** 3 * 60.0 ** (1.0 / shape)
    shares = np.diff(gammainc(1.0 / shape, edges**shape))
    middles = (edges[1:] + edges[:-1]) / 2.0

    assert shares @ renewals(shape, middles, span) == pytest.approx(span / mean, abs=2e-5)


def test_like_units_get_like_figures_whatever_their_order() -> None:
    ages = np.array([2.0, 0.5, 2.0, 0.1, 0.5])
    found = renewals(2.5, ages, 1.0)

    assert found[0] == found[2]
    assert found[1] == found[4]
    assert found[::-1].tolist() == renewals(2.5, ages[::-1], 1.0).tolist()


def test_units_of_unlike_scales_are_told_apart() -> None:
    scales = np.array([1.0, 2.0])
    found = expected_renewals(2.0, scales, np.array([0.5, 0.5]), np.array([1.0, 1.0]))

    assert found[0] == pytest.approx(renewals(2.0, 0.5, 1.0)[0])
    assert found[1] == pytest.approx(renewals(2.0, 0.25, 0.5)[0])
