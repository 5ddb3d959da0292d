"""Which lots a step takes its units from, and whether that many are there and may be taken."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from parts.calc.getting.stock import USABLE, Lot
from parts.calc.stockroom.facts import Facts
from parts.errors import ShortStock, StepRefused
from parts.records.stock import Movement
from parts.records.stock_steps import Step


def where(store: str | None) -> str:
    return "in no named store" if store is None else f"in {store}"


def store_of(step: Step, facts: Facts) -> str | None:
    """The store that the step names, else the one that holds the part; refused where several do."""
    if step.store is not None or len(facts.stores) < 2:
        return step.store if step.store is not None or not facts.stores else facts.stores[0]
    held = ", ".join(f"{store or 'no named store'} {facts.book(store)}" for store in facts.stores)
    raise StepRefused("store", f"{step.part} lies in several stores ({held}); say which")


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
        if step.expires_on < facts.today:
            raise StepRefused(
                "expires_on",
                f"it expired on {step.expires_on}: a qualified person looks at it before use",
            )
        lots = [held for held in lots if held[0][1] == step.expires_on]
    usable = sum(qty for _, qty in lots)
    if usable < step.qty:
        raise ShortStock(step.part, where(store) + _why_less(facts, store), usable, step.qty)
    _refuse_promised(step, facts)
    taken = list(_first(lots, step.qty))
    if any(lot[1] is None for lot, _ in taken) and facts.expired_in(store):
        # the book takes what expires first, so what has expired must be out of its way
        raise StepRefused(
            "expires_on",
            f"{step.part} {where(store)}: {facts.expired_in(store)} past shelf life lie beside it; "
            "move them to quarantine or scrap them first",
        )
    return taken


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
        raise ShortStock(step.part, where(store) + named, there, step.qty)
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


def checked_serial(step: Step, facts: Facts, *, in_store: bool) -> None:
    """A serial number is one unit's: it comes in once and goes out of what is there."""
    if step.serial is None:
        if in_store and facts.serials and len(facts.serials) >= facts.stock.book:
            known = ", ".join(sorted(facts.serials)[:5])
            raise StepRefused("serial", f"every {step.part} in store has a serial number: {known}")
        return
    if step.qty != 1:
        raise StepRefused("serial", "a serial number belongs to one unit; book one at a time")
    if in_store and step.serial not in facts.serials:
        raise StepRefused("serial", f"no {step.part} with serial number {step.serial} is in store")
    if not in_store and step.serial in facts.serials:
        raise StepRefused("serial", f"{step.part} {step.serial} is in store already")


def _refuse_promised(step: Step, facts: Facts) -> None:
    """Leave to other jobs what they were promised."""
    others = [row for row in facts.open_reservations if row.for_ != step.for_]
    promised = sum(row.qty for row in others)
    usable = facts.stock.in_condition(USABLE) - facts.stock.expired(facts.today)
    if usable - promised < step.qty:
        jobs = ", ".join(f"{row.qty} for {row.for_}" for row in others)
        raise StepRefused(
            "for",
            f"{step.part}: usable {usable}, promised {promised} ({jobs}), asked {step.qty}; "
            "release a promise, or say which job it is for",
        )


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
