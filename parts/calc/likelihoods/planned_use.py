"""Use that is no failure, as the store's issues tell it: units a month, by part.

An issue counts once: as planned use, or with the failure at whose crane and position it was
booked while that was out. What was reversed was never used. Returns and counts change stock, not
use. The running month is not over and is no part of a series.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from parts.calc.likelihoods.intermittent import (
    DemandClass,
    demand_class,
    mean_interval,
    sba,
    squared_variation,
    tsb,
)
from parts.records.history import Failure
from parts.records.stock import Movement

# how long an issue may belong to a failure whose end nobody has recorded
OPEN_FAILURE_DAYS = 60
DYING_AFTER_INTERVALS = 2.0
MONTHS_A_YEAR = 12.0

Place = tuple[str | None, str | None]


@dataclass(frozen=True, slots=True)
class PlannedUse:
    """Units issued in each month, from the first issue's to the last complete one.

    `quiet_months` are the complete months since the last issue. None = fewer than two months
    with an issue, so nothing can be said.
    """

    part: str
    first_on: date
    monthly: tuple[int, ...]
    quiet_months: int

    @property
    def is_told(self) -> bool:
        return sum(units > 0 for units in self.monthly) > 1

    @property
    def demand_class(self) -> DemandClass | None:
        if not self.is_told:
            return None
        return demand_class(mean_interval(self.monthly), squared_variation(self.monthly))

    @property
    def is_dying(self) -> bool:
        """Whether the last issue lies further back than two average intervals."""
        limit = DYING_AFTER_INTERVALS * mean_interval(self.monthly)
        return self.quiet_months > limit

    @property
    def method(self) -> str | None:
        if not self.is_told:
            return None
        return "TSB" if self.is_dying else "SBA"

    @property
    def per_year(self) -> float | None:
        if not self.is_told:
            return None
        per_month = tsb(self.monthly) if self.is_dying else sba(self.monthly)
        return None if per_month is None else MONTHS_A_YEAR * per_month


def planned_use(
    movements: Iterable[Movement], failures: Iterable[Failure], today: date
) -> dict[str, PlannedUse]:
    """Planned use by part, of the parts that were ever issued for it."""
    issues: dict[str, list[tuple[date, int]]] = {}
    out = _Out(failures)
    for row, units in _issued(movements):
        if not out.at(row):
            issues.setdefault(row.part, []).append((row.date, units))
    return {part: _of_issues(part, rows, today) for part, rows in issues.items()}


class _Out:
    """When each position was out of service."""

    def __init__(self, failures: Iterable[Failure]) -> None:
        self._spans: dict[Place, list[tuple[date, date]]] = {}
        for row in failures:
            until = row.restored_on or row.failed_on + timedelta(days=OPEN_FAILURE_DAYS)
            self._spans.setdefault((row.crane, row.position), []).append((row.failed_on, until))

    def at(self, row: Movement) -> bool:
        spans = self._spans.get((row.crane, row.position), ())
        return any(since <= row.date <= until for since, until in spans)


def _issued(movements: Iterable[Movement]) -> list[tuple[Movement, int]]:
    """Issues and their units, less what was reversed; a reversal may itself be reversed."""
    rows = list(movements)
    reversals: dict[str, list[Movement]] = {}
    for row in rows:
        if row.kind == "reversal" and row.reverses:
            reversals.setdefault(row.reverses, []).append(row)

    def net(row: Movement) -> int:
        return row.qty + sum(net(each) for each in reversals.get(row.key, ()))

    issued = [(row, -net(row)) for row in rows if row.kind == "issue"]
    return [(row, units) for row, units in issued if units > 0]


def _month(day: date) -> int:
    return 12 * day.year + day.month


def _of_issues(part: str, issues: list[tuple[date, int]], today: date) -> PlannedUse:
    first_on = min(day for day, _ in issues)
    last_on = max(day for day, _ in issues)
    monthly = [0] * max(0, _month(today) - _month(first_on))
    for day, units in issues:
        month = _month(day) - _month(first_on)
        if month < len(monthly):
            monthly[month] += units
    quiet_months = max(0, _month(today) - _month(last_on) - 1)
    return PlannedUse(part, first_on, tuple(monthly), quiet_months)
