"""How old each unit in place is, in years and in running hours.

A unit starts when its position was installed or last restored, whichever is later. Running hours
come from a meter that was read while this unit was in place, else from the age and the crane's
hours a year. Not known is nan, never 0.
"""

from __future__ import annotations

import datetime
import math
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.calc.failing.fleet import Fleet
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.records.history import Failure, Observation

Array = NDArray[np.float64]
METER = "hours_meter"


class Ages:
    """Ages on the snapshot's day, each array (number of positions,); nan = not known."""

    def __init__(self, fleet: Fleet) -> None:
        self.fleet = fleet
        self.snapshot = fleet.snapshot
        self.today = fleet.snapshot.today.toordinal()

    @cached_property
    def failures_at(self) -> dict[int, list[Failure]]:
        """The failures at each row that has any, earliest first."""
        found: dict[int, list[Failure]] = {}
        for failure in sorted(self.snapshot.failures, key=lambda row: row.failed_on):
            row = self.fleet.row(failure.crane, failure.position)
            found.setdefault(row, []).append(failure)
        return found

    @cached_property
    def started(self) -> Array:
        """Day number on which the unit in place began; a day that lies ahead is none."""
        installed = self.snapshot.positions.installed
        days = [math.nan if day is None else day.toordinal() for day in installed]
        found = np.array(days, dtype=float)
        for row, failures in self.failures_at.items():
            for failure in failures:
                if failure.restored_on is not None:
                    found[row] = np.fmax(found[row], failure.restored_on.toordinal())
        found[found > self.today] = math.nan
        return found

    def started_before(self, row: int, failure: Failure) -> datetime.date | None:
        """When the unit that failed had begun: installed, or restored after an earlier failure."""
        begun = [self.snapshot.positions.installed[row]]
        begun += [
            earlier.restored_on
            for earlier in self.failures_at[row]
            if earlier.failed_on < failure.failed_on
        ]
        known = [day for day in begun if day is not None and day <= failure.failed_on]
        return max(known, default=None)

    @cached_property
    def years(self) -> Array:
        """Age of the unit in place, years of 365.25 days."""
        found: Array = (self.today - self.started) / DAYS_A_YEAR
        return found

    @cached_property
    def hours_per_year(self) -> Array:
        """Running hours a year of each row's crane."""
        found = np.full(len(self.fleet.parent), math.nan)
        for crane, rows in self.fleet.slices.items():
            hours = self.snapshot.cranes[crane].hours_per_year
            found[rows] = math.nan if hours is None else hours
        return found

    @cached_property
    def hours(self) -> Array:
        """Age of the unit in place, running hours."""
        found: Array = self.years * self.hours_per_year
        for row, (day, reading) in self._readings.items():
            at_install = self.snapshot.positions.hours_at_install[row]
            read_before_this_unit = day < self.started[row]
            if at_install is None or reading < at_install or read_before_this_unit:
                continue
            years_since = (self.today - day) / DAYS_A_YEAR
            run_since = years_since * self.hours_per_year[row] if years_since else 0.0
            metered = reading - at_install + run_since
            found[row] = found[row] if math.isnan(metered) else metered
        return found

    @cached_property
    def _readings(self) -> dict[int, tuple[int, float]]:
        """Day and figure of the latest meter reading at each row that has one."""
        found: dict[int, tuple[int, float]] = {}
        for observed in self.snapshot.observations:
            reading = meter_hours(observed)
            if reading is None:
                continue
            row, day = self.fleet.row(observed.crane, observed.position), observed.date.toordinal()
            if row not in found or day >= found[row][0]:
                found[row] = (day, reading)
        return found

    def of(self, basis: str) -> Array:
        """Ages in the unit of a life's basis."""
        return self.hours if basis == "hours" else self.years

    def year_of(self, basis: str) -> Array:
        """What one year adds to the age, in the unit of a life's basis."""
        return self.hours_per_year if basis == "hours" else np.ones(len(self.fleet.parent))


def meter_hours(observed: Observation) -> float | None:
    """The hours on a meter; None for another observation, or where it is no figure."""
    if observed.what != METER:
        return None
    try:
        reading = float(observed.value)
    except ValueError:
        return None
    return reading if math.isfinite(reading) else None
