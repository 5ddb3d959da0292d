"""Reading the site's settings: each key with its kind, and what of a value cannot be right."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterable
from typing import Any

from parts.records.site import Setting, Site

NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)\Z", re.ASCII)
NUMBER_AT_MOST = 1e308  # what is above is no number but an overflow
DAY = re.compile(r"\d{4}-\d{2}-\d{2}\Z", re.ASCII)


def plain_number(text: str) -> float:
    """A finite ASCII decimal with a dot and no exponent; ValueError says what it is not."""
    if not NUMBER.match(text):
        raise ValueError("is not a number")
    value = float(text)
    if abs(value) > NUMBER_AT_MOST:
        raise ValueError("is too large")
    return value


def plain_day(text: str) -> datetime.date:
    """A date written YYYY-MM-DD that exists; ValueError says what it is not."""
    if not DAY.match(text):
        raise ValueError("is not a date written YYYY-MM-DD")
    try:
        return datetime.date.fromisoformat(text)
    except ValueError:
        raise ValueError("is a date that does not exist") from None


def plain_flag(text: str) -> bool:
    if text not in ("yes", "no"):
        raise ValueError("is neither yes nor no")
    return text == "yes"


def _amount(text: str) -> float:
    value = plain_number(text)
    if value < 0:
        raise ValueError("is negative")
    return value


def _hours_a_day(text: str) -> float:
    value = _amount(text)
    if value == 0:
        raise ValueError("must be above 0")
    if value > 24:
        raise ValueError("is more than a day has")
    return value


def _confidence(text: str) -> float:
    value = plain_number(text)
    if not 0 < value < 1:
        raise ValueError("must lie between 0 and 1")
    return value


def _working_week(text: str) -> str:
    if not re.fullmatch(r"[01]{7}", text):
        raise ValueError("is not seven marks 0 or 1, Monday to Sunday")
    if "1" not in text:
        raise ValueError("has no working day")
    return text


SETTINGS: dict[str, Callable[[str], Any]] = {
    "currency": str,
    "hours_per_day": _hours_a_day,
    "default_exchange_hours": _amount,
    "donors": plain_flag,
    "working_week": _working_week,
    "holding_rate": _amount,
    "discount_rate": _amount,
    "confidence": _confidence,
    "records_from": plain_day,
    "horizon_years": _amount,
}


def site_of(settings: Iterable[Setting]) -> Site:
    """The settings as figures; a blank value takes the default."""
    return Site(
        **{row.key: SETTINGS[row.key](row.value) for row in settings if row.value is not None}
    )
