"""What is to be counted: each part in each store so many times a year, a share of them a week.

Common practice counts the items of most value four times a year, others twice or once. Here the
wait takes the place of the value: the longer a part takes to come, the dearer is a shelf that
holds less than the book says. What was never counted comes first, the longest wait ahead.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from parts.calc.getting.stock import PartStock
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.records.stock import Movement

COUNTS_A_YEAR = ((90.0, 4), (30.0, 2), (0.0, 1))
"""From so many days of lead time on, so many counts a year; a choice, no source."""
WEEKS_A_YEAR = 52
Account = tuple[str, str]
"""A part and a store, "" where the ledger names none."""


@dataclass(frozen=True, slots=True)
class CountDue:
    """A part in a store that was not counted for as long as its wait allows; None = never, or a
    wait that nobody knows."""

    part: str
    store: str
    counted_on: datetime.date | None
    every_days: int
    lead_days: float | None
    today: datetime.date

    @property
    def due_on(self) -> datetime.date | None:
        if self.counted_on is None:
            return None
        return self.counted_on + datetime.timedelta(days=self.every_days)

    @property
    def is_due(self) -> bool:
        return self.due_on is None or self.due_on <= self.today

    @property
    def order(self) -> tuple[bool, float, str, str]:
        """Never counted first, the longest wait ahead; then by how many times it was passed by."""
        if self.counted_on is None:
            wait = math.inf if self.lead_days is None else self.lead_days
            return False, -wait, self.part, self.store
        return True, -(self.today - self.counted_on).days / self.every_days, self.part, self.store


@dataclass(frozen=True, slots=True)
class Counts:
    """All that is due, in order, and how many of them a week has to take."""

    due: tuple[CountDue, ...]
    a_week: int


def counts_a_year(lead_days: float | None) -> int:
    """How often a part is counted; as often as any where nobody knows how long it takes."""
    if lead_days is None:
        return COUNTS_A_YEAR[0][1]
    return next(counts for least, counts in COUNTS_A_YEAR if lead_days >= least)


def last_counts(movements: Iterable[Movement]) -> dict[Account, datetime.date]:
    """The day of the latest count that was booked for each account, undone ones left out."""
    rows = list(movements)
    undone = {row.reverses for row in rows if row.reverses}
    found: dict[Account, datetime.date] = {}
    for row in rows:
        if row.kind == "count" and row.key not in undone:
            account = row.part, row.store or ""
            found[account] = max(row.date, found.get(account, row.date))
    return found


def counts_due(
    stock: Mapping[str, PartStock],
    counted: Mapping[Account, datetime.date],
    lead_days: Callable[[str], float | None],
    today: datetime.date,
) -> Counts:
    """What is to be counted of the accounts that hold something.

    Arguments: stock (by part), counted (the latest count of each account), lead_days (of a part).
    The share of a week is the sum of all counts a year over 52, rounded up: who walks it every
    week has counted everything as often as it asks for.
    """
    held = sorted(
        {(part, lot[0] or "") for part, found in stock.items() for lot in found.lots}
    )  # a lot that came to nothing is not among them
    found, a_year = [], 0
    for part, store in held:
        lead = lead_days(part)
        often = counts_a_year(lead)
        a_year += often
        last = counted.get((part, store))
        found.append(CountDue(part, store, last, int(DAYS_A_YEAR / often), lead, today))
    due = sorted((each for each in found if each.is_due), key=lambda each: each.order)
    return Counts(tuple(due), math.ceil(a_year / WEEKS_A_YEAR))
