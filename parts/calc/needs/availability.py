"""From failures and restoring days to unavailability, and to the days a crane loses in a year."""

from __future__ import annotations

from collections.abc import Iterable

from parts.calc.likelihoods.years import DAYS_A_YEAR


def outage_ratio(failures_per_year: float | None, outage_days: float | None) -> float | None:
    """Years down for each year at work, rho = rate x days / 365.25.

    Args:
        failures_per_year: while at work; None = not known, which counts as none.
        outage_days: expected wait and hands-on days of one failure; None = not known.
    """
    if not failures_per_year:
        return 0.0
    return None if outage_days is None else failures_per_year * outage_days / DAYS_A_YEAR


def unavailability(ratio: float) -> float:
    """Share of time down of a part that fails only while it works: rho / (1 + rho)."""
    return ratio / (1.0 + ratio) if ratio < float("inf") else 1.0


def lost_days_per_year(weighted_ratios: Iterable[float]) -> float:
    """Days of its work that a crane loses in a year; never more than the year has.

    Args:
        weighted_ratios: of each position, rho x the share of work that one of its outages takes.

    365.25 R / (1 + R) with R the sum: a series system whose other parts stand still, and do not
    fail, while it is down. Source: R. E. Barlow and F. Proschan, Statistical Theory of Reliability
    and Life Testing (1975), on the availability of series systems under suspended animation (from
    memory).
    """
    return DAYS_A_YEAR * unavailability(sum(weighted_ratios))
