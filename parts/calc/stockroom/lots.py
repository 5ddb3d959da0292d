"""Which lots a step takes its units from, and whether that many are there and may be taken."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from parts.calc.getting.stock import USABLE, Lot
from parts.calc.stockroom.facts import Facts
from parts.errors import ShortStock, StepRefused
from parts.records.stock import Movement
from parts.records.stock_steps import Step

_PUTS = ("receive", "return", "count")


def where(store: str | None) -> str:
    return "in no named store" if store is None else f"in {store}"


def store_of(step: Step, facts: Facts) -> str | None:
    """The store that the step names, else the one where the part is kept, or for a part that was
    never kept the only one there is; refused where several are."""
    if step.store is not None:
        return step.store
    stores = facts.usual_stores or (facts.site_stores if step.kind in _PUTS else ())
    if len(stores) < 2:
        return stores[0] if stores else None
    if not facts.usual_stores:
        named = ", ".join(map(str, stores))
        raise StepRefused("store", f"{step.part} was never in store; say in which: {named}")
    held = ", ".join(f"{store or 'no named store'} {facts.book(store)}" for store in stores)
    raise StepRefused("store", f"{step.part} lies in several stores ({held}); say which")


def at_unit(step: Step, facts: Facts) -> Step:
    """A step with one unit that has a serial number is a step with the lot in which it lies."""
    if step.serial is None:
        _refuse_no_serial(step, facts)
        return step
    if step.qty != 1:
        raise StepRefused("serial", "a serial number belongs to one unit; book one at a time")
    unit = facts.unit(step.serial)
    if unit is None:
        raise StepRefused("serial", f"no {step.part} with serial number {step.serial} is in store")
    store, expires_on, condition = unit
    asked = (step.store or store, step.expires_on or expires_on, step.condition or condition)
    if asked != unit:
        lies = f"{where(store)}, {_words(condition)}"
        until = f", to be used until {expires_on}" if expires_on else ""
        raise StepRefused("serial", f"{step.part} {step.serial} lies {lies}{until}")
    return replace(step, store=store, expires_on=expires_on, condition=condition)


def refuse_known_serial(step: Step, facts: Facts) -> None:
    """A unit with a serial number comes in once."""
    if step.serial is None:
        return
    if step.qty != 1:
        raise StepRefused("serial", "a serial number belongs to one unit; book one at a time")
    if step.serial in facts.serials:
        raise StepRefused("serial", f"{step.part} {step.serial} is in store already")


def taken_to_use(step: Step, facts: Facts, store: str | None) -> list[tuple[Lot, int]]:
    """Lots and quantities for use: usable, in life, and not promised to another job.

    Takes what expires first, unless the step names the day of expiry.
    """
    if step.condition not in (None, USABLE):
        raise StepRefused(
            "condition",
            f"what is in {_words(step.condition)} is not issued; whoever may release it moves it "
            "to usable first",
        )
    lots = facts.usable_lots(store)
    if step.expires_on is not None:
        if step.expires_on < step.date:
            raise StepRefused(
                "expires_on",
                f"it expired on {step.expires_on}: a qualified person looks at it before use",
            )
        lots = [held for held in lots if held[0][1] == step.expires_on]
    usable = sum(qty for _, qty in lots)
    if usable < step.qty:
        place = where(store) + _of_the_lot(step) + _why_less(facts, store)
        raise ShortStock(step.part, place, usable, step.qty)
    _refuse_promised(step, facts)
    return list(_first(lots, step.qty))


def taken_from(step: Step, facts: Facts, store: str | None) -> list[tuple[Lot, int]]:
    """Lots and quantities that leave or move, in whatever state: the named lot, nothing else."""
    condition = step.condition or USABLE
    lots = [
        (lot, qty)
        for lot, qty in facts.stock.lots.items()
        if lot[0] == store and lot[2] == condition and qty > 0
    ]
    if step.expires_on is not None:
        lots = [held for held in lots if held[0][1] == step.expires_on]
    lots.sort(key=lambda held: (held[0][1] is None, held[0][1] or facts.today))
    there = sum(qty for _, qty in lots)
    if there < step.qty:
        named = f" {_words(condition)}" if condition != USABLE else ""
        raise ShortStock(step.part, where(store) + named + _of_the_lot(step), there, step.qty)
    return list(_first(lots, step.qty))


def out_of(movement: Movement, lots: list[tuple[Lot, int]]) -> list[Movement]:
    """One movement for each lot; an undated usable one need not be named."""
    rows = []
    for number, ((_, expires_on, condition), qty) in enumerate(lots, start=1):
        rows.append(
            replace(
                movement,
                qty=-qty,
                expires_on=expires_on,
                condition=None if condition == USABLE else condition,
                key=movement.key if number == 1 else f"{movement.key}/{number}",
            )
        )
    return rows


def _refuse_no_serial(step: Step, facts: Facts) -> None:
    if facts.serials and len(facts.serials) >= facts.stock.book >= step.qty:
        known = ", ".join(sorted(facts.serials)[:5])
        raise StepRefused("serial", f"every {step.part} in store has a serial number: {known}")


def _refuse_promised(step: Step, facts: Facts) -> None:
    """Leave to other jobs what they were promised; a job may always take what it was promised."""
    others = [row for row in facts.open_reservations if row.for_ != step.for_]
    own = sum(row.qty for row in facts.open_reservations if row.for_ == step.for_)
    promised = sum(row.qty for row in others)
    usable = facts.usable
    if step.qty > own and usable - promised < step.qty:
        jobs = ", ".join(f"{row.qty} for {row.for_}" for row in others)
        raise StepRefused(
            "for",
            f"{step.part}: usable {usable}, promised {promised} ({jobs}), asked {step.qty}; "
            "release a promise, or say which job it is for",
        )


def _of_the_lot(step: Step) -> str:
    return f" to be used until {step.expires_on}" if step.expires_on else ""


def _why_less(facts: Facts, store: str | None) -> str:
    """What lies there besides and cannot be used."""
    expired = facts.expired_in(store)
    held = sum(qty for lot, qty in facts.stock.lots.items() if lot[0] == store and lot[2] != USABLE)
    told = [f"{expired} past shelf life"] * bool(expired)
    told += [f"{held} in quarantine or repair"] * bool(held)
    return f" (besides {' and '.join(told)})" if told else ""


def _first(lots: list[tuple[Lot, int]], wanted: int) -> Iterator[tuple[Lot, int]]:
    for lot, qty in lots:
        taken = min(qty, wanted)
        if taken > 0:
            wanted -= taken
            yield lot, taken


def _words(condition: str | None) -> str:
    return (condition or USABLE).replace("_", " ")
