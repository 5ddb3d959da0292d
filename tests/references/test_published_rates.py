"""A failure rate updated by records comes out as published; limits are those of the gamma.

Sources: NASA/SP-2009-569, Bayesian Inference for NASA Probabilistic Risk and Reliability Analysis
(June 2009), read; NIST/SEMATECH e-Handbook of Statistical Methods, formulas read, figures of the
examples from memory. Its examples 4 and 6 take a log-normal prior, reckoned here by quadrature: the
prior of the program is a gamma, and its limits hold their means. The other party is SciPy's own
gamma and chi-square.
"""

from __future__ import annotations

from math import exp, log

import pytest
from scipy import integrate, stats

from parts.calc.likelihoods.rates import gamma_limits, prior, updated


def test_no_failure_in_two_hundred_days() -> None:
    """NASA/SP-2009-569, section 4.2.2.1, example 3 (read): mean 4.3e-6, 5.6e-7 to 1.1e-5."""
    shape, rate = updated(1.6, 365_000.0, 0, 4_800.0)
    low, high = gamma_limits(shape, rate)

    assert (shape, rate) == (1.6, 369_800.0)
    assert [f"{value:.1e}" for value in (shape / rate, low, high)] == [
        *("4.3e-06", "5.6e-07", "1.1e-05")
    ]
    assert (low, high) == pytest.approx((5.6269327e-7, 1.1031205e-5), rel=1e-6)  # computed


def test_seven_failure_times() -> None:
    """The same, section 4.2.3.1, example 5 (read): mean 6.5e-7, 3.4e-7 to 1.1e-6.

    Erratum: the times add up to 12,782,180; the text prints 12,782,181.
    """
    hours = (55_707, 255_092, 56_776, 111_646, 11_358_772, 875_209, 68_978)
    shape, rate = updated(1.6, 365_000.0, len(hours), float(sum(hours)))
    low, high = gamma_limits(shape, rate)

    assert (shape, rate) == (8.6, 13_147_180.0)
    assert [f"{value:.1e}" for value in (shape / rate, low, high)] == [
        *("6.5e-07", "3.4e-07", "1.1e-06")
    ]
    assert (low, high) == pytest.approx((3.3523678e-7, 1.0589426e-6), rel=1e-6)  # computed


def log_normal_mean(failures: int, hours: float) -> float:
    """Posterior mean of a rate whose prior is log-normal, median 5e-7, error factor 14 (95 %)."""
    spread = log(14.0) / 1.645

    def moment(power: int) -> float:
        def density(z: float) -> float:
            rate = 5e-7 * exp(spread * z)
            # scaled by the rate's own size, so that seven failures do not underflow
            told = (rate * hours / max(failures, 1)) ** failures * exp(-rate * hours + failures)
            return rate**power * told * exp(-z * z / 2.0)

        return float(integrate.quad(density, -9.0, 9.0, limit=400, points=[-2.0, 0.0, 2.0])[0])

    return moment(1) / moment(0)


@pytest.mark.parametrize(
    ("failures", "hours", "printed", "computed"),
    [(0, 4_800.0, 1.6e-6, 1.6748810e-6), (7, 12_782_180.0, 5.5e-7, 5.4700197e-7)],
)
def test_a_log_normal_prior_leads_to_about_the_same_rate(
    failures: int, hours: float, printed: float, computed: float
) -> None:
    """NASA/SP-2009-569, examples 4 and 6 (read): 1.6e-6 and 5.5e-7, both by simulation there.

    The limits of the gamma of examples 3 and 5, which the program reckons, hold them.
    """
    mean = log_normal_mean(failures, hours)
    low, high = gamma_limits(*updated(1.6, 365_000.0, failures, hours))

    assert mean == pytest.approx(computed, rel=1e-3)
    assert mean == pytest.approx(printed, rel=0.05)
    assert low < mean < high


@pytest.mark.parametrize(
    ("failures", "time", "expected"),
    [
        (0, 100.0, (0.005, 1.96607e-5, 0.0192072941)),
        (1, 100.0, (0.015, 0.0017592316, 0.0390736395)),
        (10, 6.0, (1.75, 0.9659421, 2.7225478)),
    ],
)
def test_a_prior_of_half_a_failure(
    failures: int, time: float, expected: tuple[float, float, float]
) -> None:
    """Jeffreys: (x + 0.5)/t, section 4.2.2.2 of the same (formula read, figures computed)."""
    shape, rate = updated(0.5, 0.0, failures, time)

    assert (shape / rate, *gamma_limits(shape, rate)) == pytest.approx(expected, rel=1e-6)


