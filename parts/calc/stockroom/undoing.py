"""A step undone: each of its movements reversed, never taken out."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Sequence

from parts.calc.stockroom.lots import where
from parts.calc.stockroom.short_days import refuse_short_days
from parts.errors import ShortStock, StepRefused
from parts.records.stock import Movement


def reversals(
    key: str,
    movements: Sequence[Movement],
    *,
    new_key: str,
    date: datetime.date,
    by: str | None = None,
    note: str | None = None,
) -> tuple[Movement, ...]:
    """The movements that undo the step whose first movement has this key.

    `movements` are all of its part. Raises StepRefused for what cannot be undone: a reversal, what
    is undone already, a receipt that has been used.
    """
    of_step = step_of(key, movements)
    for row in of_step:
        _refuse_undone(row, movements)
    if date < of_step[0].date:
        raise StepRefused("date", f"it was booked on {of_step[0].date}, it cannot be undone before")
    undone = tuple(
        Movement(
            date=date,
            part=row.part,
            qty=-row.qty,
            kind="reversal",
            store=row.store,
            bin=row.bin,
            serial=row.serial,
            crane=row.crane,
            position=row.position,
            order=row.order,
            by=by,
            note=note,
            reverses=row.key,
            key=new_key if row is of_step[0] else f"{new_key}{row.key.removeprefix(key)}",
        )
        for row in of_step
    )
    _refuse_short(undone, movements)
    refuse_short_days(undone, movements)
    return undone


def step_of(key: str, movements: Sequence[Movement]) -> list[Movement]:
    """The movements that one step entered: the first has its key, the others a longer one."""
    return [row for row in movements if row.key == key or row.key.startswith(f"{key}/")]


def _refuse_undone(row: Movement, movements: Sequence[Movement]) -> None:
    if row.kind == "reversal":
        raise StepRefused("key", f"'{row.key}' undoes another step; book that one anew instead")
    if row.qty == 0:
        raise StepRefused("key", "care in store moved nothing; there is nothing to undo")
    by = next((other for other in movements if other.reverses == row.key), None)
    if by is not None:
        raise StepRefused("key", f"'{row.key}' is undone already, by '{by.key}' on {by.date}")


def _refuse_short(undone: Sequence[Movement], movements: Sequence[Movement]) -> None:
    """Nothing is taken back that is not there any more."""
    held: Counter[str | None] = Counter()
    for row in movements:
        held[row.store] += row.qty
    change: Counter[str | None] = Counter()
    for row in undone:
        change[row.store] += row.qty
    for store, qty in change.items():
        if held[store] + qty < 0:
            raise ShortStock(undone[0].part, where(store), held[store], -qty)
