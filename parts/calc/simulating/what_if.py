"""Two states of one site beside each other: where lost days change most, exposure in all.

Positions are told by their names: what is only in one of the states loses nothing in the other.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import numpy as np

from parts.calc.failing.fleet import Index
from parts.calc.ranking.exposures import Array, Exposures
from parts.calc.ranking.outlooks import Outlooks
from parts.records.what_if_answers import PeriodChange, PositionChange, Present, WhatIfAnswer

LEAST_DAYS = 1e-6
"""A smaller change comes from adding up in another order."""


def compared(now: Exposures, then: Exposures, most: int) -> WhatIfAnswer:
    """The site now and then, with the `most` positions whose lost days change most.

    A position that nobody knows how to restore, now or then but not both, changes most of all;
    after those that take longer or less long come those that only fail more or less often.
    """
    beside = _Beside(now, then)
    return WhatIfAnswer(
        exposure_days_now=_sum(now.days),
        exposure_days_then=_sum(then.days),
        exposure_cost_now=_sum(now.costs),
        exposure_cost_then=_sum(then.costs),
        unknown_now=int(np.isinf(now.outage.lost_days).sum()),
        unknown_then=int(np.isinf(then.outage.lost_days).sum()),
        changed=len(beside.rows),
        changes=tuple(beside.change(row) for row in beside.rows[:most].tolist()),
        periods=tuple(_periods(now, then)),
    )


class _Beside:
    """The positions of two states, by the rows of the one that is known."""

    def __init__(self, now: Exposures, then: Exposures) -> None:
        self.now, self.then = now, then
        count = len(now.snapshot.positions)
        self.lost_now = now.outage.lost_days.copy()
        self.year_now = now.days.copy()
        self.row_then = _rows_then(now, then)
        there = self.row_then >= 0
        self.lost_then, self.year_then = np.full(count, np.nan), np.full(count, np.nan)
        self.lost_then[there] = then.outage.lost_days[self.row_then[there]]
        self.year_then[there] = then.days[self.row_then[there]]
        self.only_now = ~np.isnan(self.lost_now) & np.isnan(self.lost_then)
        self.only_then = np.isnan(self.lost_now) & ~np.isnan(self.lost_then)
        self.lost_then[self.only_now] = self.year_then[self.only_now] = 0.0
        self.lost_now[self.only_then] = self.year_now[self.only_then] = 0.0
        self.rows = self._ranked()

    def _ranked(self) -> Index:
        """The rows that change, those that change most first."""
        lost, year = _change(self.lost_now, self.lost_then), _change(self.year_now, self.year_then)
        lost[lost <= LEAST_DAYS] = 0.0
        rows = np.flatnonzero((lost > 0.0) | (year > LEAST_DAYS))
        found: Index = rows[np.lexsort((-year[rows], -lost[rows]))]
        return found

    def change(self, row: int) -> PositionChange:
        positions, row_then = self.now.snapshot.positions, int(self.row_then[row])
        present: Present = (
            "now" if self.only_now[row] else "then" if self.only_then[row] else "both"
        )
        return PositionChange(
            crane=positions.crane[row],
            position=positions.position[row],
            part=positions.part[row],
            lost_days_now=_known(self.lost_now[row]),
            lost_days_then=_known(self.lost_then[row]),
            year_days_now=_known(self.year_now[row]),
            year_days_then=_known(self.year_then[row]),
            part_then=None if row_then < 0 else self.then.snapshot.positions.part[row_then],
            present=present,
        )


def _rows_then(now: Exposures, then: Exposures) -> Index:
    """For each row that is known its row in the other state, -1 where it is not there."""
    known, other = now.snapshot.positions, then.snapshot.positions
    if other is known:
        return np.arange(len(known))
    places = {place: row for row, place in enumerate(zip(other.crane, other.position, strict=True))}
    rows = (places.get(place, -1) for place in zip(known.crane, known.position, strict=True))
    return np.fromiter(rows, dtype=np.int64, count=len(known))


def _periods(now: Exposures, then: Exposures) -> Iterator[PeriodChange]:
    """Working periods that end on another day, the soonest end first."""
    before = {(each.crane, each.mechanism): each.runs_out_on for each in Outlooks(now).duty()}
    found = (
        PeriodChange(each.crane, each.mechanism, each.used_share, before[place], each.runs_out_on)
        for each in Outlooks(then).duty()
        if before[place := (each.crane, each.mechanism)] != each.runs_out_on
    )
    yield from sorted(found, key=lambda each: each.runs_out_then or date.max)


def _change(now: Array, then: Array) -> Array:
    """How much figures differ, in size; 0 where neither is known."""
    with np.errstate(invalid="ignore"):
        found: Array = np.abs(then - now)
    return np.nan_to_num(found, nan=0.0, posinf=np.inf)


def _sum(figures: Array) -> float:
    return float(np.nansum(figures))


def _known(days: float) -> float | None:
    return float(days) if np.isfinite(days) else None