def test_a_prior_from_two_points_of_consensus() -> None:
    """e-Handbook, section 8.2.5: even chance of 600 h, 95 % of 250 h: 2.863 and 1522.46."""
    shape, rate = 2.8630553062, 1522.5056220645  # computed to fit both points

    assert gamma_limits(shape, rate)[1] == pytest.approx(1 / 250, rel=1e-8)
    assert stats.gamma(shape, scale=1 / rate).median() == pytest.approx(1 / 600, rel=1e-8)
    assert gamma_limits(2.863, 1522.46)[1] == pytest.approx(1 / 250, rel=1e-4)


@pytest.mark.parametrize(
    ("shape", "rate", "hours", "mtbf", "printed"),
    [
        (2.8630553062, 1522.5056220645, 1756.1047234, 500.0, 1756),  # section 8.3.1.5
        (2.0, 1400.0, 1909.0274291, 600.0, 1909),  # section 8.4.6
    ],
)
def test_the_test_time_that_shows_a_mean_with_four_chances_in_five(
    shape: float, rate: float, hours: float, mtbf: float, printed: int
) -> None:
    """e-Handbook, test with two failures; the times are from memory."""
    with_test = updated(shape, rate, 2, hours)
    believed = stats.gamma(with_test[0], scale=1 / with_test[1])

    assert round(hours) == printed
    assert believed.cdf(1 / mtbf) == pytest.approx(0.8, abs=1e-9)


def test_what_is_believed_after_that_test() -> None:
    """e-Handbook, section 8.4.6 (from memory): gamma (4, 3309), median 901 h, 600 to 1897 h."""
    shape, rate = updated(2.0, 1400.0, 2, 1909.0)
    mtbf = [1 / stats.gamma(shape, scale=1 / rate).ppf(chance) for chance in (0.5, 0.8, 0.1)]

    assert (shape, rate) == (4.0, 3309.0)
    assert mtbf == pytest.approx([901.1288827, 599.9950265, 1896.5255186], rel=1e-6)  # computed
    assert [round(hours) for hours in mtbf] == [901, 600, 1897]


def test_limits_are_those_of_chi_square_tables() -> None:
    """Upper 95 % limit of a mean after k failures: 2.996, 4.744, 9.154 for k = 0, 1, 4."""
    upper = {k: gamma_limits(k + 1.0, 1.0)[1] for k in (0, 1, 2, 3, 4)}

    assert [f"{upper[k]:.3f}" for k in (0, 1, 4)] == ["2.996", "4.744", "9.154"]
    assert list(upper.values()) == pytest.approx(
        [2.9957322736, 4.7438645184, 6.2957936219, 7.7536565279, 9.1535190266], abs=1e-9
    )


def test_lower_limits_are_the_means_that_so_many_spares_cover() -> None:
    """Largest Poisson mean covered with 95 %, computed: chi-square(0.05; 2s + 2)/2."""
    lower = [gamma_limits(spares + 1.0, 1.0)[0] for spares in range(6)]

    assert lower == pytest.approx(
        [0.0512932944, 0.3553615107, 0.8176914472, 1.3663183967, 1.9701495681, 2.6130147442],
        abs=1e-9,
    )
    assert [stats.poisson.cdf(s, mean) for s, mean in enumerate(lower)] == pytest.approx([0.95] * 6)


def test_limits_of_a_mean_time_between_failures() -> None:
    """e-Handbook, section 8.4.5.1: 800 h with 2 failures: 127 and 2251 h (from memory)."""
    lower, upper = 1 / gamma_limits(3.0, 800.0)[1], 1 / gamma_limits(2.0, 800.0)[0]

    assert (round(lower), round(upper)) == (127, 2251)
    assert (lower, upper) == pytest.approx((127.0689683, 2251.2286106), rel=1e-6)  # computed


def test_a_scale_in_place_of_a_rate_would_be_seen() -> None:
    """Ten years of belief in 0.1 a year are Gamma(1, 10): a scale of 10 would give 30 a year."""
    shape, rate = prior(0.1, 1.0)

    assert (shape, rate) == (1.0, 10.0)
    assert gamma_limits(shape, rate)[1] == pytest.approx(0.2995732274)  # -ln 0.05 / 10
