"""What the ledger keeps beside each movement, and the journal of every other edit.

A movement says what happened to the stock; a posting says who entered it, when, from where, and
seals it. A balance is the sum of an account (a part in a store), kept so that it can be refused to
fall below nothing. A site book holds none of these: they belong to the database.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from parts.records.stock import Movement

NO_STORE = ""
"""The store of movements that name none."""


@dataclass(frozen=True, slots=True)
class Stamp:
    """Who enters something, when (UTC, to the second) and from which machine."""

    at: str
    who: str
    place: str


@dataclass(frozen=True, slots=True)
class Posting:
    """One movement as it was entered: `number` counts within its account, from 1."""

    movement: Movement
    number: int
    stamp: Stamp
    seal: str


@dataclass(frozen=True, slots=True)
class Balance:
    """What an account holds, how many movements made it, and the seal of the last of them."""

    part: str
    store: str
    qty: int
    movements: int
    seal: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One edit of a record that is no movement: its key, what it was and what it is.

    `before` None = it was new; `after` None = it was taken out. `movement` is the key of the
    movement in whose step the edit was made.
    """

    stamp: Stamp
    file: str
    key: tuple[str, ...]
    before: dict[str, str] | None
    after: dict[str, str] | None
    why: str | None = None
    movement: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """One line of a stock count: what was found, what the book said then, and the movement that
    booked the difference, if there was one."""

    sheet: str
    part: str
    store: str
    counted_on: datetime.date
    counted: int
    book: int
    movement: str | None = None
