"""Demand that comes now and then: Croston's estimate, its two corrections, the demand class.

Takes a series of units used in equal periods, nothing else; `planned_use` makes such series of
the movements. One smoothing constant serves size and interval unless a formula says otherwise.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise
from math import fsum

ALPHA = 0.1
ADI_CUT = 1.32
CV2_CUT = 0.49


class Start(Enum):
    """From where the first interval is counted; on nothing do open implementations differ more."""

    SERIES = "the start of the series"  # as in the common open-source implementations
    FIRST_USE = "the first use"  # months before the first use say nothing about its interval


class DemandClass(Enum):
    SMOOTH = "smooth"
    ERRATIC = "erratic"
    INTERMITTENT = "intermittent"
    LUMPY = "lumpy"


@dataclass(frozen=True, slots=True)
class Smoothed:
    """Smoothed size of a use and smoothed interval between uses, in periods."""

    size: float
    interval: float

    @property
    def per_period(self) -> float:
        return self.size / self.interval


def smoothed(values: Sequence[float], alpha: float) -> float:
    """Simple exponential smoothing that starts at the first value."""
    level = values[0]
    for value in values[1:]:
        level += alpha * (value - level)
    return level


def _intervals(series: Sequence[float], start: Start) -> list[int]:
    """Periods before each use; [] where the start asked for has not come yet."""
    uses = [period for period, units in enumerate(series, 1) if units > 0]
    between = [later - earlier for earlier, later in pairwise(uses)]
    if start is Start.SERIES:
        return [*uses[:1], *between]
    return [*between[:1], *between]


def croston(
    series: Sequence[float], alpha: float = ALPHA, start: Start = Start.FIRST_USE
) -> Smoothed | None:
    """Croston's estimate: size and interval smoothed apart, each when there is a use.

    Args:
        series: units used in each period.
        alpha: smoothing constant, 0 to 1.
        start: from where the first interval is counted; from the first use it is the one to the
            second.
    Returns:
        None before there is a first interval.
    Method: z += alpha (size - z), p += alpha (interval - p), estimate z / p. Croston,
        "Forecasting and stock control for intermittent demands", Operational Research Quarterly
        23 (1972) 289-303 (from memory).
    """
    intervals = _intervals(series, start)
    if not intervals:
        return None
    sizes = [units for units in series if units > 0]
    return Smoothed(smoothed(sizes, alpha), smoothed(intervals, alpha))


def sba(
    series: Sequence[float], alpha: float = ALPHA, start: Start = Start.FIRST_USE
) -> float | None:
    """Croston's estimate a period times (1 - alpha / 2), which takes its bias away.

    alpha is the interval's smoothing constant. Syntetos and Boylan, "The accuracy of intermittent
    demand estimates", International Journal of Forecasting 21 (2005) 303-314 (from memory).
    """
    found = croston(series, alpha, start)
    return None if found is None else (1.0 - alpha / 2.0) * found.per_period


def tsb(
    series: Sequence[float],
    size_alpha: float = ALPHA,
    chance_alpha: float = ALPHA,
    start: Start = Start.FIRST_USE,
) -> float | None:
    """Estimate a period that fades while nothing is used: chance of a use times size.

    Args:
        series: units used in each period.
        size_alpha, chance_alpha: smoothing constants of size and of chance.
        start: the chance starts at 0 or 1 in the first period of the series; or, from the first
            use, at 1 / (first interval) at the second.
    Returns:
        None where there is no start.
    Method: size as Croston's; chance += chance_alpha (1 or 0 - chance) in each later period.
        Teunter, Syntetos and Babai, "Intermittent demand: linking forecasting to inventory
        obsolescence", European Journal of Operational Research 214 (2011) 606-615 (from memory).
    """
    intervals = _intervals(series, start)
    if not intervals:
        return None
    used = [float(units > 0) for units in series]
    first, chances = 0, used
    if start is Start.FIRST_USE:
        first = used.index(1.0) + intervals[0]
        chances = [1.0 / intervals[0], *used[first + 1 :]]
    size = smoothed([units for units in series if units > 0], size_alpha)
    return smoothed(chances, chance_alpha) * size


def mean_interval(series: Sequence[float]) -> float:
    """Average demand interval, ADI: periods / periods with a use. Holds where there is a use."""
    return len(series) / sum(units > 0 for units in series)


def squared_variation(series: Sequence[float]) -> float:
    """CV^2 of the sizes of the uses, zeros left out, with the population standard deviation."""
    sizes = [units for units in series if units > 0]
    mean = fsum(sizes) / len(sizes)
    return fsum((size - mean) ** 2 for size in sizes) / len(sizes) / mean**2


def demand_class(adi: float, cv2: float) -> DemandClass:
    """The class of a demand by how often it comes and how much its sizes vary.

    A figure on a cut-off belongs to the less regular side; the texts that cite the scheme do not
    settle it. Cut-offs 1.32 and 0.49: Syntetos, Boylan and Croston, "On the categorization of
    demand patterns", Journal of the Operational Research Society 56 (2005) 495-503 (read as
    cited, the paper not seen).
    """
    if adi < ADI_CUT:
        return DemandClass.SMOOTH if cv2 < CV2_CUT else DemandClass.ERRATIC
    return DemandClass.INTERMITTENT if cv2 < CV2_CUT else DemandClass.LUMPY
