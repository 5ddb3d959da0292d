"""Cranes, what they must do, the positions on them, and what needs what."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from parts.records.fields import amount, day, flag, number, share, text, whole

HOURS_IN_A_YEAR_AT_MOST = 8784.0
DUTY_GROUPS = ("M1", "M2", "M3", "M4", "M5", "M6", "M7", "M8")


@dataclass(frozen=True, slots=True, kw_only=True)
class Crane:
    """One overhead crane with its own tag."""

    crane: str = text(required=True)
    name: str | None = text()
    bay: str | None = text()
    capacity_t: float | None = amount()
    duty_group: str | None = text()
    commissioned: date | None = day()
    retire_on: date | None = day()
    hours_per_year: float | None = number(lowest=0.0, highest=HOURS_IN_A_YEAR_AT_MOST)
    down_cost_per_day: float | None = amount()
    cover_share: float = share(0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Function:
    """What a crane must do, and the share of its work that is lost without it."""

    crane: str = text(required=True, refers_to="cranes")
    function: str = text(required=True)
    lost_share: float = number(required=True, above=0.0, highest=1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """One place on one crane where a part sits; its parent is the assembly that it is in."""

    crane: str = text(required=True, refers_to="cranes")
    position: str = text(required=True)
    parent: str | None = text(refers_to="positions")
    part: str | None = text(refers_to="parts")
    qty: int = whole(1, lowest=1)
    installed: date | None = day()
    hours_at_install: float | None = amount()
    exchange_hours: float | None = amount()
    load_bearing: bool = flag(False)
    failures_per_year: float | None = amount()


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """A function or position needs a position or function; a blank group is a hard need."""

    crane: str = text(required=True, refers_to="cranes")
    item: str = text(required=True)
    needs: str = text(required=True)
    group: str | None = text()
    at_least: int | None = whole(lowest=1)
