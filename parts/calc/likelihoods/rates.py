"""Constant failure rates of parts, a year and unit: what is stated, updated by own records.

A gamma distribution stands for what is believed of a rate: `shape` failures in `rate_years` unit
years, so that one number is its weight. Positions with a rate of their own are left out, as they
are known not to be like the others. Knows nothing of ages.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaincinv

from parts.calc.failing.fleet import NONE, Fleet, Index
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.records.catalogue import Part

LOW, HIGH = 0.05, 0.95
DEFAULT_WEIGHT = 1.0


@dataclass(frozen=True, slots=True)
class PartRate:
    """Failures a year of one unit: mean, limits that hold it with 90 %, and its gamma.

    `basis` is "own" where the site's records came in, else "stated" or "class"; `failures` and
    `unit_years` are those records. `low` and `high` are None where no gamma is known.
    """

    mean: float
    low: float | None
    high: float | None
    shape: float
    rate_years: float
    basis: str
    failures: int = 0
    unit_years: float = 0.0

    @property
    def own(self) -> bool:
        return self.basis == "own"


def gamma_limits(shape: float, rate: float) -> tuple[float, float]:
    """The 5 % and 95 % points of a gamma of a shape and a rate (not a scale)."""
    return float(gammaincinv(shape, LOW)) / rate, float(gammaincinv(shape, HIGH)) / rate


def prior(mean: float, weight: float) -> tuple[float, float]:
    """Shape and rate (years) of the gamma prior of a mean that weighs as `weight` failures.

    A mean of 0 leaves no doubt: its rate is without end.
    """
    return weight, weight / mean if mean > 0.0 else math.inf


def updated(shape: float, rate: float, failures: int, unit_years: float) -> tuple[float, float]:
    """Shape and rate of the gamma after so many failures in so many unit years.

    Gamma(shape + failures, rate + unit_years). Source: NASA/SP-2009-569, Bayesian Inference for
    NASA Probabilistic Risk and Reliability Analysis (2009), section 4.2.2.1, conjugate prior of a
    Poisson count. Holds while the rate is constant.
    """
    return shape + failures, rate + unit_years


class Rates:
    """The rates of a snapshot's parts, each reckoned once."""

    def __init__(self, fleet: Fleet) -> None:
        self.fleet = fleet
        self.snapshot = fleet.snapshot
        self.part_names = list(self.snapshot.parts)
        self._number = {name: number for number, name in enumerate(self.part_names)}
        self._found: dict[str, PartRate | None] = {}

    @cached_property
    def part_of_row(self) -> Index:
        """The number of each row's part in `part_names`, -1 where it has none."""
        parts, number = self.snapshot.positions.part, self._number
        numbers = [NONE if part is None else number[part] for part in parts]
        return np.array(numbers, dtype=np.int64)

    @cached_property
    def records_from(self) -> int | None:
        """Day number from which failures count; None where nothing tells."""
        stated = self.snapshot.site.records_from
        days = [stated] if stated else [row.failed_on for row in self.snapshot.failures]
        return min(days).toordinal() if days else None

    @cached_property
    def _counted_rows(self) -> NDArray[np.bool_]:
        """Rows with a part and no rate of their own."""
        stated = self.snapshot.positions.failures_per_year
        found: NDArray[np.bool_] = self.fleet.has_part & np.array(
            [rate is None for rate in stated], dtype=bool
        )
        return found

    @cached_property
    def unit_years(self) -> NDArray[np.float64]:
        """Exposure of each part: units times years under record, whether its crane still runs."""
        years = np.maximum(self._until - self._since, 0.0) / DAYS_A_YEAR
        years *= np.array(self.snapshot.positions.qty, dtype=float)
        found = np.zeros(len(self.part_names))
        rows = self._counted_rows
        np.add.at(found, self.part_of_row[rows], years[rows])
        return found

    @property
    def _since(self) -> NDArray[np.float64]:
        """Day number from which each row is under record; an unknown start is before it."""
        installed = self.snapshot.positions.installed
        days = [math.nan if day is None else day.toordinal() for day in installed]
        since = np.array(days, dtype=float)
        for crane, rows in self.fleet.slices.items():
            commissioned = self.snapshot.cranes[crane].commissioned
            if commissioned is not None:
                since[rows] = commissioned.toordinal()
        found: NDArray[np.float64] = np.fmax(since, self.records_from or 0)
        return found

    @property
    def _until(self) -> NDArray[np.float64]:
        until = np.full(len(self.fleet.parent), float(self.snapshot.today.toordinal()))
        for crane, rows in self.fleet.slices.items():
            retire_on = self.snapshot.cranes[crane].retire_on
            if retire_on is not None and retire_on < self.snapshot.today:
                until[rows] = retire_on.toordinal()
        return until

    @cached_property
    def failures(self) -> dict[str, int]:
        """Failures under record of each part that has any, by the part that failed."""
        found: dict[str, int] = {}
        for failure in self.snapshot.failures:
            row = self.fleet.row(failure.crane, failure.position)
            if self.snapshot.positions.failures_per_year[row] is not None:
                continue
            part = failure.part or self.snapshot.positions.part[row]
            if part is not None and failure.failed_on.toordinal() >= (self.records_from or 0):
                found[part] = found.get(part, 0) + 1
        return found

    def rate(self, part: str) -> PartRate | None:
        """The rate of a part; None where neither it nor its class states one."""
        if part not in self._found:
            self._found[part] = self._reckoned(self.snapshot.parts[part])
        return self._found[part]

    def _reckoned(self, part: Part) -> PartRate | None:
        part_class = self.snapshot.classes.get(part.part_class or "")
        mean, basis = part.failures_per_year, "stated"
        if mean is None:
            mean, basis = (part_class.failures_per_year if part_class else None), "class"
        if mean is None:
            return None
        shape, rate = prior(mean, part_class.rate_weight if part_class else DEFAULT_WEIGHT)
        failures, unit_years = 0, 0.0
        if self.records_from is not None:
            failures = self.failures.get(part.part, 0)
            unit_years = float(self.unit_years[self._number[part.part]])
            with_records = updated(shape, rate, failures, unit_years)
            if min(with_records) > 0.0:
                (shape, rate), basis = with_records, "own"
                mean = shape / rate
        low, high = gamma_limits(shape, rate) if shape > 0.0 else (None, None)
        return PartRate(mean, low, high, shape, rate, basis, failures, unit_years)
