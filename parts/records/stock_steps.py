"""What a storeroom does in one step, and what came of it.

A step is asked for; movements are what the ledger keeps of it. Knows no rule.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from typing import Any, Literal

from parts.records.stock import Movement

StepKind = Literal["issue", "receive", "return", "count", "scrap", "transfer", "care"]
STEP_KINDS: tuple[StepKind, ...] = (
    "issue",
    "receive",
    "return",
    "count",
    "scrap",
    "transfer",
    "care",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step as it is asked for.

    `key` makes asking twice the same as asking once. `qty` is in stock units, never negative; for a
    count it is what was found. `store`, `bin`, `condition`, `expires_on` name the lot that is taken
    or put away; those with `to_` are where a transfer leads. `for_` is the job whose reservation
    the step serves. `position` with `crane` is where an issued unit is fitted, or a returned one
    comes from; `failed_on` also records the failure there. `after` is the number of the account's
    last movement when it was counted.
    """

    key: str
    kind: StepKind
    date: datetime.date
    part: str
    qty: int
    store: str | None = None
    bin: str | None = None
    condition: str | None = None
    serial: str | None = None
    expires_on: datetime.date | None = None
    to_store: str | None = None
    to_bin: str | None = None
    to_condition: str | None = None
    to_expires_on: datetime.date | None = None
    crane: str | None = None
    position: str | None = None
    for_: str | None = None
    order: str | None = None
    over: bool = False
    certificate: str | None = None
    failed_on: datetime.date | None = None
    restored_on: datetime.date | None = None
    cause: str | None = None
    consumed: tuple[str, ...] = ()
    sheet: str | None = None
    after: int | None = None
    by: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Edit:
    """A record of a file of the site book as it was and as it shall be; None = not there."""

    file: str
    before: Any | None
    after: Any | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Booking:
    """What a step would enter: movements, edits of other records, what the person should know."""

    movements: tuple[Movement, ...] = ()
    edits: tuple[Edit, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OnHand:
    """One part in one store: what the book says, what of it can be used, when it was counted."""

    part: str
    store: str | None
    book: int
    usable: int
    expired: int
    quarantine: int
    in_repair: int
    last_counted: datetime.date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Posted:
    """What a step did; `before` and `after` are units on hand in the store of the booking."""

    key: str
    kind: str
    part: str
    already: bool
    movements: tuple[Movement, ...]
    before: int
    after: int
    store: str | None = None
    notes: tuple[str, ...] = field(default=())
