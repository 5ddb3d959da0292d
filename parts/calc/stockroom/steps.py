"""What each step enters: movements signed as the ledger wants them, and what else changes.

One function a kind of step. A step that cannot be taken raises StepRefused, which names the fact
that would have to differ. Invariant: a booking leaves no store with less than nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from parts.calc.getting.stock import USABLE
from parts.calc.stockroom.facts import Facts
from parts.calc.stockroom.fitting import fitted
from parts.calc.stockroom.lots import (
    checked_serial,
    out_of,
    store_of,
    taken_from,
    taken_to_use,
    where,
)
from parts.calc.stockroom.receiving import order_edits, put_away
from parts.calc.stockroom.short_days import refuse_short_days
from parts.errors import ShortStock, StepRefused
from parts.records.stock import Movement
from parts.records.stock_steps import Booking, Edit, Step

MOST = 1_000_000_000
"""Units in one step: more is a slip of the finger."""


def booking_of(step: Step, facts: Facts) -> Booking:
    """What the step enters; raises StepRefused where it cannot be taken."""
    _checked(step, facts)
    booking = _STEPS[step.kind](step, facts)
    refuse_short_days(booking.movements, facts.movements)
    return booking


def _checked(step: Step, facts: Facts) -> None:
    if step.date > facts.today:
        raise StepRefused("date", f"{step.date} lies ahead; a step is booked once it was done")
    lowest = 0 if step.kind in ("count", "care") else 1
    if not lowest <= step.qty <= MOST:
        raise StepRefused("qty", f"a quantity is {lowest} to {MOST:,} whole units, not {step.qty}")
    if step.position is not None and facts.position is None:
        raise StepRefused("position", f"no position {step.crane}/{step.position} is on record")


def _movement(step: Step, kind: str, qty: int, store: str | None) -> Movement:
    return Movement(
        date=step.date,
        part=step.part,
        qty=qty,
        kind=kind,
        store=store,
        bin=step.bin,
        serial=step.serial,
        crane=step.crane,
        position=step.position,
        order=step.order,
        expires_on=step.expires_on,
        by=step.by,
        note=step.note,
        key=step.key,
    )


def _issue(step: Step, facts: Facts) -> Booking:
    store = store_of(step, facts)
    lots = taken_to_use(step, facts, store)
    checked_serial(step, facts, in_store=True)
    edits, notes = fitted(step, facts)
    return Booking(
        movements=tuple(out_of(_movement(step, "issue", -step.qty, store), lots)),
        edits=(*edits, *_promise_kept(step, facts)),
        notes=(*notes, *_below_minimum(facts, -step.qty)),
    )


def _receive(step: Step, facts: Facts) -> Booking:
    condition, certified, notes = put_away(step, facts)
    checked_serial(step, facts, in_store=False)
    edits, told = order_edits(step, facts)
    movement = replace(
        _movement(step, "receipt", step.qty, step.store), condition=condition, note=certified
    )
    return Booking(movements=(movement,), edits=edits, notes=(*notes, *told))


def _return(step: Step, facts: Facts) -> Booking:
    if step.condition is None:
        raise StepRefused(
            "condition", "say in what condition it comes back: usable, quarantine or in_repair"
        )
    checked_serial(step, facts, in_store=False)
    movement = _movement(step, "return", step.qty, step.store)
    return Booking(movements=(replace(movement, condition=_named(step.condition)),))


def _count(step: Step, facts: Facts) -> Booking:
    """Book what differs from the book; what was entered since the count is no difference."""
    store = store_of(step, facts)
    later = [] if step.after is None else _since(step, facts, store)
    book = facts.book(store) - sum(row.qty for row in later)
    if book < 0:
        raise StepRefused("after", "the count is older than what the book knows; count again")
    notes = tuple(
        f"{row.kind} of {row.qty:+d} was booked after the count ({row.key})" for row in later
    )
    difference = step.qty - book
    if difference == 0:
        return Booking(notes=(*notes, f"as the book says: {book}"))
    if facts.book(store) + difference < 0:
        raise ShortStock(step.part, where(store), facts.book(store), -difference)
    told = f"counted {step.qty}, book {book}"
    note = f"{told}; {step.note}" if step.note else told
    movement = replace(_movement(step, "count", difference, store), note=note)
    promised = sum(row.qty for row in facts.open_reservations)
    if promised > facts.stock.in_condition(USABLE) + difference:
        notes += (f"{promised} are promised to jobs: more than there is now",)
    return Booking(movements=(movement,), notes=(*notes, told, *_below_minimum(facts, difference)))


def _since(step: Step, facts: Facts, store: str | None) -> list[Movement]:
    """What was entered in the store after the count began; movements stand in entry order."""
    of_store = [row for row in facts.movements if row.store == store]
    return of_store[step.after :]


def _scrap(step: Step, facts: Facts) -> Booking:
    if not step.note:
        raise StepRefused("note", "say why it is scrapped")
    store = store_of(step, facts)
    lots = taken_from(step, facts, store)
    checked_serial(step, facts, in_store=True)
    return Booking(
        movements=tuple(out_of(_movement(step, "scrap", -step.qty, store), lots)),
        notes=_below_minimum(facts, -step.qty),
    )


def _transfer(step: Step, facts: Facts) -> Booking:
    """Move a lot to another store, bin, condition or, once looked at, another day of expiry."""
    store = store_of(step, facts)
    to_store = step.to_store or store
    condition, to_condition = (
        step.condition or USABLE,
        step.to_condition or step.condition or USABLE,
    )
    changes_state = to_condition != condition or step.to_expires_on is not None
    if to_store == store and not changes_state and step.to_bin in (None, step.bin):
        raise StepRefused("to_store", "say where it goes: another store, bin or condition")
    if changes_state and not step.note:
        raise StepRefused("note", "say who looked at it and why its state changes")
    lots = taken_from(step, facts, store)
    checked_serial(step, facts, in_store=True)
    away = out_of(_movement(step, "transfer", -step.qty, store), lots)
    put = tuple(
        replace(
            row,
            qty=-row.qty,
            store=to_store,
            bin=step.to_bin,
            condition=_named(to_condition),
            expires_on=step.to_expires_on or row.expires_on,
            key=f"{row.key}/to",
        )
        for row in away
    )
    return Booking(movements=(*away, *put))


def _care(step: Step, facts: Facts) -> Booking:
    store = store_of(step, facts)
    if not facts.book(store):
        raise ShortStock(step.part, where(store), 0, 1)
    return Booking(movements=(_movement(step, "care", 0, store),))


def _promise_kept(step: Step, facts: Facts) -> list[Edit]:
    """A promise that is served is released, or lessened by what was taken."""
    edits = []
    for row in facts.open_reservations:
        if step.for_ is not None and row.for_ == step.for_:
            left = row.qty - step.qty
            kept = replace(row, qty=left) if left > 0 else replace(row, released_on=step.date)
            edits.append(Edit("reservations", row, kept))
    if step.for_ is not None and not edits:
        raise StepRefused("for", f"nothing of {step.part} is promised to {step.for_}")
    return edits


def _below_minimum(facts: Facts, change: int) -> tuple[str, ...]:
    left, least = facts.stock.book + change, facts.part.min_stock
    if least is not None and left < least:
        return (f"{left} left, below its minimum of {least}: order more",)
    return ()


def _named(condition: str) -> str | None:
    """Usable is what a blank means."""
    return None if condition == USABLE else condition


_STEPS: dict[str, Callable[[Step, Facts], Booking]] = {
    "issue": _issue,
    "receive": _receive,
    "return": _return,
    "count": _count,
    "scrap": _scrap,
    "transfer": _transfer,
    "care": _care,
}
