"""How much of a mechanism's working period is used up, and on which day it ends.

Full-load hours used against those of the group. The figure is an estimate: below the group's
hours nothing is proven sound, above them nothing has failed; what is due is a general overhaul or
a special assessment by a qualified person.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from math import floor

from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.records.history import Duty
from parts.records.pairs import pairs

# FEM 9.511 table of full-load hours, groups by their ISO 4301-1 names
FULL_LOAD_HOURS = {
    "M1": 100.0, "M2": 200.0, "M3": 400.0, "M4": 800.0,
    "M5": 1600.0, "M6": 3200.0, "M7": 6300.0, "M8": 12500.0,
}  # fmt: skip
# What a factor of the recording method stands for. The factor alone does not tell which rule was
# followed, so each reading names its rule.
METHODS = {
    1.0: (
        "FEM 9.755 (1993): automatic recorder of the load spectrum (from memory)",
        "ISO 12482 (2014): automatic recorder, or counters with a log kept by hand",
    ),
    1.1: (
        "FEM 9.755 (1993): hours from a counter, load spectrum estimated, log kept",
        "ISO 12482 (2014): estimated from a documented process",
    ),
    1.2: (
        "FEM 9.755 (1993): hours and load spectrum both estimated",
        "ISO 12482 (2014): estimated from documented production of the site",
    ),
    1.3: ("ISO 12482 (2014): estimated from production that is not documented",),
    1.5: ("ISO 12482 (2014): history not known, such as second hand",),
}
NO_METHOD = ("neither FEM 9.755 (1993) nor ISO 12482 (2014) has this factor: the site's own",)


@dataclass(frozen=True, slots=True)
class WorkingPeriod:
    """The working period of one mechanism; None = not known.

    `used_hours` and `group_hours` are full-load hours; `runs_out_on` lies in the past where the
    period is used up. `readings` say which rule the factor may follow.
    """

    crane: str
    mechanism: str
    km: float | None
    used_hours: float | None
    group_hours: float | None
    used_share: float | None
    runs_out_on: date | None
    method_factor: float
    readings: tuple[str, ...]


def spectrum_factor(spectrum: Iterable[tuple[float, float]]) -> float:
    """Load-spectrum factor k_m of pairs (load / rated load, share of the running time).

    Sum of load^3 x share; unloaded running counts with load 0. FEM 9.511 and ISO 4301-1; the
    cubic mean k of their spectrum classes is its cube root.
    """
    return sum(load**3 * share for load, share in spectrum)


def load_factor(row: Duty) -> float | None:
    """k_m of a mechanism: the one stated, else that of its spectrum."""
    if row.km is not None or row.spectrum is None:
        return row.km
    return spectrum_factor(pairs(row.spectrum))


def full_load_hours(row: Duty) -> float | None:
    """Full-load hours used: running hours x k_m x factor of the recording method."""
    km = load_factor(row)
    if km is None or row.hours_used is None:
        return None
    return row.hours_used * km * row.method_factor


def working_period(
    row: Duty, today: date, *, hours_factor: float = 1.0, km: float | None = None
) -> WorkingPeriod:
    """The working period of a mechanism, as it is used or as it would be used from today on.

    Args:
        row: the mechanism; running hours, hours a year, group, factor of the recording method.
        today: the day up to which the hours were counted.
        hours_factor: hours a year from today on, against those stated (a second shift: 2).
        km: load-spectrum factor from today on, where other loads are to be lifted.
    Method: S = hours x k_m x factor; runs out in (D - S) / (full-load hours a year) years of
        365.25 days. FEM 9.755 (1993) and ISO 12482 (2014). What is used up stays so: the coming
        use moves no past day.
    """
    used, group = full_load_hours(row), FULL_LOAD_HOURS.get(row.group or "")
    share = None if used is None or group is None else used / group
    present = load_factor(row)
    coming, factor = (present if km is None else km), hours_factor
    if share is not None and share >= 1.0:
        coming, factor = present, 1.0
    runs_out_on = None
    if used is not None and group is not None and row.hours_per_year is not None:
        a_year = row.hours_per_year * factor * (coming or 0.0) * row.method_factor
        runs_out_on = _day(today, group - used, a_year)
    return WorkingPeriod(
        crane=row.crane,
        mechanism=row.mechanism,
        km=present,
        used_hours=used,
        group_hours=group,
        used_share=share,
        runs_out_on=runs_out_on,
        method_factor=row.method_factor,
        readings=METHODS.get(row.method_factor, NO_METHOD),
    )


def _day(today: date, hours_left: float, hours_a_year: float) -> date | None:
    """The day on which so many hours are used; None where it lies beyond the calendar."""
    if hours_a_year <= 0.0:
        return None
    try:
        return today + timedelta(days=floor(DAYS_A_YEAR * hours_left / hours_a_year))
    except OverflowError:
        return None
