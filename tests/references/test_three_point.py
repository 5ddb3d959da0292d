"""Three points become a mean and a beta distribution.

Mean: Malcolm, Roseboom, Clark and Fazar, Operations Research 7 (1959)
646-669. The beta distribution whose shapes add up to 6 and whose mean is that mean is common
practice; its variance follows from the beta's own, and SciPy's beta stands in as the other party.
"""

from __future__ import annotations

import pytest
from scipy import stats

from parts.calc.getting.three_point import ThreePoint, beta_shapes, pert_mean


def test_three_equal_points_have_no_spread() -> None:
    assert pert_mean(7, 7, 7) == 7
    assert ThreePoint(7, 7, 7).is_certain


def test_the_mean_printed_on_a_public_page() -> None:
    """schematex.js.org, PERT example (read): 5, 8, 14 give 8.5."""
    assert pert_mean(5, 8, 14) == pytest.approx(8.5, abs=1e-12)


def test_symmetric_points_give_a_beta_of_equal_shapes() -> None:
    assert beta_shapes(1, 2, 3) == pytest.approx((3, 3))


@pytest.mark.parametrize(
    ("low", "likely", "high"), [(1, 2, 3), (5, 8, 14), (0, 0, 10), (0, 10, 10), (150, 160, 400)]
)
def test_mean_and_variance_are_those_of_the_beta_with_these_shapes(
    low: float, likely: float, high: float
) -> None:
    alpha, beta = beta_shapes(low, likely, high)
    of_the_beta = stats.beta(alpha, beta, loc=low, scale=high - low)
    mean = pert_mean(low, likely, high)

    assert alpha + beta == pytest.approx(6)
    assert mean == pytest.approx(of_the_beta.mean(), rel=1e-12)
    assert of_the_beta.var() == pytest.approx((mean - low) * (high - mean) / 7, rel=1e-12)
