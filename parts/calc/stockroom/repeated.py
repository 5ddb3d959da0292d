"""Whether a step that comes with a key that is booked already is the same step once more."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from parts.calc.getting.stock import USABLE
from parts.calc.stockroom import counting, receiving
from parts.calc.stockroom.fitting import told_by
from parts.records.history import Failure
from parts.records.stock import Movement
from parts.records.stock_steps import Edit, Step

_KIND = {"receive": "receipt"}
_INWARD = ("receive", "return")
_TO = "/to"


def is_same(
    step: Step,
    booked: Sequence[Movement],
    edits: Sequence[Edit] = (),
    failures: Sequence[Failure] = (),
) -> bool:
    """Whether a step's movements and edits are what this one would have entered when it was new.

    `failures` are those on record at its position; one to which it added nothing was not edited.
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
        and first.note == _note(step, first)
        and _same_target(step, booked)
        and _same_failure(step, edits, failures)
        and _promises(edits) == ([(step.part, step.for_)] if step.for_ else [])
    )


def _same_qty(step: Step, booked: Sequence[Movement]) -> bool:
    taken = sum(abs(row.qty) for row in booked if not row.key.endswith(_TO))
    return taken == step.qty or step.kind in ("care", "count")  # a count tells it in its note


def _same_lot(step: Step, first: Movement) -> bool:
    found = first.condition or USABLE
    assumed = USABLE if step.serial is None or step.kind in _INWARD else found
    if (step.condition or assumed) != found and step.kind != "count":
        return False
    if step.kind in _INWARD:
        return step.expires_on == first.expires_on
    return step.expires_on in (None, first.expires_on)


def _note(step: Step, first: Movement) -> str | None:
    if step.kind == "receive":
        return receiving.noted(step)
    return counting.noted(step, step.qty - first.qty) if step.kind == "count" else step.note


def _same_target(step: Step, booked: Sequence[Movement]) -> bool:
    away = {row.key: row for row in booked}
    return all(
        put.store == (step.to_store or away[key].store)
        and put.bin == step.to_bin
        and (put.condition or USABLE) == (step.to_condition or away[key].condition or USABLE)
        and put.expires_on == (step.to_expires_on or away[key].expires_on)
        for put in booked
        if (key := put.key.removesuffix(_TO)) != put.key
    )


def _same_failure(step: Step, edits: Sequence[Edit], failures: Sequence[Failure]) -> bool:
    noted: list[tuple[Any, Any]]
    noted = [(edit.before, edit.after) for edit in edits if edit.file == "failures"]
    told = (
        after.failed_on == step.failed_on and told_by(step, before or _bare(after)) == after
        for before, after in noted or [(row, row) for row in failures]
    )
    return any(told) if step.failed_on else not noted


def _bare(failure: Failure) -> Failure:
    return replace(failure, restored_on=None, cause=None, consumed=None)


def _promises(edits: Sequence[Edit]) -> list[tuple[str, str]]:
    """The promises that a step served."""
    served = (edit.before for edit in edits if edit.file == "reservations")
    return [(row.part, row.for_) for row in served if row is not None]
