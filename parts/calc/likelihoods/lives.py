"""The Weibull life of a part: fitted to own records, else stated, else its class's.

A life is fitted only for a part that says in what its life is counted; a fit wins over what is
stated. Every assumption behind a fit comes with it as a sentence. Knows nothing of the year ahead.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from parts.calc.likelihoods.ages import Ages
from parts.calc.likelihoods.life_fits import Lifetimes
from parts.calc.likelihoods.weibull import mean_life
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.records.catalogue import Part
from parts.records.history import Failure

FEWEST_FOR_A_SHAPE = 5
UNKNOWN_SHAPE = 1.0
UNLIKE_DUTY = 2.0  # times the hours a year of another crane; a choice without a source
FIRST_DAY_SHARE = 0.5  # a unit that fails on its first day has lived half of it


@dataclass(frozen=True, slots=True)
class Life:
    """A Weibull life; `basis` is its unit, years or hours, and `source` where it comes from:
    fitted, stated or class. Limits are 95 %; None = not estimated, or without end."""

    shape: float
    scale: float
    basis: str
    source: str
    failures: int = 0
    censored: int = 0
    shape_low: float | None = None
    shape_high: float | None = None
    scale_low: float | None = None
    scale_high: float | None = None
    warnings: tuple[str, ...] = ()

    @property
    def fitted(self) -> bool:
        return self.source == "fitted"

    @property
    def mean(self) -> float:
        """Mean life in the unit of the basis."""
        return mean_life(self.shape, self.scale)


@dataclass(frozen=True, slots=True)
class _Unit:
    """One unit's age, at failure or so far, and the row that it sat or sits in."""

    row: int
    age: float
    began: float  # day number


