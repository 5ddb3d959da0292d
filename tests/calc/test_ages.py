"""Ages in years and running hours: unknown starts, restored units, meters read and not read."""

from __future__ import annotations

import math
from datetime import date, timedelta
from typing import Any

import pytest

from parts.calc.failing.fleet import Fleet
from parts.calc.likelihoods.ages import Ages
from parts.records.history import Failure, Observation
from parts.records.structure import Crane, Position
from tests.calc.small_snapshot import TODAY, snapshot_with

YEAR = timedelta(days=365.25)
FOUR_YEARS_AGO = TODAY - 4 * YEAR  # 1461 days, so ages come out whole


def ages(
    installed: date | None = FOUR_YEARS_AGO,
    hours_a_year: float | None = 1000.0,
    restored_on: date | None = None,
    readings: tuple[tuple[date, str], ...] = (),
    at_install: float | None = 500.0,
) -> tuple[float, float]:
    """Years and hours of one position."""
    place: dict[str, Any] = {"crane": "C1", "position": "motor"}
    failures = []
    if restored_on is not None:
        failed_on = restored_on - timedelta(days=10)
        failures = [Failure(**place, failed_on=failed_on, restored_on=restored_on)]
    snapshot = snapshot_with(
        cranes=[Crane(crane="C1", hours_per_year=hours_a_year)],
        positions=[Position(**place, installed=installed, hours_at_install=at_install)],
        failures=failures,
        observations=[
            Observation(**place, date=day, what="hours_meter", value=value)
            for day, value in readings
        ],
    )
    found = Ages(Fleet(snapshot))
    return float(found.years[0]), float(found.hours[0])


def test_a_site_without_positions_has_no_ages() -> None:
    assert Ages(Fleet(snapshot_with())).years.tolist() == []


def test_an_unknown_start_is_no_age() -> None:
    assert ages(installed=None) == pytest.approx((math.nan, math.nan), nan_ok=True)


def test_what_is_installed_today_is_new() -> None:
    assert ages(installed=TODAY) == (0.0, 0.0)


def test_a_start_that_lies_ahead_is_not_known() -> None:
    assert math.isnan(ages(installed=TODAY + YEAR)[0])


def test_without_a_meter_hours_are_years_times_the_cranes_hours() -> None:
    assert ages() == (4.0, 4000.0)


def test_hours_are_unknown_where_nobody_says_how_much_the_crane_runs() -> None:
    years, hours = ages(hours_a_year=None)

    assert years == 4.0
    assert math.isnan(hours)


def test_age_runs_from_the_last_restoring() -> None:
    assert ages(restored_on=TODAY - 2 * YEAR + timedelta(hours=12)) == pytest.approx(
        (2.0, 2000.0), rel=1e-3
    )


def test_a_restoring_before_the_installation_says_nothing_of_this_unit() -> None:
    assert ages(restored_on=FOUR_YEARS_AGO - YEAR) == (4.0, 4000.0)


def test_a_restoring_is_a_start_where_none_was_recorded() -> None:
    assert ages(installed=None, restored_on=FOUR_YEARS_AGO) == (4.0, 4000.0)


def test_a_meter_read_today_is_believed() -> None:
    assert ages(readings=((TODAY, "1700"),)) == (4.0, 1200.0)


def test_a_meter_read_today_needs_no_hours_a_year() -> None:
    assert ages(hours_a_year=None, readings=((TODAY, "1700"),))[1] == 1200.0


def test_since_the_latest_reading_the_crane_ran_its_hours() -> None:
    a_leap_year_ago, before = TODAY - timedelta(days=366), TODAY - 3 * YEAR
    readings = ((before, "900"), (a_leap_year_ago, "1700"))

    assert ages(readings=readings)[1] == pytest.approx(1200.0 + 1000.0 * 366 / 365.25)


def test_a_reading_after_today_is_not_known_yet() -> None:
    assert ages(readings=((TODAY + YEAR, "9000"),)) == (4.0, 4000.0)


@pytest.mark.parametrize(
    ("reading", "at_install"),
    [("about 1700", 500.0), ("nan", 500.0), ("499", 500.0), ("1700", None)],
)
def test_a_meter_that_tells_nothing_leaves_the_hours_to_the_years(
    reading: str, at_install: float | None
) -> None:
    assert ages(readings=((TODAY, reading),), at_install=at_install) == (4.0, 4000.0)


def test_a_meter_read_on_the_unit_before_is_not_this_units() -> None:
    a_year_ago = TODAY - timedelta(days=365)
    found = ages(restored_on=a_year_ago, readings=((TODAY - 2 * YEAR, "2500"),))

    assert found[1] == pytest.approx(1000.0 * 365 / 365.25)
