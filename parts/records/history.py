"""What happened and what was measured: failures, duty, observations; and planned upgrades."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from parts.records.fields import amount, day, number, share, text
from parts.records.structure import DUTY_GROUPS, HOURS_IN_A_YEAR_AT_MOST


@dataclass(frozen=True, slots=True, kw_only=True)
class Failure:
    """A failure at a position; restored_on blank = still out."""

    crane: str = text(required=True, refers_to="cranes")
    position: str = text(required=True, refers_to="positions")
    failed_on: datetime.date = day(required=True)
    restored_on: datetime.date | None = day()
    part: str | None = text(refers_to="parts")
    age_hours: float | None = amount()
    cause: str | None = text()
    consumed: str | None = text(many=True, refers_to="parts")
    note: str | None = text()


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """Use of one mechanism against the full-load hours of its group."""

    crane: str = text(required=True, refers_to="cranes")
    mechanism: str = text(required=True)
    group: str | None = text(choices=DUTY_GROUPS)
    hours_per_year: float | None = number(lowest=0.0, highest=HOURS_IN_A_YEAR_AT_MOST)
    km: float | None = share()
    spectrum: str | None = text()
    hours_used: float | None = amount()
    method_factor: float = amount(1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """What was read or measured at a position, on a day."""

    crane: str = text(required=True, refers_to="cranes")
    position: str = text(required=True, refers_to="positions")
    date: datetime.date = day(required=True)
    what: str = text(required=True)
    value: str = text(required=True)
    by: str | None = text()


@dataclass(frozen=True, slots=True, kw_only=True)
class Upgrade:
    """A project that changes what is fitted."""

    upgrade: str = text(required=True)
    title: str | None = text()
    cost: float | None = amount()
    lead_days: float | None = amount()
    down_days: float | None = amount()
    life_years: float | None = amount()


@dataclass(frozen=True, slots=True, kw_only=True)
class UpgradeEffect:
    """What an upgrade does to a position: out, exchanged for a new part, or failing less."""

    upgrade: str = text(required=True, refers_to="upgrades")
    crane: str = text(required=True, refers_to="cranes")
    position: str = text(required=True, refers_to="positions")
    new_part: str | None = text(refers_to="parts")
    failures_factor: float | None = amount()
