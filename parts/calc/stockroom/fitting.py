"""An issued part at its position: whether it may go there, what is fitted since, what failed."""

from __future__ import annotations

import datetime
import math
from dataclasses import replace

from parts.calc.stockroom.facts import Facts
from parts.errors import StepRefused
from parts.records.catalogue import Substitute
from parts.records.history import Failure
from parts.records.stock_steps import Edit, Step
from parts.records.structure import Position

_TESTS = {
    "functional": "a function test",
    "loaded": "a test under load",
    "rated_load": "a load test at rated load",
}
METER = "hours_meter"
JOINED_BY = "+"
"""Between the parts that a failure consumed."""


def fitted(step: Step, facts: Facts) -> tuple[list[Edit], list[str]]:
    """What an issue changes besides the stock; nothing where it names no position.

    The position's day moves when all its units are exchanged; of fewer, the age of the oldest stays
    on record. After a failure it stays too: the new unit's age runs from the day of restoring, and
    the day before it tells how old the failed unit became. What is used up with the part that is
    fitted, its companion, is booked at the position and changes nothing there.
    """
    position = facts.position
    if position is None or facts.crane is None:
        if step.failed_on is not None:
            raise StepRefused("position", "say at which position the part failed")
        return [], []
    retired = facts.crane.retire_on
    if retired is not None and retired <= step.date:
        raise StepRefused("crane", f"{facts.crane.crane} is retired since {retired}")
    failure = _failure(step, facts, position)
    edits = [] if failure is None else [failure]
    if any(row.part == position.part for row in facts.goes_with) and position.part != step.part:
        return edits, [f"used up with {position.part} at {position.crane}/{position.position}"]
    notes = _may_be_fitted(step, facts, position)
    exchanged, told = _exchanged(step, facts, position)
    edits += exchanged
    notes += told
    test = _TESTS.get((facts.part_class.recommission if facts.part_class else None) or "")
    if test:
        notes.append(f"needs {test} before the crane goes back to work; a qualified person decides")
    if companions := ", ".join(
        f"{row.qty * step.qty} {row.companion}" for row in facts.companions if row.chance == 1
    ):
        notes.append(f"goes with {companions}")
    if facts.position_bears_load:
        notes.append(
            f"{position.crane}/{position.position} bears load: a qualified person inspects and "
            "releases it before it lifts"
        )
    return edits, notes


def _exchanged(step: Step, facts: Facts, position: Position) -> tuple[list[Edit], list[str]]:
    """What the position holds since the step, as far as the record knows no later exchange."""
    if position.installed is not None and position.installed > step.date:
        return [], [f"a later exchange is on record there, of {position.installed}; it stays so"]
    if step.qty < position.qty:
        told = f"{step.qty} of {position.qty} exchanged: the age on record stays that of the oldest"
        return [], [told]
    changed = replace(
        position,
        part=step.part,
        installed=position.installed if step.failed_on is not None else step.date,
        hours_at_install=_meter_reading(facts, step.date),
    )
    edits = [] if changed == position else [Edit("positions", position, changed)]
    more = f"{step.qty} taken where {position.qty} sit"
    return edits, [more] if step.qty > position.qty else []


def _may_be_fitted(step: Step, facts: Facts, position: Position) -> list[str]:
    place = f"{position.crane}/{position.position}"
    if position.part is None:
        return [f"{place} had no part on record; now it holds {step.part}"]
    if position.part == step.part:
        return []
    row = next((row for row in facts.substitutes if _allows(row, position.part, step.part)), None)
    if row is None:
        raise StepRefused(
            "position", f"{place} takes {position.part}, and {step.part} is no substitute for it"
        )
    if facts.position_bears_load and row.approval is None:
        raise StepRefused(
            "position",
            f"{place} bears load: {step.part} may stand in for {position.part} only with a "
            "recorded approval",
        )
    approved = f", approved by {row.approval}" if row.approval else ""
    return [f"{step.part} stands in for {position.part}{approved}"]


def _allows(row: Substitute, wanted: str, given: str) -> bool:
    if (row.part, row.substitute) == (wanted, given):
        return True
    return bool(row.both_ways) and (row.part, row.substitute) == (given, wanted)


def _failure(step: Step, facts: Facts, position: Position) -> Edit | None:
    """The failure that the part is issued for: recorded, or a recorded one that is now restored."""
    if step.failed_on is None:
        return None
    if joined := next((name for name in step.consumed if JOINED_BY in name), None):
        raise StepRefused("consumed", f"{joined} cannot be listed here, its name holds {JOINED_BY}")
    if step.failed_on > step.date:
        raise StepRefused("failed_on", f"it cannot fail on {step.failed_on}, after the issue")
    if step.restored_on is not None and step.restored_on < step.failed_on:
        raise StepRefused("restored_on", "it cannot be restored before it failed")
    before = next((row for row in facts.failures if row.failed_on == step.failed_on), None)
    if before is not None and before.restored_on is not None:
        raise StepRefused(
            "failed_on",
            f"the failure of {step.failed_on} is on record as restored on {before.restored_on}",
        )
    new = Failure(
        crane=position.crane,
        position=position.position,
        failed_on=step.failed_on,
        part=position.part,
    )
    after = told_by(step, before or new)
    return None if after == before else Edit("failures", before, after)


def told_by(step: Step, failure: Failure) -> Failure:
    """The failure with what the step adds to it."""
    return replace(
        failure,
        restored_on=step.restored_on,
        cause=step.cause or failure.cause,
        consumed=JOINED_BY.join(step.consumed) or failure.consumed,
    )


def _meter_reading(facts: Facts, day: datetime.date) -> float | None:
    """The hour meter at the position, last read on or before the day."""
    readings = [row for row in facts.readings if row.what == METER and row.date <= day]
    for row in sorted(readings, key=lambda row: row.date, reverse=True):
        try:
            reading = float(row.value)
        except ValueError:
            continue
        if math.isfinite(reading) and reading >= 0.0:
            return reading
    return None
