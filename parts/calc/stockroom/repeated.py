"""Whether a step that comes with a key that is booked already is the same step once more."""

from __future__ import annotations

from collections.abc import Sequence

from parts.calc.getting.stock import USABLE
from parts.records.stock import Movement
from parts.records.stock_steps import Step

_KIND = {"receive": "receipt"}
_INWARD = ("receive", "return")
_TELLS_MORE = ("receive", "count")
_TO = "/to"


def is_same(step: Step, booked: Sequence[Movement]) -> bool:
    """Whether the movements of a step are what this one would have entered when it was new.

    What the book decided then (which lots, which store where none was named) is not asked again.
    """
    first = booked[0]
    facts = (
        (_KIND.get(step.kind, step.kind), first.kind),
        (step.date, first.date),
        (step.part, first.part),
        (step.crane, first.crane),
        (step.position, first.position),
        (step.order, first.order),
        (step.serial, first.serial),
        (step.by, first.by),
        (step.bin, first.bin),
        (step.store or first.store, first.store),
    )
    return (
        all(asked == found for asked, found in facts)
        and _same_qty(step, booked)
        and _same_lot(step, first)
        and _same_note(step, first)
        and _same_target(step, booked)
    )


def _same_qty(step: Step, booked: Sequence[Movement]) -> bool:
    if step.kind == "count":
        return (booked[0].note or "").startswith(f"counted {step.qty}, ")
    taken = sum(abs(row.qty) for row in booked if not row.key.endswith(_TO))
    return taken == step.qty or step.kind == "care"


def _same_lot(step: Step, first: Movement) -> bool:
    found = first.condition or USABLE
    assumed = USABLE if step.serial is None or step.kind in _INWARD else found
    if (step.condition or assumed) != found and step.kind != "count":
        return False
    if step.kind in _INWARD:
        return step.expires_on == first.expires_on
    return step.expires_on in (None, first.expires_on)


def _same_note(step: Step, first: Movement) -> bool:
    """A receipt and a count put facts before the note."""
    if step.kind in _TELLS_MORE:
        return step.note is None or (first.note or "").endswith(step.note)
    return step.note == first.note


def _same_target(step: Step, booked: Sequence[Movement]) -> bool:
    put = [row for row in booked if row.key.endswith(_TO)]
    return step.to_store is None or all(row.store == step.to_store for row in put)
