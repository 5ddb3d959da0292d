"""Working periods of hoist mechanisms worked out as the standards say.

Method: FEM 9.755 (06.1993), safe working period of serial hoists, S = k_m x T x factor against the
full-load hours D of FEM 9.511 / ISO 4301-1; ISO 12482 (2014) for the design working period of all
mechanisms. The first three examples were read in hoist manuals and instructions that quote
FEM 9.755, not in the standard itself; the fourth is made up and reckoned apart from the program.
"""

from __future__ import annotations

from datetime import date

import pytest

from parts.calc.likelihoods.duty import (
    FULL_LOAD_HOURS,
    METHODS,
    full_load_hours,
    load_factor,
    spectrum_factor,
    working_period,
)
from parts.records.history import Duty

TODAY = date(2026, 11, 25)


def mechanism(group: str, **facts: float | str) -> Duty:
    return Duty(crane="C", mechanism="hoist", group=group, **facts)  # type: ignore[arg-type]  # facts are fields


def test_groups_have_the_full_load_hours_of_the_table() -> None:
    """FEM 9.511 / FEM 9.755 table 1 with the ISO 4301-1 names, read in public texts."""
    assert list(FULL_LOAD_HOURS.values()) == [100, 200, 400, 800, 1600, 3200, 6300, 12500]


@pytest.mark.parametrize(
    ("hours", "km", "group"),
    [(6300, 0.125, "M4"), (3200, 0.25, "M4"), (1600, 0.5, "M4"), (800, 1.0, "M4"),
     (12500, 1.0, "M8"), (400, 0.25, "M1"), (25000, 0.25, "M7")],
)  # fmt: skip
def test_classes_of_use_and_of_load_meet_in_their_group(
    hours: float, km: float, group: str
) -> None:
    """Table of utilisation and load classes, read; preferred numbers agree within 2 %."""
    assert hours * km == pytest.approx(FULL_LOAD_HOURS[group], rel=0.02)


def test_three_years_of_a_first_mechanism_leave_sixty_per_cent() -> None:
    """Read: 10 % of the time full load, 30 % at 40 %, 60 % at 20 % give k_m 0.124; 1440 h by
    estimate (factor 1.2) give 214.272 h; with 215.468 and 210.26 h before them 640.0 h of the
    1600 of group M5, so 60 % remain."""
    row = mechanism("M5", spectrum="1:0.1+0.4:0.3+0.2:0.6", hours_used=1440.0, method_factor=1.2)
    used = full_load_hours(row)

    assert load_factor(row) == pytest.approx(0.124, abs=1e-12)
    assert used == pytest.approx(214.272, abs=1e-9)
    assert used is not None
    assert used + 215.468 + 210.26 == pytest.approx(640.0, abs=1e-9)
    assert 1.0 - 640.0 / FULL_LOAD_HOURS["M5"] == pytest.approx(0.6)


def test_a_year_read_from_a_counter_and_the_same_year_estimated() -> None:
    """Read: 5 % full, 10 % three quarters, 20 % half, 15 % a quarter, 50 % empty: terms 0.05 +
    0.0422 + 0.025 + 0.0023, printed as 0.119. 334 h by counter x 0.119 x 1.1 = 43.72 h; 333.3 h
    (10 lifts an hour, 4 m, 8 h, 250 days, 4 m a minute) x 0.119 x 1.2 = 47.6 h; 756.28 and 752.4 h
    of the 800 of group 1Am (M4) remain."""
    km = spectrum_factor([(1.0, 0.05), (0.75, 0.1), (0.5, 0.2), (0.25, 0.15), (0.0, 0.5)])
    running_hours = 10 * 4 * 8 * 250 / (60 * 4)
    counted = mechanism("M4", km=0.119, hours_used=334.0, method_factor=1.1)
    estimated = mechanism("M4", km=0.119, hours_used=running_hours, method_factor=1.2)

    assert km == pytest.approx(0.1195, abs=5e-5)
    assert running_hours == pytest.approx(333.3, abs=0.05)
    assert full_load_hours(counted) == pytest.approx(43.72, abs=0.005)
    assert full_load_hours(estimated) == pytest.approx(47.6, abs=0.05)
    assert 800 - (full_load_hours(counted) or 0) == pytest.approx(756.28, abs=0.005)
    assert 800 - (full_load_hours(estimated) or 0) == pytest.approx(752.4, abs=0.05)


def test_two_years_by_estimate() -> None:
    """Read: 240 h, k_m 0.25, factor 1.2 give 72 h. The 728 h that remain of group 1Am (M4) are
    reckoned here."""
    row = mechanism("M4", km=0.25, hours_used=240.0, method_factor=1.2)

    assert full_load_hours(row) == pytest.approx(72.0)
    assert 800 - (full_load_hours(row) or 0) == pytest.approx(728.0)


@pytest.mark.parametrize(
    ("method_factor", "years", "share_after_26_years"),
    [(1.1, 12.3, 2.11), (1.2, 11.3, 2.30), (1.5, None, 2.87)],
)
def test_a_made_up_mechanism_under_each_recording_method(
    method_factor: float, years: float | None, share_after_26_years: float
) -> None:
    """Made up; figures reckoned apart: k_m 0.2267, 520 h a year, group M5. Factor 1.1 is used up
    after 12.3 years, 1.2 after 11.3; after 26 years 2.11, 2.30 and, history unknown, 2.87."""
    facts: dict[str, float | str] = {
        "spectrum": "1:0.1+0.75:0.2+0.5:0.3+0.25:0.3+0.1:0.1",
        "hours_per_year": 520.0,
        "method_factor": method_factor,
    }
    new = working_period(mechanism("M5", hours_used=0.0, **facts), TODAY)
    old = working_period(mechanism("M5", hours_used=26 * 520.0, **facts), TODAY)

    assert new.km == pytest.approx(0.2267, abs=5e-5)
    assert old.used_share == pytest.approx(share_after_26_years, abs=0.005)
    assert new.runs_out_on is not None
    if years is not None:
        assert (new.runs_out_on - TODAY).days / 365.25 == pytest.approx(years, abs=0.05)


def test_factors_of_the_recording_method_are_those_of_the_two_standards() -> None:
    """FEM 9.755: 1.1 and 1.2 read, 1.0 from memory. ISO 12482 clause 4.3 table 1, read in a
    journal's table: 1.0, 1.1, 1.2, 1.3, 1.5."""
    fem = {factor for factor, readings in METHODS.items() if "FEM 9.755" in readings[0]}
    iso = {factor for factor, readings in METHODS.items() if "ISO 12482" in readings[-1]}

    assert fem == {1.0, 1.1, 1.2}
    assert iso == {1.0, 1.1, 1.2, 1.3, 1.5}
