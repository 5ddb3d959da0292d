"""No store ends any day with less than nothing, also not for a step that is dated back."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Iterable, Sequence

from parts.calc.stockroom.lots import where
from parts.errors import StepRefused
from parts.records.stock import Movement


def first_short_day(
    dated: Iterable[tuple[datetime.date, int]],
) -> tuple[datetime.date, int] | None:
    """The first day that ends below nothing, and with how much; None = none does."""
    by_day: dict[datetime.date, int] = defaultdict(int)
    for date, qty in dated:
        by_day[date] += qty
    balance = 0
    for day in sorted(by_day):
        balance += by_day[day]
        if balance < 0:
            return day, balance
    return None


def refuse_short_days(new: Sequence[Movement], there: Iterable[Movement]) -> None:
    """Refuse movements after which some store had ended some day below nothing."""
    stores = {row.store for row in new if row.qty < 0}
    rows = [*there, *new]
    for store in stores:
        short = first_short_day((row.date, row.qty) for row in rows if row.store == store)
        if short is not None:
            day, balance = short
            raise StepRefused(
                "date",
                f"{new[0].part} {where(store)} would have ended {day} with {balance}; "
                "what comes in must be booked for that day or before",
            )
