"""The stock ledger: movements that are only ever appended to, and what is promised away."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from parts.records.fields import day, text, whole

INWARD = ("opening", "receipt", "return")
OUTWARD = ("issue", "scrap")
EITHER_WAY = ("count", "transfer", "reversal")
MOVEMENT_KINDS = (*INWARD, *OUTWARD, *EITHER_WAY, "care")
CONDITIONS = ("usable", "quarantine", "in_repair")


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One line of the ledger; `qty` is signed, in stock units."""

    date: datetime.date = day(required=True)
    part: str = text(required=True, refers_to="parts")
    qty: int = whole(required=True)
    kind: str = text(required=True, choices=MOVEMENT_KINDS)
    store: str | None = text()
    bin: str | None = text()
    condition: str | None = text(choices=CONDITIONS)
    serial: str | None = text()
    crane: str | None = text(refers_to="cranes")
    position: str | None = text(refers_to="positions")
    order: str | None = text(refers_to="orders")
    expires_on: datetime.date | None = day()
    by: str | None = text()
    note: str | None = text()
    reverses: str | None = text(refers_to="movements")
    key: str = text(default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reservation:
    """Stock promised to somebody until it is released."""

    part: str = text(required=True, refers_to="parts")
    qty: int = whole(required=True, lowest=1)
    # `for` is a word of the language, so the column's name ends in a stroke here
    for_: str = text(required=True)
    needed_on: datetime.date | None = day()
    released_on: datetime.date | None = day()
