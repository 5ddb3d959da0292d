"""A count against the book, and a sheet of counts against each other.

What was booked in for a day before the count lay on the shelf when somebody counted; what is booked
for a later day did not. Of the same day's movements those that were entered before the sheet was
printed are taken as done. Invariant: pluses and minuses are never only netted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import floor

from parts.calc.stockroom.facts import Facts
from parts.errors import StepRefused
from parts.records.count_answers import CountedLine, CountTotals, Tolerance
from parts.records.stock import Movement
from parts.records.stock_steps import Step


def booked_since(step: Step, facts: Facts, store: str | None) -> list[Movement]:
    """Movements of the store that came after the count, in the order of their entry.

    `step.after` None = the count was entered at once: all that is in the book by its day counts.
    """
    of_store = [row for row in facts.movements if row.store == store]
    if step.after is not None and step.after > len(of_store):
        raise StepRefused(
            "after",
            f"the sheet knows {step.after} movements of {step.part}, the book {len(of_store)}: it "
            "was printed from another database",
        )
    printed = len(of_store) if step.after is None else step.after
    return [
        row
        for number, row in enumerate(of_store, start=1)
        if row.date <= facts.today
        and (row.date > step.date or (row.date == step.date and number > printed))
    ]


def booked_late(step: Step, facts: Facts, store: str | None) -> list[Movement]:
    """Movements entered after the sheet was printed for a day before the count: slips of others
    that the book learnt of late, and that the count saw on the shelf already."""
    if step.after is None:
        return []
    of_store = [row for row in facts.movements if row.store == store]
    return [row for row in of_store[step.after :] if row.date < step.date]


def noted(step: Step, book: int) -> str:
    """What a count keeps as its note: both figures before the person's own."""
    told = f"counted {step.qty}, book {book}"
    return f"{told}; {step.note}" if step.note else told


def is_within(difference: int, book: int, tolerance: Tolerance) -> bool:
    """Whether a difference is tolerated; a share is of the book, in whole units rounded down."""
    most = floor(tolerance.share * book + 1e-9) if tolerance.share else tolerance.units
    return abs(difference) <= most


def totals(lines: Sequence[CountedLine]) -> CountTotals:
    """Share of lines in tolerance; differences net and absolute, in units and in money.

    Money is None where no line has a cost; a line without one is told by `without_cost`.
    """
    differences = [line.difference for line in lines]
    values = [line.value for line in lines if line.value is not None]
    within = sum(line.within for line in lines)
    return CountTotals(
        lines=len(lines),
        within=within,
        share_within=within / len(lines) if lines else None,
        net=sum(differences),
        absolute=sum(map(abs, differences)),
        net_value=sum(values) if values else None,
        absolute_value=sum(map(abs, values)) if values else None,
        without_cost=sum(line.difference != 0 and line.value is None for line in lines),
    )


def priced(line: CountedLine, unit_cost: float | None) -> CountedLine:
    value = None if unit_cost is None else line.difference * unit_cost
    return replace(line, unit_cost=unit_cost, value=value)
