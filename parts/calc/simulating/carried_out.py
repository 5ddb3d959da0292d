"""A site as it is once a plan has been carried out: units on the shelf, operations done.

The plan becomes rows of the site, so that every reckoning sees it as it sees any other row. Money
and the days until things arrive are not known here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from parts.calc.getting.routes import lasts, predecessors
from parts.errors import UnknownName
from parts.records.simulation_answers import PlannedLine
from parts.records.snapshot import Snapshot
from parts.records.stock import Movement
from parts.records.supply import Operation


def carried_out(snapshot: Snapshot, lines: Sequence[PlannedLine]) -> Snapshot:
    """The site with these lines carried out.

    A spare and a last buy are receipts. A head start is its operation and all before it, done:
    one that does not last serves the first unit only, so that it shortens no long run; `blanks_of`
    names them.

    Raises UnknownName for a part, route or operation that is not there.
    """
    for line in lines:
        if line.part not in snapshot.parts:
            raise UnknownName("part", line.part)
    bought = [line for line in lines if line.action != "head_start"]
    receipts = tuple(
        Movement(
            date=snapshot.today,
            part=line.part,
            qty=line.qty,
            kind="receipt",
            note="as planned",
            key=f"planned line {number}",
        )
        for number, line in enumerate(bought, 1)
    )
    return replace(
        snapshot,
        movements=(*snapshot.movements, *receipts),
        routes=_with_done(snapshot.routes, [line for line in lines if line not in bought]),
    )


def blanks_of(snapshot: Snapshot, lines: Sequence[PlannedLine]) -> tuple[str, ...]:
    """Operations that these lines have done for one unit only, by route."""
    planned = carried_out(snapshot, lines).routes
    return tuple(
        f"{row.route}: {row.operation}"
        for before, row in zip(snapshot.routes, planned, strict=True)
        if row.done and not before.done and not lasts(row)
    )


def _with_done(
    routes: Sequence[Operation], head_starts: Iterable[PlannedLine]
) -> tuple[Operation, ...]:
    after = {(row.route, row.operation): predecessors(row) for row in routes}
    done: set[tuple[str, str]] = set()
    for line in head_starts:
        waiting = [line.operation or ""]
        while waiting:
            operation = waiting.pop()
            each = line.route or "", operation
            if each not in after:
                raise UnknownName("operation", f"{line.route}/{operation}")
            if each not in done:
                done.add(each)
                waiting += after[each]
    return tuple(
        replace(row, done=True) if (row.route, row.operation) in done else row for row in routes
    )
