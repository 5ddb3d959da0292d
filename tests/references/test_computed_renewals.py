"""Expected renewals agree with figures from other methods, of new units and of units with an age.

The figures stand in renewals.toml. Other parties here: closed forms (Cox, Renewal Theory, 1962,
from memory), renewals counted in simulated lives, and the limit for long times.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from parts.calc.likelihoods.renewals import expected_renewals, renewals_of_a_life
from parts.calc.likelihoods.weibull import mean_life

Floats = NDArray[np.float64]
LIVES: list[dict[str, Any]] = tomllib.loads(
    Path(__file__).with_name("renewals.toml").read_text("utf-8")
)["life"]


def renewals(shape: float, scale: float, age: float, span: float) -> float:
    return float(expected_renewals(shape, scale, np.array([age]), np.array([span]))[0])


@pytest.mark.parametrize(
    ("shape", "scale", "time", "expected"),
    [
        (row["shape"], row.get("scale") or 1 / mean_life(row["shape"], 1.0), float(time), figure)
        for row in LIVES
        for time, figure in row["renewals"].items()
    ],
)
def test_a_new_unit_renews_as_computed(
    shape: float, scale: float, time: float, expected: float
) -> None:
    assert renewals(shape, scale, 0.0, time) == pytest.approx(expected, abs=1e-8)


def test_the_line_that_renewals_come_to() -> None:
    """t/mean + (cv^2 - 1)/2; shape 2, mean 1, t = 2: 1.6366197724 against 1.6378985942."""
    scale = 1 / mean_life(2.0, 1.0)
    spread = math.gamma(2.0) / math.gamma(1.5) ** 2 - 1
    line = [time + (spread - 1) / 2 for time in (2.0, 8.0, 400.0)]

    assert line[0] == pytest.approx(1.6366197724, abs=1e-9)
    assert renewals(2.0, scale, 0.0, 2.0) - line[0] == pytest.approx(0.0012788218, abs=1e-8)
    assert renewals(2.0, scale, 0.0, 8.0) == pytest.approx(line[1], abs=1e-6)
    assert renewals(2.0, scale, 0.0, 400.0) == pytest.approx(line[2], abs=1e-4)


def test_renewal_is_neither_minimal_repair_nor_one_life() -> None:
    """Shape 2 to t = scale: renewals 0.7537, repairs as bad as old 1, one life 0.6321."""
    found = renewals(2.0, 1.0, 0.0, 1.0)

    assert found == pytest.approx(0.7536912775, abs=1e-9)
    assert 1 - math.exp(-1) < found < 1


@pytest.mark.parametrize("shape", [0.7, 1.4, 2.5, 6.0])
@pytest.mark.parametrize("age", [0.0, 0.3, 1.1, 2.0])
def test_renewals_of_an_age_are_those_of_simulated_lives(shape: float, age: float) -> None:
    rng = np.random.default_rng(20261125)
    runs, span = 200_000, 1.7
    # a life that has lasted to an age: its hazard is that reached and an exponential more
    first = (age**shape + rng.exponential(size=runs)) ** (1 / shape) - age
    counts, clock = np.zeros(runs), first
    while (clock < span).any():
        counts += clock < span
        clock = clock + rng.weibull(shape, size=runs)
    error = float(counts.std()) / math.sqrt(runs)

    assert renewals(shape, 1.0, age, span) == pytest.approx(float(counts.mean()), abs=4 * error)


def of_a_life(
    failed: Callable[[Floats], Floats], served: Callable[[Floats], Floats], time: float
) -> float:
    """M of any life at a time; halving the cells quarters their error, which is taken out."""
    coarse, fine = (
        float(renewals_of_a_life(nodes, failed(nodes), served(nodes))[-1])
        for nodes in (np.linspace(0.0, time, cells + 1) for cells in (2_000, 4_000))
    )
    return fine + (fine - coarse) / 3.0


@pytest.mark.parametrize(
    ("time", "expected"), [(0.5, 0.2838338208), (1.0, 0.7545789097), (2.0, 1.7500838657)]
)
def test_a_life_of_two_exponential_stages_renews_in_closed_form(
    time: float, expected: float
) -> None:
    """Erlang of two stages, mean 1: M(t) = t - 1/4 + e^(-4t)/4 (closed form, computed)."""
    found = of_a_life(
        lambda t: 1.0 - np.exp(-2.0 * t) * (1.0 + 2.0 * t),
        lambda t: 1.0 - np.exp(-2.0 * t) * (1.0 + t),
        time,
    )

    assert expected == pytest.approx(time - 0.25 + math.exp(-4.0 * time) / 4.0, abs=1e-9)
    assert found == pytest.approx(expected, abs=1e-8)


def test_a_life_that_may_end_at_any_time_up_to_one_renews_e_minus_one_times() -> None:
    """Uniform on 0..1: M(t) = e^t - 1 for t <= 1, so 1.7182818285 at 1 (closed form, computed)."""
    found = of_a_life(lambda t: t, lambda t: t - t * t / 2.0, 1.0)

    assert found == pytest.approx(1.7182818285, abs=1e-8)
