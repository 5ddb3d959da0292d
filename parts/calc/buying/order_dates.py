"""The day on which an order has to go out: back from the last day, on days that are worked.

Reckons with the site's working week and its holidays, and with the supplier's lead time at a
confidence. Knows nothing of quantities.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from parts.calc.getting.ways import earliest
from parts.records.snapshot import Snapshot

A_DAY = datetime.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class WorkingCalendar:
    """Which days are worked; `week` marks Monday to Sunday with 1 or 0."""

    week: str
    holidays: frozenset[datetime.date]

    def is_worked(self, day: datetime.date) -> bool:
        return self.week[day.weekday()] == "1" and day not in self.holidays

    def on_or_before(self, day: datetime.date) -> datetime.date:
        """The day itself or the last worked day before it."""
        while not self.is_worked(day):
            day -= A_DAY
        return day


def calendar_of(snapshot: Snapshot) -> WorkingCalendar:
    return WorkingCalendar(
        snapshot.site.working_week, frozenset(row.date for row in snapshot.holidays)
    )


def order_by(
    last_buy_on: datetime.date | None,
    last_ship_on: datetime.date | None,
    lead_days: float,
    calendar: WorkingCalendar,
) -> datetime.date | None:
    """The last worked day on which an order is accepted and still shipped in time.

    The earlier of last_buy_on and last_ship_on - lead_days, of those known; part days of a lead
    time count as whole ones. None where neither is known.
    """
    shipped = None
    if last_ship_on is not None:
        shipped = last_ship_on - datetime.timedelta(days=_whole_days(lead_days))
    last = earliest((last_buy_on, shipped))
    return None if last is None else calendar.on_or_before(last)


def _whole_days(days: float) -> int:
    return int(-(-days // 1))
