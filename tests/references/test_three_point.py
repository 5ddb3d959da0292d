"""Three points become a mean, a textbook variance and a beta distribution.

Mean and textbook variance: Malcolm, Roseboom, Clark and Fazar, Operations Research 7 (1959)
646-669. The beta distribution whose shapes add up to 6 and whose mean is that mean is common
practice; its variance follows from the beta's own, and SciPy's beta stands in as the other party.
"""

from __future__ import annotations

import pytest
from scipy import stats

from parts.calc.getting.three_point import beta_shapes, beta_variance, pert_mean, textbook_variance


def test_three_equal_points_have_no_spread() -> None:
    assert pert_mean(7, 7, 7) == 7
    assert textbook_variance(7, 7, 7) == 0
    assert beta_variance(7, 7, 7) == 0


def test_mean_and_deviation_printed_on_a_public_page() -> None:
    """schematex.js.org, PERT example (read): 5, 8, 14 give 8.5; (14 - 5) / 6 is 1.5."""
    assert pert_mean(5, 8, 14) == pytest.approx(8.5, abs=1e-12)
    assert textbook_variance(5, 8, 14) == pytest.approx(1.5**2, abs=1e-12)


def test_symmetric_points_give_a_beta_of_equal_shapes() -> None:
    """Beta(3, 3) on 0 to 1 has the variance 3 x 3 / (6^2 x 7) = 1/28; on 1 to 3, 4/28."""
    assert beta_shapes(1, 2, 3) == pytest.approx((3, 3))
    assert beta_variance(1, 2, 3) == pytest.approx(1 / 7, abs=1e-12)


@pytest.mark.parametrize(
    ("low", "likely", "high"), [(5, 8, 14), (0, 0, 10), (0, 10, 10), (150, 160, 400)]
)
def test_mean_and_variance_are_those_of_the_beta_with_these_shapes(
    low: float, likely: float, high: float
) -> None:
    alpha, beta = beta_shapes(low, likely, high)
    of_the_beta = stats.beta(alpha, beta, loc=low, scale=high - low)

    assert alpha + beta == pytest.approx(6)
    assert pert_mean(low, likely, high) == pytest.approx(of_the_beta.mean(), rel=1e-12)
    assert beta_variance(low, likely, high) == pytest.approx(of_the_beta.var(), rel=1e-12)
