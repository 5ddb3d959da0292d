"""A sheet to count by, and what came of it. Knows no rule.

A sheet is blind: it never tells what the book says, or people find what they expect.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from parts.records.stock import Movement


@dataclass(frozen=True, slots=True)
class Tolerance:
    """By how much a line may differ and still count as right: so many units, or a share (0-1) of
    the book."""

    units: int = 0
    share: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLine:
    """One part in one store, as it is printed and as it comes back.

    `after` is the number of the account's last movement when the sheet was printed; `counted` None
    = nobody counted it.
    """

    sheet: str
    part: str
    store: str | None
    after: int
    description: str | None = None
    bin: str | None = None
    counted: int | None = None
    tolerance: Tolerance = Tolerance()
    unit_cost: float | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CountSheet:
    """What is to be counted, in the order of a walk; `left_out` have no bin to walk by."""

    sheet: str
    printed_on: datetime.date
    store: str | None
    lines: tuple[SheetLine, ...]
    left_out: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedLine:
    """One line of a count: `value` is the difference in money, None where no cost is known."""

    part: str
    store: str | None
    book: int
    counted: int
    difference: int
    within: bool
    description: str | None = None
    unit_cost: float | None = None
    value: float | None = None
    movement: str | None = None


@dataclass(frozen=True, slots=True)
class CountTotals:
    """Lines in tolerance, and differences net and absolute: a plus never hides a minus."""

    lines: int
    within: int
    share_within: float | None
    net: int
    absolute: int
    net_value: float | None
    absolute_value: float | None
    without_cost: int


@dataclass(frozen=True, slots=True)
class BelowMinimum:
    """A part of which the count left less than its minimum."""

    part: str
    left: int
    least: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CountReport:
    """What a count found, once it is booked.

    `since` are movements that came after the count, `late` those that the book learnt of only after
    the sheet was printed, `seal` the figure over all accounts that a later check is held against.
    """

    sheet: str
    counted_on: datetime.date
    already: bool
    lines: tuple[CountedLine, ...]
    not_counted: tuple[str, ...]
    totals: CountTotals
    since: tuple[Movement, ...]
    late: tuple[Movement, ...]
    below: tuple[BelowMinimum, ...]
    seal: str