class Lives:
    """The lives of a snapshot's parts, each reckoned once."""

    def __init__(self, ages: Ages) -> None:
        self.ages = ages
        self.fleet = ages.fleet
        self.snapshot = ages.snapshot
        self._found: dict[str, Life | None] = {}

    def life(self, part: str) -> Life | None:
        """The life of a part; None where nothing is known but perhaps a rate."""
        if part not in self._found:
            row = self.snapshot.parts[part]
            self._found[part] = self._fitted(row) or self._stated(row) or self._of_class(row)
        return self._found[part]

    def _stated(self, part: Part) -> Life | None:
        if part.life_basis is None or not part.life_scale:
            return None
        return Life(self._shape_to_hold(part), part.life_scale, part.life_basis, "stated")

    def _of_class(self, part: Part) -> Life | None:
        """The class speaks only for a part that states neither a life nor a rate."""
        row = self.snapshot.classes.get(part.part_class or "")
        if row is None or row.life_basis is None or not row.life_scale:
            return None
        if part.failures_per_year is not None:
            return None
        return Life(row.life_shape or UNKNOWN_SHAPE, row.life_scale, row.life_basis, "class")

    def _shape_to_hold(self, part: Part) -> float:
        part_class = self.snapshot.classes.get(part.part_class or "")
        of_class = part_class.life_shape if part_class else None
        return part.life_shape or of_class or UNKNOWN_SHAPE

    # Fits ---------------------------------------------------------------------------------------

    @cached_property
    def _failures(self) -> dict[str, list[tuple[int, Failure]]]:
        """The failures of each part that failed, with their rows."""
        found: dict[str, list[tuple[int, Failure]]] = {}
        for row, failures in self.ages.failures_at.items():
            for failure in failures:
                part = failure.part or self.snapshot.positions.part[row]
                if part is not None:
                    found.setdefault(part, []).append((row, failure))
        return found

    @cached_property
    def _rows_in_place(self) -> dict[str, list[int]]:
        """Rows on live cranes of each part that has failed and whose life is to be fitted."""
        parts = self.snapshot.positions.part
        found: dict[str, list[int]] = {
            name: [] for name in self._failures if self.snapshot.parts[name].life_basis
        }
        for row in np.flatnonzero(self.fleet.live).tolist():
            rows = found.get(parts[row] or "")
            if rows is not None:
                rows.append(row)
        return found

    def _fitted(self, part: Part) -> Life | None:
        if part.life_basis is None or part.part not in self._failures:
            return None
        failed = [
            unit
            for row, failure in self._failures[part.part]
            if (unit := self._failed(row, failure, part.life_basis)) is not None
        ]
        if not failed:
            return None
        running = [
            unit
            for row in self._rows_in_place[part.part]
            if (unit := self._running(row, part.life_basis)) is not None
            for _ in range(self.snapshot.positions.qty[row])
        ]
        lifetimes = Lifetimes(
            np.array([unit.age for unit in failed]), np.array([unit.age for unit in running])
        )
        life = _fit(lifetimes, self._shape_to_hold(part), part.life_basis)
        warnings = (*life.warnings, *self._warnings(failed + running, part.life_basis))
        return replace(life, warnings=warnings)

    def _failed(self, row: int, failure: Failure, basis: str) -> _Unit | None:
        """The life of a unit that failed; None where its start, or its hours, are not known."""
        began = self.ages.started_before(row, failure)
        began_on = math.nan if began is None else float(began.toordinal())
        if basis == "hours" and failure.age_hours is not None:
            return _Unit(row, max(failure.age_hours, FIRST_DAY_SHARE), began_on)
        years = max(failure.failed_on.toordinal() - began_on, FIRST_DAY_SHARE) / DAYS_A_YEAR
        age = years * float(self.ages.year_of(basis)[row])
        return _Unit(row, age, began_on) if age > 0.0 else None

    def _running(self, row: int, basis: str) -> _Unit | None:
        """The life so far of a unit in place that has not failed."""
        began, age = float(self.ages.started[row]), float(self.ages.of(basis)[row])
        for failure in self.ages.failures_at.get(row, ()):
            failed_on = failure.failed_on.toordinal()
            if failure.restored_on is None and not failed_on < began:
                return None
        return _Unit(row, age, began) if age >= 0.0 else None

    def _warnings(self, units: list[_Unit], basis: str) -> tuple[str, ...]:
        tests: tuple[Callable[[], str], ...] = (lambda: self._begun_before_records(units),)
        if basis == "years":
            tests += (lambda: self._unlike_duty(units),)
        return tuple(text for test in tests if (text := test()))

    def _begun_before_records(self, units: list[_Unit]) -> str:
        records_from = self.snapshot.site.records_from
        if records_from is None:
            return ""
        unsure = sum(unit.began < records_from.toordinal() for unit in units)
        if not unsure:
            return ""
        return (
            f"{unsure} of {len(units)} ages run from before {records_from}, the day from which "
            "failures are recorded: an exchange before that day would make them too long"
        )

    def _unlike_duty(self, units: list[_Unit]) -> str:
        names = {self.snapshot.positions.crane[unit.row] for unit in units}
        cranes = [self.snapshot.cranes[name] for name in names]
        hours = sorted(row.hours_per_year for row in cranes if row.hours_per_year is not None)
        groups = {row.duty_group for row in cranes if row.duty_group is not None}
        if len(groups) < 2 and not (hours and hours[-1] > UNLIKE_DUTY * hours[0]):
            return ""
        told = f" ({hours[0]:g} to {hours[-1]:g} hours a year)" if hours else ""
        return f"ages in years are pooled over cranes of unlike duty{told}"


def _fit(lifetimes: Lifetimes, shape_to_hold: float, basis: str) -> Life:
    """Both parameters where the failures are enough for a shape, else the scale alone."""
    failures, censored = len(lifetimes.failed), len(lifetimes.running)
    life = Life(shape_to_hold, math.nan, basis, "fitted", failures, censored)
    shape = lifetimes.shape() if failures >= FEWEST_FOR_A_SHAPE else None
    if shape is None:
        scale = lifetimes.scale_at(shape_to_hold)
        low, high = lifetimes.scale_limits_held(shape_to_hold)
        why = (
            f"the shape is held at {shape_to_hold:g}: {failures} failures do not tell it"
            if failures < FEWEST_FOR_A_SHAPE
            else f"the shape is held at {shape_to_hold:g}: the ages at failure are all but equal"
        )
        return replace(life, scale=scale, scale_low=low, scale_high=high, warnings=(why,))
    scale = lifetimes.scale_at(shape)
    shape_low, shape_high = lifetimes.shape_limits(shape)
    scale_low, scale_high = lifetimes.scale_limits(scale)
    return replace(
        life,
        shape=shape,
        scale=scale,
        shape_low=shape_low,
        shape_high=shape_high,
        scale_low=scale_low,
        scale_high=scale_high,
    )
