"""What each step enters: movements signed as the ledger wants them, and what else changes.

One function a kind of step. A step that cannot be taken raises StepRefused, which names the fact
that would have to differ. Invariant: a booking leaves no store with less than nothing.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import replace

from parts.calc.getting.stock import USABLE
from parts.calc.stockroom.counting import booked_late, booked_since, noted
from parts.calc.stockroom.facts import Facts
from parts.calc.stockroom.fitting import fitted
from parts.calc.stockroom.lots import (
    at_unit,
    out_of,
    refuse_known_serial,
    store_of,
    taken_from,
    taken_to_use,
    where,
)
from parts.calc.stockroom.receiving import order_edits, put_away
from parts.calc.stockroom.short_days import refuse_short_days
from parts.calc.stockroom.texts import refuse_unkept_texts
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
    refuse_unkept_texts(step)
    if "/" in step.key:
        raise StepRefused("key", f"'{step.key}' holds a stroke; those are for the movements in it")
    if step.date > facts.today:
        raise StepRefused("date", f"{step.date} lies ahead; a step is booked once it was done")
    lowest = 0 if step.kind in ("count", "care") else 1
    if not lowest <= step.qty <= MOST:
        raise StepRefused("qty", f"a quantity is {lowest} to {MOST:,} whole units, not {step.qty}")
    if step.position is not None and facts.position is None:
        raise StepRefused("position", f"no position {step.crane}/{step.position} is on record")
    if step.order is not None and all(row.order != step.order for row in facts.orders):
        raise StepRefused("order", f"order {step.order} has no {step.part} on it")


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
    step = at_unit(step, facts)
    store = store_of(step, facts)
    lots = taken_to_use(step, facts, store)
    aside = _set_aside(step, facts, store) if any(lot[1] is None for lot, _ in lots) else ()
    edits, notes = fitted(step, facts)
    if aside:
        qty, key = -sum(row.qty for row in aside if row.qty < 0), aside[0].key
        notes.append(f"{qty} past shelf life lay beside it: moved to quarantine ({key})")
    return Booking(
        movements=(*aside, *out_of(_movement(step, "issue", -step.qty, store), lots)),
        edits=(*edits, *_promise_kept(step, facts)),
        notes=(*notes, *_below_minimum(facts, -step.qty)),
    )


def _set_aside(step: Step, facts: Facts, store: str | None) -> tuple[Movement, ...]:
    """Move what has expired to quarantine, as a step of its own.

    The book takes what expires first, so it must be out of the way of an undated unit.
    """
    lots = facts.expired_lots(store)
    if lots and facts.serials:
        raise StepRefused(
            "expires_on",
            f"{step.part} {where(store)}: {facts.expired_in(store)} past shelf life lie beside it; "
            "move them to quarantine or scrap them first",
        )
    moved = Movement(
        date=step.date,
        part=step.part,
        qty=0,
        kind="transfer",
        store=store,
        by=step.by,
        note="past shelf life",
        key=f"{step.key}-expired",
    )
    away = out_of(moved, lots)
    return (*away, *(_put(row, store, None, "quarantine", row.expires_on) for row in away))


def _receive(step: Step, facts: Facts) -> Booking:
    condition, certified, notes = put_away(step, facts)
    refuse_known_serial(step, facts)
    edits, told = order_edits(step, facts)
    movement = replace(
        _movement(step, "receipt", step.qty, store_of(step, facts)),
        condition=condition,
        note=certified,
    )
    return Booking(movements=(movement,), edits=edits, notes=(*notes, *told))


def _return(step: Step, facts: Facts) -> Booking:
    if step.condition is None:
        raise StepRefused(
            "condition", "say in what condition it comes back: usable, quarantine or in_repair"
        )
    refuse_known_serial(step, facts)
    movement = _movement(step, "return", step.qty, store_of(step, facts))
    notes: tuple[str, ...] = ()
    if facts.position is not None and facts.position.part == step.part:
        place = f"{facts.position.crane}/{facts.position.position}"
        notes = (f"{place} still has {step.part} on record; change it there if it stays empty",)
    return Booking(movements=(replace(movement, condition=_named(step.condition)),), notes=notes)


def _count(step: Step, facts: Facts) -> Booking:
    """Book what differs from the book; what came after the count is no difference."""
    store = store_of(step, facts)
    later = booked_since(step, facts, store)
    book = facts.book(store) - sum(row.qty for row in later)
    notes = (
        *(f"{row.kind} of {row.qty:+d} came after the count ({row.key})" for row in later),
        *(
            f"{row.kind} of {row.qty:+d} was booked late, for {row.date} ({row.key}): taken as "
            "done before the count"
            for row in booked_late(step, facts, store)
        ),
    )
    difference = step.qty - book
    if difference == 0:
        return Booking(notes=(*notes, f"as the book says: {book}"))
    if book < 0 or facts.book(store) + difference < 0:
        raise StepRefused(
            "qty",
            f"since the count more {step.part} was taken {where(store)} than it found; count again",
        )
    notes += _counted_serials(step, facts, difference)
    movement = replace(_movement(step, "count", difference, store), note=noted(step, book))
    told = f"counted {step.qty}, book {book}"
    return Booking(movements=(movement,), notes=(*notes, told, *_left(facts, difference)))


def _counted_serials(step: Step, facts: Facts, difference: int) -> tuple[str, ...]:
    """Which unit is missing or was found; where nobody says it, what to say."""
    if step.serial is None:
        known = ", ".join(sorted(facts.serials))
        asks = f"one with a serial number may be missing ({known}); undo this and say which"
        return (asks,) if facts.stock.book + difference < len(facts.serials) else ()
    if abs(difference) != 1:
        why = f"a serial number belongs to one unit; this count differs by {abs(difference)}"
        raise StepRefused("serial", why)
    if (step.serial in facts.serials) != (difference < 0):
        known = "is" if difference > 0 else "is not"
        raise StepRefused("serial", f"{step.part} {step.serial} {known} in store by the book")
    return ()


def _scrap(step: Step, facts: Facts) -> Booking:
    if not step.note:
        raise StepRefused("note", "say why it is scrapped")
    step = at_unit(step, facts)
    store = store_of(step, facts)
    lots = taken_from(step, facts, store)
    used = sum(qty for lot, qty in lots if lot[2] == USABLE and not facts.is_expired(lot))
    return Booking(
        movements=tuple(out_of(_movement(step, "scrap", -step.qty, store), lots)),
        notes=_left(facts, -used),
    )


def _transfer(step: Step, facts: Facts) -> Booking:
    """Move a lot to another store, bin, condition or, once looked at, another day of expiry."""
    step = at_unit(step, facts)
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
    away = out_of(_movement(step, "transfer", -step.qty, store), lots)
    put = (
        _put(row, to_store, step.to_bin, to_condition, step.to_expires_on or row.expires_on)
        for row in away
    )
    return Booking(movements=(*away, *put))


def _put(
    away: Movement,
    store: str | None,
    bin_: str | None,
    condition: str,
    expires_on: datetime.date | None,
) -> Movement:
    """Where what went away is put."""
    return replace(
        away,
        qty=-away.qty,
        store=store,
        bin=bin_,
        condition=_named(condition),
        expires_on=expires_on,
        key=f"{away.key}/to",
    )


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


def _left(facts: Facts, change: int) -> tuple[str, ...]:
    """What a person should know of what is left when some is gone that was not issued."""
    promised, left = sum(row.qty for row in facts.open_reservations), facts.usable + change
    short = (f"{promised} are promised to jobs, {left} can be used",) * (promised > left)
    return (*short, *_below_minimum(facts, change))


def _below_minimum(facts: Facts, change: int) -> tuple[str, ...]:
    left, least = facts.usable + change, facts.part.min_stock
    if least is not None and left < least:
        return (f"{left} left for use, below its minimum of {least}: order more",)
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
