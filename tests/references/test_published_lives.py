"""Weibull lives fitted to published ages come out at the digits that their sources print.

Sources, how we know each and its errata stand in lives.toml. The other party is SciPy's own fit of
censored data, which searches both parameters at once, and the product-limit estimate of Kaplan and
Meier (1958), which knows no Weibull.
"""

from __future__ import annotations

import math
import tomllib
from functools import partial
from itertools import chain
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import integrate, stats

from parts.calc.likelihoods.life_fits import Lifetimes
from parts.calc.likelihoods.weibull import hazard_ahead, mean_life

SETS: dict[str, dict[str, Any]] = {
    row["name"]: row
    for row in tomllib.loads(Path(__file__).with_name("lives.toml").read_text("utf-8"))["set"]
}
each_set = pytest.mark.parametrize(
    "row",
    [
        pytest.param(row, id=name + {"from memory": "-from-memory"}.get(row["known"], ""))
        for name, row in SETS.items()
    ],
)


def running(row: dict[str, Any]) -> list[float]:
    pairs = (item if isinstance(item, list) else (item, 1) for item in row["running"])
    return list(chain.from_iterable([float(age)] * number for age, number in pairs))


def lifetimes(row: dict[str, Any]) -> Lifetimes:
    return Lifetimes(np.array(row["failed"], dtype=float), np.array(running(row)))


def fitted(row: dict[str, Any]) -> tuple[float, float]:
    shape = lifetimes(row).shape()
    assert shape is not None
    return shape, lifetimes(row).scale_at(shape)


def survival(shape: float, scale: float, age: float, span: float) -> float:
    """Chance that a unit of an age outlives a span."""
    return math.exp(-float(hazard_ahead(shape, scale, np.array(age), np.array(span))))


