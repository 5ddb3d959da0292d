"""The site's own settings: how it works, reckons and scores."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from parts.records.fields import day, share, text


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One key of the site and its value, as written."""

    key: str = text(required=True)
    value: str | None = text()


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """A driver of the supply score: its weight and its value function as `x:y+x:y`."""

    driver: str = text(required=True, choices=("age", "sources", "lead_time"))
    weight: float = share(required=True)
    points: str = text(required=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Holiday:
    date: datetime.date = day(required=True)
    name: str | None = text()


@dataclass(frozen=True, slots=True)
class Site:
    """The settings as figures; a key that the site has not set takes the default here."""

    currency: str | None = None
    hours_per_day: float = 16.0
    default_exchange_hours: float = 8.0
    donors: bool = False
    working_week: str = "1111100"
    holding_rate: float = 0.20
    discount_rate: float = 0.08
    confidence: float = 0.8
    records_from: datetime.date | None = None
    horizon_years: float = 15.0

    @property
    def working_days_a_week(self) -> int:
        return self.working_week.count("1")
