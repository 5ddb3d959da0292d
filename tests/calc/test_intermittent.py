"""Intermittent demand where there is little or none of it, and what holds for any series."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.calc.likelihoods.intermittent import (
    Start,
    croston,
    mean_interval,
    sba,
    smoothed,
    squared_variation,
    tsb,
)

SERIES = st.lists(st.integers(0, 50), min_size=2, max_size=60).filter(
    lambda series: sum(units > 0 for units in series) > 1
)
ALPHAS = st.floats(0.01, 1.0)


@pytest.mark.parametrize("series", [[], [0, 0, 0]])
@pytest.mark.parametrize("start", Start)
def test_no_use_gives_no_estimate(series: list[int], start: Start) -> None:
    assert croston(series, start=start) is None
    assert sba(series, start=start) is None
    assert tsb(series, start=start) is None


def test_one_use_has_no_interval_to_the_next() -> None:
    assert croston([3, 0, 0], start=Start.FIRST_USE) is None
    assert tsb([3, 0, 0], start=Start.FIRST_USE) is None


def test_months_before_the_first_use_say_nothing_about_its_interval() -> None:
    late = croston([0, 0, 0, 0, 4, 0, 0, 4], start=Start.FIRST_USE)
    early = croston([4, 0, 0, 4], start=Start.FIRST_USE)

    assert late == early
    assert early is not None
    assert early.per_period == pytest.approx(4 / 3)


def test_tsb_starts_at_the_second_use_with_one_over_the_first_interval() -> None:
    """By hand: uses in months 1 and 4, so 1/3 at month 4, then 0.9 of it each quiet month."""
    assert tsb([2, 0, 0, 2]) == pytest.approx(2 / 3)
    assert tsb([2, 0, 0, 2, 0, 0]) == pytest.approx(2 / 3 * 0.81)


def test_smoothing_with_one_takes_the_last_value() -> None:
    assert smoothed([7.0, 1.0, 5.0], 1.0) == 5.0


def test_equal_sizes_do_not_vary() -> None:
    assert squared_variation([0, 3, 0, 3, 3]) == 0.0


@given(SERIES, ALPHAS, st.sampled_from(list(Start)))
def test_estimate_lies_between_the_extremes_of_size_over_interval(
    series: list[int], alpha: float, start: Start
) -> None:
    found = croston(series, alpha, start)
    sizes = [units for units in series if units]

    assert found is not None
    assert min(sizes) - 1e-9 <= found.size <= max(sizes) + 1e-9
    assert 1.0 - 1e-9 <= found.interval <= len(series)


@given(SERIES, ALPHAS)
def test_sba_is_below_croston_by_half_the_constant(series: list[int], alpha: float) -> None:
    found, corrected = croston(series, alpha), sba(series, alpha)

    assert found is not None
    assert corrected == pytest.approx((1 - alpha / 2) * found.per_period)


@given(SERIES, st.integers(1, 24))
def test_only_tsb_fades_while_nothing_is_used(series: list[int], quiet_months: int) -> None:
    used = series[: max(month for month, units in enumerate(series) if units) + 1]
    quiet = [*used, *[0] * quiet_months]
    before, after = tsb(used), tsb(quiet)

    assert croston(quiet) == croston(used)
    assert before is not None
    assert after == pytest.approx(before * 0.9**quiet_months)


@given(SERIES, st.integers(2, 9))
def test_estimates_go_with_the_unit_of_size(series: list[int], factor: int) -> None:
    larger = [factor * units for units in series]

    assert sba(larger) == pytest.approx(factor * (sba(series) or 0.0))
    assert tsb(larger) == pytest.approx(factor * (tsb(series) or 0.0))
    assert squared_variation(larger) == pytest.approx(squared_variation(series), abs=1e-12)
    assert mean_interval(larger) == mean_interval(series)
