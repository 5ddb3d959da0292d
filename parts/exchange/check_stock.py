"""The ledger adds up: signs fit the kind of movement, and no store ever holds less than nothing."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Iterator

from parts.calc.stockroom.short_days import first_short_day
from parts.exchange.merge import Merged, Rows
from parts.exchange.places import quoted
from parts.records.answers import Fault
from parts.records.stock import EITHER_WAY, INWARD, OUTWARD


def faults(merged: Merged) -> Iterator[Fault]:
    """One fault for each wrong sign, and one for each part and store that falls below zero."""
    rows = merged["movements"]
    yield from _signs(rows)
    yield from _below_zero(rows)
    yield from _reversed_twice(rows)


def _signs(rows: Rows) -> Iterator[Fault]:
    for index, row in enumerate(rows.records):
        qty, kind = row.qty, row.kind
        if qty is None or kind is None:
            continue
        if kind in INWARD and qty <= 0:
            wanted = "above 0"
        elif kind in OUTWARD and qty >= 0:
            wanted = "below 0"
        elif kind in EITHER_WAY and qty == 0:
            wanted = "other than 0"
        elif kind == "care" and qty != 0:
            wanted = "0"
        else:
            continue
        yield rows.fault(index, "qty", qty, f"'{qty}' must be {wanted} for kind {kind}")


def _below_zero(rows: Rows) -> Iterator[Fault]:
    """Balances at the end of each day; within a day what comes in is booked before what goes out.

    A part of which any row is refused is left out: its balance is not known.
    """
    unknown = {rows.records[index].part for index in rows.unread}
    if not rows.complete or None in unknown:
        return
    lines: dict[tuple[str, str | None], list[tuple[datetime.date, int, int]]] = defaultdict(list)
    for index, row in enumerate(rows.records):
        if row.part not in unknown:
            lines[row.part, row.store].append((row.date, row.qty, index))
    for (part, store), found in lines.items():
        short = first_short_day((date, qty) for date, qty, _ in found)
        if short is not None:
            day, balance = short
            today = [index for date, qty, index in found if date == day and qty < 0]
            last = max(today, key=rows.order)
            place = f"store {quoted(store)}" if store is not None else "no named store"
            reason = f"leaves {balance} of {quoted(part)} in {place} at the end of {day}"
            yield rows.fault(last, "qty", rows.records[last].qty, reason)


def _reversed_twice(rows: Rows) -> Iterator[Fault]:
    first: dict[str, int] = {}
    for index, row in enumerate(rows.records):
        if row.reverses is None:
            continue
        before = first.setdefault(row.reverses, index)
        if before != index:
            other = rows.where_else(before)
            reason = f"{quoted(row.reverses)} is already reversed in {other}"
            yield rows.fault(index, "reverses", row.reverses, reason)
