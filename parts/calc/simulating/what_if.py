"""Two states of one site beside each other: where lost days change most, exposure in all.

Both have the same positions in the same order; only what can be had, and when, may differ.
"""

from __future__ import annotations

import numpy as np

from parts.calc.ranking.exposures import Array, Exposures
from parts.records.what_if_answers import PositionChange, WhatIfAnswer

LEAST_DAYS = 1e-6
"""A smaller change comes from adding up in another order."""


def compared(now: Exposures, then: Exposures, most: int) -> WhatIfAnswer:
    """The site now and then, with the `most` positions whose lost days change most.

    A position that nobody knows how to restore, now or then but not both, changes most of all.
    """
    days_now, days_then = now.outage.lost_days, then.outage.lost_days
    change = _change(days_now, days_then)
    rows = np.flatnonzero(change > LEAST_DAYS)
    first = rows[np.argsort(-change[rows], kind="stable")][:most]
    positions = now.snapshot.positions
    return WhatIfAnswer(
        exposure_days_now=_sum(now.days),
        exposure_days_then=_sum(then.days),
        exposure_cost_now=_sum(now.costs),
        exposure_cost_then=_sum(then.costs),
        unknown_now=int(np.isinf(days_now).sum()),
        unknown_then=int(np.isinf(days_then).sum()),
        changed=len(rows),
        changes=tuple(
            PositionChange(
                positions.crane[row],
                positions.position[row],
                positions.part[row],
                _known(days_now[row]),
                _known(days_then[row]),
            )
            for row in first.tolist()
        ),
    )


def _change(now: Array, then: Array) -> Array:
    """How much lost days differ, in size; 0 where neither is known."""
    with np.errstate(invalid="ignore"):
        found = np.abs(then - now)
    return np.nan_to_num(found, nan=0.0, posinf=np.inf)


def _sum(figures: Array) -> float:
    return float(np.nansum(figures))


def _known(days: float) -> float | None:
    return float(days) if np.isfinite(days) else None
