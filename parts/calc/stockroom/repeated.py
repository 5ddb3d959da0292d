"""Whether a step that comes with a key that is booked already is the same step once more."""

from __future__ import annotations

from collections.abc import Sequence

from parts.records.stock import Movement
from parts.records.stock_steps import Step

_KIND = {"receive": "receipt"}
_TO = "/to"


def is_same(step: Step, booked: Sequence[Movement]) -> bool:
    """Whether the movements of a step are what this one would have entered when it was new.

    What the book decided then (which lots, which store where none was named) is not asked again.
    """
    first = booked[0]
    if step.kind == "count":
        same_qty = (first.note or "").startswith(f"counted {step.qty}, ")
    else:
        taken = (abs(row.qty) for row in booked if not row.key.endswith(_TO))
        same_qty = sum(taken) == step.qty or step.kind == "care"
    facts = (
        (_KIND.get(step.kind, step.kind), first.kind),
        (step.date, first.date),
        (step.part, first.part),
        (step.crane, first.crane),
        (step.position, first.position),
        (step.order, first.order),
        (step.serial, first.serial),
        (step.by, first.by),
        (step.store or first.store, first.store),
    )
    return same_qty and all(asked == found for asked, found in facts) and _same_target(step, booked)


def _same_target(step: Step, booked: Sequence[Movement]) -> bool:
    put = [row for row in booked if row.key.endswith(_TO)]
    return step.to_store is None or all(row.store == step.to_store for row in put)
