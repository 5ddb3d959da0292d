"""Working periods where little is known, when they end, and what other use would change."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.calc.likelihoods.duty import NO_METHOD, spectrum_factor, working_period
from parts.records.history import Duty

TODAY = date(2026, 11, 25)


def mechanism(**facts: float | str | None) -> Duty:
    known = {"group": "M5", "hours_per_year": 500.0, "km": 0.25, "hours_used": 1000.0}
    return Duty(crane="C", mechanism="hoist", **known | facts)  # type: ignore[arg-type]  # facts are fields


def test_a_mechanism_of_which_nothing_is_known_shows_nothing() -> None:
    period = working_period(Duty(crane="C", mechanism="hoist"), TODAY)

    assert (period.km, period.used_hours, period.group_hours) == (None, None, None)
    assert (period.used_share, period.runs_out_on) == (None, None)


@pytest.mark.parametrize("blank", ["group", "hours_per_year", "km", "hours_used"])
def test_without_one_of_its_figures_no_day_is_told(blank: str) -> None:
    assert working_period(mechanism(**{blank: None}), TODAY).runs_out_on is None


def test_an_empty_spectrum_counts_nothing() -> None:
    assert spectrum_factor([]) == 0.0
    assert spectrum_factor([(0.0, 1.0)]) == 0.0


def test_always_full_load_is_one() -> None:
    assert spectrum_factor([(1.0, 1.0)]) == 1.0


def test_the_stated_factor_wins_over_the_spectrum() -> None:
    assert working_period(mechanism(km=0.5, spectrum="1:1"), TODAY).km == 0.5
    assert working_period(mechanism(km=None, spectrum="1:0.5+0:0.5"), TODAY).km == 0.5


def test_a_mechanism_that_stands_still_never_runs_out() -> None:
    assert working_period(mechanism(hours_per_year=0.0), TODAY).runs_out_on is None


def test_the_day_follows_from_the_hours_left() -> None:
    """By hand: (1600 - 250) / (500 x 0.25) = 10.8 years of 365.25 days = 3944.7 days."""
    period = working_period(mechanism(), TODAY)

    assert period.used_hours == 250.0
    assert period.used_share == 250.0 / 1600.0
    assert period.runs_out_on == TODAY + timedelta(days=3944)


def test_what_is_used_up_ran_out_on_a_past_day() -> None:
    """By hand: (1600 - 1725) / 125 = -1 year."""
    period = working_period(mechanism(hours_used=6900.0), TODAY)

    assert period.runs_out_on == TODAY - timedelta(days=366)
    assert period.used_share is not None
    assert period.used_share > 1.0


def test_a_day_beyond_the_calendar_is_not_told() -> None:
    assert working_period(mechanism(hours_per_year=1e-9), TODAY).runs_out_on is None


def test_a_second_shift_halves_the_time_that_is_left() -> None:
    one, two = (working_period(mechanism(), TODAY, hours_factor=factor) for factor in (1.0, 2.0))

    assert one.runs_out_on is not None
    assert two.runs_out_on is not None
    assert (two.runs_out_on - TODAY).days == (one.runs_out_on - TODAY).days // 2
    assert two.used_hours == one.used_hours


def test_heavier_lifts_count_from_today_on() -> None:
    """By hand: (1600 - 250) / (500 x 0.5) = 5.4 years; what was lifted before stays."""
    period = working_period(mechanism(), TODAY, km=0.5)

    assert period.km == 0.25
    assert period.used_hours == 250.0
    assert period.runs_out_on == TODAY + timedelta(days=1972)


def test_no_other_use_moves_a_day_that_has_passed() -> None:
    worn_out = mechanism(hours_used=6900.0)

    assert (
        working_period(worn_out, TODAY, hours_factor=3.0, km=1.0).runs_out_on
        == working_period(worn_out, TODAY).runs_out_on
    )


@pytest.mark.parametrize(("factor", "rules"), [(1.0, 2), (1.1, 2), (1.2, 2), (1.3, 1), (1.5, 1)])
def test_a_factor_that_two_rules_share_is_read_under_both(factor: float, rules: int) -> None:
    readings = working_period(mechanism(method_factor=factor), TODAY).readings

    assert len(readings) == rules
    assert readings[-1].startswith("ISO 12482")


def test_a_factor_of_neither_rule_says_so() -> None:
    assert working_period(mechanism(method_factor=1.17), TODAY).readings == NO_METHOD


@given(st.lists(st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 1.0)), min_size=1, max_size=8))
def test_a_spectrum_lies_between_its_lightest_and_its_heaviest_load(
    raw: list[tuple[float, float]],
) -> None:
    total = sum(share for _, share in raw)
    if total == 0.0:
        return
    km = spectrum_factor([(load, share / total) for load, share in raw])

    assert min(load for load, _ in raw) ** 3 - 1e-12 <= km
    assert km <= max(load for load, _ in raw) ** 3 + 1e-12


@given(st.floats(1.0, 8784.0), st.floats(0.05, 1.0), st.floats(0.0, 1e5), st.floats(1.0, 1.5))
def test_the_day_moves_with_the_share_that_is_used(
    hours: float, km: float, used: float, factor: float
) -> None:
    row = mechanism(hours_per_year=hours, km=km, hours_used=used, method_factor=factor)
    period = working_period(row, TODAY)

    assert period.used_share is not None
    if period.runs_out_on is not None and abs(period.used_share - 1.0) > 1e-9:
        assert (period.runs_out_on < TODAY) is (period.used_share > 1.0)
