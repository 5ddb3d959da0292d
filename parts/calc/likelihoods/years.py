"""The one length of a year, 365.25 days, by which all arithmetic goes."""

from __future__ import annotations

from datetime import date

DAYS_A_YEAR = 365.25


def years_between(earlier: date, later: date) -> float:
    """Years from one day to another, below 0 where the second comes first."""
    return (later - earlier).days / DAYS_A_YEAR
