"""The answer to what if: the site as it is beside the site as it would be. None = not known."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PositionChange:
    """Lost days if one position fails today, as things are and as they would be."""

    crane: str
    position: str
    part: str | None
    lost_days_now: float | None
    lost_days_then: float | None

    @property
    def more_days(self) -> float | None:
        """Lost days on top of today's; below 0 where fewer; None where either is not known."""
        if self.lost_days_now is None or self.lost_days_then is None:
            return None
        return self.lost_days_then - self.lost_days_now


@dataclass(frozen=True, slots=True)
class WhatIfAnswer:
    """`changes` are the positions that change most, `changed` counts all that change.

    Exposures are those of a year; `unknown` counts positions that nobody knows how to restore,
    which add nothing to them.
    """

    exposure_days_now: float
    exposure_days_then: float
    exposure_cost_now: float
    exposure_cost_then: float
    unknown_now: int
    unknown_then: int
    changed: int
    changes: tuple[PositionChange, ...]
