"""A step undone: each of its movements reversed, never taken out."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Sequence

from parts.calc.getting.stock import USABLE, Lot, PartStock, stock_of
from parts.calc.stockroom.lots import where
from parts.calc.stockroom.short_days import refuse_short_days
from parts.calc.stockroom.texts import refuse_unkept_texts
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
    if "/" in new_key:
        raise StepRefused("key", f"'{new_key}' holds a stroke; those are for the movements in it")
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
    refuse_unkept_texts(undone[0])
    _refuse_used(of_step, movements, date)
    refuse_short_days(undone, movements)
    return undone


def step_of(key: str, movements: Sequence[Movement]) -> list[Movement]:
    """The movements that one step entered, first the one that has its key; the others' keys go
    on after a stroke."""
    found = [row for row in movements if row.key == key or row.key.startswith(f"{key}/")]
    return sorted(found, key=lambda row: row.key != key)


def _refuse_undone(row: Movement, movements: Sequence[Movement]) -> None:
    if row.kind == "reversal":
        raise StepRefused("key", f"'{row.key}' undoes another step; book that one anew instead")
    if row.qty == 0:
        raise StepRefused("key", "care in store moved nothing; there is nothing to undo")
    by = next((other for other in movements if other.reverses == row.key), None)
    if by is not None:
        raise StepRefused("key", f"'{row.key}' is undone already, by '{by.key}' on {by.date}")


def _refuse_used(
    of_step: Sequence[Movement], movements: Sequence[Movement], date: datetime.date
) -> None:
    """Nothing is taken back out of a lot that does not hold it any more."""
    part = of_step[0].part
    known = [row for row in movements if row.date <= date]
    lots = stock_of(known, (), date).get(part, PartStock()).lots
    asked: Counter[Lot] = Counter()
    for row in of_step:
        if row.qty > 0:
            asked[row.store, row.expires_on, row.condition or USABLE] += row.qty
    for lot, qty in asked.items():
        held = max(lots.get(lot, 0), 0)
        if held < qty:
            raise ShortStock(part, where(lot[0]), held, qty)
