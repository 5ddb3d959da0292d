"""Durations given as three points: low, likely and high, taken as a beta-PERT.

Plain numbers in, plain numbers out. A single figure has no spread of its own; a missing end
equals the likely one.
"""

from __future__ import annotations

from dataclasses import dataclass

CALENDAR_DAYS_A_WEEK = 7.0


def pert_mean(low: float, likely: float, high: float) -> float:
    """Mean of a three-point duration, (low + 4 likely + high) / 6.

    Source: Malcolm, Roseboom, Clark and Fazar, "Application of a Technique for Research and
    Development Program Evaluation", Operations Research 7 (1959) (from memory).
    """
    return (low + 4.0 * likely + high) / 6.0


def beta_shapes(low: float, likely: float, high: float) -> tuple[float, float]:
    """Shapes (alpha, beta) of the beta on [low, high] whose mean is `pert_mean`.

    alpha = 1 + 4 (likely - low) / (high - low), beta = 1 + 4 (high - likely) / (high - low); its
    variance is (mean - low)(high - mean) / 7.
    Holds for low < high; ValueError otherwise.
    """
    if not low < high:
        raise ValueError("a beta needs low < high")
    width = high - low
    return 1.0 + 4.0 * (likely - low) / width, 1.0 + 4.0 * (high - likely) / width


@dataclass(frozen=True, slots=True)
class ThreePoint:
    """Calendar days: low <= likely <= high."""

    low: float
    likely: float
    high: float

    @property
    def mean(self) -> float:
        return pert_mean(self.low, self.likely, self.high)

    @property
    def is_certain(self) -> bool:
        return self.low == self.high


def calendar_days(
    low: float | None, likely: float, high: float | None, unit: str, working_days_a_week: int
) -> ThreePoint:
    """Three points in `unit` (d, wd, wk) as calendar days; a missing end equals the likely."""
    factor = {
        "d": 1.0,
        "wk": CALENDAR_DAYS_A_WEEK,
        "wd": CALENDAR_DAYS_A_WEEK / working_days_a_week,
    }[unit]
    return ThreePoint(
        factor * (likely if low is None else low),
        factor * likely,
        factor * (likely if high is None else high),
    )