def product_limit(
    failed: list[float], still: list[float]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Times, survival and Greenwood's standard error of the Kaplan-Meier estimate.

    A unit still at work at the time of a failure counts as at risk there.
    """
    times, counts = np.unique(failed, return_counts=True)
    at_risk = np.array([sum(age >= time for age in [*failed, *still]) for time in times])
    survives = np.cumprod(1.0 - counts / at_risk)
    with np.errstate(divide="ignore"):
        spread = np.sqrt(np.cumsum(counts / (at_risk * (at_risk - counts))))
    return times, survives, survives * spread


@each_set
def test_a_fit_is_that_of_an_independent_computation(row: dict[str, Any]) -> None:
    shape, scale = fitted(row)

    assert shape == pytest.approx(row["computed"]["shape"], rel=1e-7)
    assert scale == pytest.approx(row["computed"]["scale"], rel=1e-6)
    assert lifetimes(row).log_likelihood(shape, scale) == pytest.approx(
        row["computed"]["log_likelihood"], rel=1e-8
    )


@each_set
def test_a_fit_is_that_of_scipy(row: dict[str, Any]) -> None:
    data = stats.CensoredData(uncensored=row["failed"], right=running(row))

    shape, _, scale = stats.weibull_min.fit(data, floc=0, method="mle")

    assert fitted(row) == pytest.approx((shape, scale), rel=2e-4)  # its search stops there


def test_the_handbook_prints_what_is_fitted() -> None:
    row = SETS["handbook"]
    shape, scale = fitted(row)
    height = lifetimes(row).log_likelihood(shape, scale)

    assert f"{shape:.4f}" == row["printed"]["shape"]
    assert scale == pytest.approx(float(row["printed"]["scale"]), abs=1e-3)  # its 606.5280 is off
    assert f"{height:.3f}" == row["printed"]["log_likelihood"]
    assert f"{2 * 2 - 2 * height:.2f}" == row["printed"]["aic"]
    assert f"{mean_life(shape, scale):.3f}" == row["printed"]["mean"]


def test_the_handbook_finds_the_weibull_a_little_better_than_a_log_normal() -> None:
    """NIST/SEMATECH e-Handbook, section 8.4.1.3 (read): AIC 154.27 against 154.39."""
    row = SETS["handbook"]
    shape, scale = fitted(row)
    weibull = 4.0 - 2.0 * lifetimes(row).log_likelihood(shape, scale)
    units = stats.CensoredData(uncensored=row["failed"], right=running(row))
    sigma, _, median = stats.lognorm.fit(units, floc=0.0)
    told = stats.lognorm(sigma, scale=median)
    height = told.logpdf(row["failed"]).sum() + told.logsf(running(row)).sum()

    assert f"{weibull:.2f}" == "154.27"
    assert f"{4.0 - 2.0 * height:.2f}" == "154.39"


def test_the_fans_come_out_as_remembered() -> None:
    row = SETS["fans"]
    shape, scale = fitted(row)

    assert sum(row["failed"]) + sum(running(row)) == int(row["printed"]["total"])
    assert (f"{shape:.2f}", f"{scale:.0f}") == (row["printed"]["shape"], row["printed"]["scale"])


def test_shape_one_is_the_mean_time_between_failures() -> None:
    """The handbook's units: 7771 hours over 10 failures, log-likelihood -76.5556904 (computed)."""
    units = lifetimes(SETS["handbook"])

    assert units.scale_at(1.0) == pytest.approx(777.1)
    assert units.log_likelihood(1.0, 777.1) == pytest.approx(-76.5556904, abs=1e-6)


def test_leaving_out_the_units_still_at_work_would_be_seen() -> None:
    """The handbook's ten failures alone give shape 3.0597 and scale 308.5 (computed)."""
    units = lifetimes(SETS["handbook"])
    alone = Lifetimes(units.failed, np.array([]))

    assert alone.shape() == pytest.approx(3.0596642, rel=1e-7)
    assert alone.scale_at(3.0596642) == pytest.approx(308.5295887, rel=1e-7)
    assert units.shape() == pytest.approx(1.7208, abs=5e-5)


def test_a_fit_is_no_line_through_plotted_ranks() -> None:
    """A line through the handbook's ranks has shape 1.6260 or 1.4575 (reliability 0.9.0)."""
    shape, scale = fitted(SETS["handbook"])
    units = lifetimes(SETS["handbook"])

    assert abs(shape - 1.6260) > 0.05
    assert units.log_likelihood(shape, scale) > units.log_likelihood(1.6260, 602.0)
    assert units.log_likelihood(shape, scale) > units.log_likelihood(1.4575, 667.3)


def test_chances_of_the_handbooks_fit() -> None:
    """From the fit's closed forms, computed: B1, B10, median, R(500), R(600 given 500)."""
    shape, scale = fitted(SETS["handbook"])

    assert 1 - survival(shape, scale, 0, 41.86641) == pytest.approx(0.01, rel=1e-5)
    assert 1 - survival(shape, scale, 0, 164.02244) == pytest.approx(0.10, rel=1e-5)
    assert survival(shape, scale, 0, 490.17738) == pytest.approx(0.5, rel=1e-5)
    assert survival(shape, scale, 0, 500) == pytest.approx(0.48810230, rel=1e-5)
    assert survival(shape, scale, 500, 100) == pytest.approx(0.76772621, rel=1e-5)


def test_what_a_part_has_still_to_live_at_an_age() -> None:
    """Computed, by the incomplete gamma function: mean of what is left, by shape, scale, age."""
    expected = {
        (2.0, 1000.0): {0: 886.226925, 500: 545.641361, 1000: 378.936078, 2000: 226.338525},
        (0.8, 1000.0): {0: 1133.003096, 1000: 1459.184978},
        (1.0, 1000.0): {0: 1000.0, 700: 1000.0},
        (3.0, 5000.0): {0: 4464.897558, 2500: 2311.976208, 5000: 1161.635034},
        (1.7207972608, 606.5275580036): {500: 303.117068},
    }
    for (shape, scale), left_by_age in expected.items():
        for age, left in left_by_age.items():
            mean, _ = integrate.quad(partial(survival, shape, scale, age), 0, math.inf, epsrel=1e-9)

            assert mean == pytest.approx(left, rel=1e-6)


def test_survival_after_kaplan_and_meier_is_as_printed() -> None:
    """Klein and Moeschberger, chapter 4 (from memory): the 6-MP arm, steps and their errors."""
    row = SETS["remission"]
    _, survives, error = product_limit(row["failed"], running(row))

    assert [f"{value:.3f}"[1:] for value in survives] == [
        *(".857", ".807", ".753", ".690", ".627", ".538", ".448")
    ]
    assert [f"{value:.3f}"[1:] for value in error] == [
        *(".076", ".087", ".096", ".107", ".114", ".128", ".135")
    ]


@pytest.mark.parametrize("name", ["handbook", "remission", "fans", "coils"])
def test_a_fit_stays_near_the_curve_that_knows_no_weibull(name: str) -> None:
    shape, scale = fitted(SETS[name])
    times, survives, error = product_limit(SETS[name]["failed"], running(SETS[name]))
    ours = [survival(shape, scale, 0, float(time)) for time in times]

    assert (np.abs(ours - survives) < 2.5 * error).all()
