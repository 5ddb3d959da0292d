"""The weighted sum against an example that is passed on in texts about the weighted sum model.

Three alternatives under four criteria, weights 0.20, 0.15, 0.40, 0.25; Triantaphyllou,
"Multi-Criteria Decision Making Methods: A Comparative Study" (2000). The inputs were read in public
copies of an article about the model. It gives 21.50 and 22.00 for the first two alternatives; some
copies go on to 20.00 for the third, which is an error: its sum is 22.00 as well.
"""

from __future__ import annotations

import numpy as np
import pytest

from parts.calc.ranking.scores import weighted_score

WEIGHTS = np.array([0.20, 0.15, 0.40, 0.25])
ALTERNATIVES = np.array([[25, 20, 15, 30], [10, 30, 20, 30], [30, 10, 30, 10]], dtype=float)


def test_sums_are_those_of_the_article_and_the_third_ties_with_the_second() -> None:
    scores = weighted_score(ALTERNATIVES, WEIGHTS)

    assert scores == pytest.approx([21.50, 22.00, 22.00], abs=1e-9)


@pytest.mark.parametrize(
    ("other", "criterion", "change", "per_cent"),
    [
        (1, 0, -0.033333333333, -16.667), (1, 1, 0.05, 33.333), (1, 2, 0.10, 25.0),
        (2, 0, 0.10, 50.0), (2, 1, -0.05, -33.333), (2, 2, 0.033333333333, 8.333),
        (2, 3, -0.025, -10.0),
    ],
)  # fmt: skip
def test_a_weight_less_its_critical_change_makes_the_first_tie_with_another(
    other: int, criterion: int, change: float, per_cent: float
) -> None:
    """Smallest change of one weight that reverses a rank, (P_other - P_first) / (a_other -
    a_first), taken off that weight while the others stay: Triantaphyllou and Sanchez, "A
    sensitivity analysis approach for some deterministic multi-criteria decision-making methods",
    Decision Sciences 28 (1997) 151-194. Formula from memory, changes reckoned apart from the
    program. Scaling all weights to a sum of 1 keeps a tie a tie."""
    weights = WEIGHTS.copy()
    weights[criterion] -= change
    scores = weighted_score(ALTERNATIVES, weights)

    assert scores[0] == pytest.approx(scores[other], abs=1e-9)
    assert 100 * change / WEIGHTS[criterion] == pytest.approx(per_cent, abs=5e-4)


def test_no_change_of_a_weight_parts_alternatives_that_are_equal_under_it() -> None:
    for weight in (0.0, 0.5, 1.0):
        weights = np.array([*WEIGHTS[:3], weight])
        first, second, _ = weighted_score(ALTERNATIVES, weights) * weights.sum()

        assert second - first == pytest.approx(0.5, abs=1e-9)


def test_the_sum_is_not_the_product() -> None:
    """The weighted product ranks the first alternative ahead (20.62810429, 20.47672511,
    19.33182045; reckoned apart); the weighted sum ranks it last."""
    products = np.prod(ALTERNATIVES**WEIGHTS, axis=1)

    assert products == pytest.approx([20.62810429, 20.47672511, 19.33182045], abs=1e-8)
    assert products.argmax() == weighted_score(ALTERNATIVES, WEIGHTS).argmin() == 0
