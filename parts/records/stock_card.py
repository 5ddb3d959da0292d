"""What a storeroom wants to know of one part at a glance: three stock figures, promises, journal.

Knows no rule.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from parts.records.ledger import Posting
from parts.records.stock import Reservation
from parts.records.stock_steps import OnHand


@dataclass(frozen=True, slots=True)
class SetMember:
    """One part of a set: so many are needed for one set, so many can be used."""

    part: str
    needed: int
    usable: int
    unit_cost: float | None = None


@dataclass(frozen=True, slots=True)
class MissingUnits:
    """What lacks for so many whole sets; `cost` None = not known."""

    part: str
    qty: int
    cost: float | None


@dataclass(frozen=True, slots=True)
class SetsInStore:
    """Whole sets of a part with its certain companions, and what one more would take."""

    members: tuple[SetMember, ...]
    whole: int
    lacks: tuple[MissingUnits, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StockCard:
    """One part: `free` is what can be used and is promised to nobody; `postings` come latest
    first; `sets` None = it has no certain companion."""

    part: str
    description: str | None
    today: datetime.date
    stores: tuple[OnHand, ...]
    promises: tuple[Reservation, ...]
    free: int
    min_stock: int | None
    postings: tuple[Posting, ...]
    sets: SetsInStore | None = None

    @property
    def book(self) -> int:
        return sum(each.book for each in self.stores)

    @property
    def usable(self) -> int:
        return sum(each.usable for each in self.stores)

    @property
    def last_counted(self) -> datetime.date | None:
        """The day by which every store was counted; None = some store never was."""
        days = [each.last_counted for each in self.stores]
        known = [day for day in days if day is not None]
        return min(known) if known and len(known) == len(days) else None
