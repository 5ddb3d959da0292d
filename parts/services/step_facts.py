"""What a step is judged by, read from the database inside its own transaction."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import Any

from parts.calc.stockroom.facts import Facts
from parts.errors import UnknownName
from parts.records.catalogue import Part, Substitute
from parts.records.stock_steps import Step
from parts.records.structure import Position
from parts.services.outages import near
from parts.store import ledger
from parts.store.books import read_rows
from parts.store.database import Connection


def facts_for(connection: Connection, step: Step, today: datetime.date) -> Facts:
    """The facts of one step; UnknownName for a part, crane or position that is not there."""
    part = known_part(connection, step.part)
    for name in step.consumed:
        known_part(connection, name)
    crane, position = _place(connection, step)
    of_part = {"part": (step.part,)}
    movements = read_rows(connection, "movements", of_part)
    return Facts(
        part=part,
        today=today,
        day=step.date,
        movements=movements,
        site_stores=() if movements or step.store else ledger.stores(connection),
        reservations=read_rows(connection, "reservations", of_part),
        orders=read_rows(connection, "orders", of_part) if step.order else (),
        load_bearing=step.kind == "receive" and _may_bear_load(connection, step.part),
        crane=crane,
        **({} if position is None else _of_fitting(connection, part, position)),
    )


def _of_fitting(connection: Connection, part: Part, position: Position) -> dict[str, Any]:
    """What matters where the part is fitted at a position."""
    at = {"crane": (position.crane,), "position": (position.position,)}
    return {
        "position": position,
        "position_bears_load": _bears_load(connection, [position]),
        "part_class": _first(connection, "classes", part_class=part.part_class),
        "substitutes": _substitutes(connection, part.part),
        "companions": read_rows(connection, "companions", {"part": (part.part,)}),
        "goes_with": read_rows(connection, "companions", {"companion": (part.part,)}),
        "failures": read_rows(connection, "failures", at),
        "readings": read_rows(connection, "observations", at),
    }


def place_named(connection: Connection, text: str) -> tuple[str, str | None]:
    """Crane and position of a text CRANE/POSITION, or a crane alone; names may hold strokes.

    Raises UnknownName where no crane of that name is there; the position is looked up by the step.
    """
    names = [row.crane for row in read_rows(connection, "cranes")]
    cuts = [at for at, mark in enumerate(text) if mark == "/" and text[:at] in names]
    for at in cuts:
        where = {"crane": (text[:at],), "position": (text[at + 1 :],)}
        if read_rows(connection, "positions", where):
            return text[:at], text[at + 1 :]
    if text in names:
        return text, None
    if cuts:
        return text[: cuts[0]], text[cuts[0] + 1 :]
    crane = text.split("/", maxsplit=1)[0]
    raise UnknownName("crane", crane, near(crane, names))


def known_part(connection: Connection, name: str) -> Part:
    found: Part | None = _first(connection, "parts", part=name)
    if found is None:
        names = [row.part for row in read_rows(connection, "parts")]
        raise UnknownName("part", name, near(name, names))
    return found


def _place(connection: Connection, step: Step) -> tuple[Any, Position | None]:
    if step.crane is None:
        return None, None
    crane = _first(connection, "cranes", crane=step.crane)
    if crane is None:
        names = [row.crane for row in read_rows(connection, "cranes")]
        raise UnknownName("crane", step.crane, near(step.crane, names))
    if step.position is None:
        return crane, None
    found = _first(connection, "positions", crane=step.crane, position=step.position)
    if found is None:
        names = [
            row.position for row in read_rows(connection, "positions", {"crane": (step.crane,)})
        ]
        place = f"{step.crane}/{step.position}"
        raise UnknownName("position", place, near(step.position, names))
    return crane, found


def _first(connection: Connection, file: str, **key: str | None) -> Any:
    """The row with these texts in its columns; None where there is none, or a text is unknown."""
    asked = {name: (value,) for name, value in key.items() if value is not None}
    found = read_rows(connection, file, asked) if len(asked) == len(key) else []
    return found[0] if found else None


def _substitutes(connection: Connection, part: str) -> list[Substitute]:
    """In which the part stands on the one side or the other."""
    sides = ("substitute", "part")
    return [row for side in sides for row in read_rows(connection, "substitutes", {side: (part,)})]


def _may_bear_load(connection: Connection, part: str) -> bool:
    """Whether it sits where load is borne, or may stand in for a part that does."""
    fits_for = (
        part,
        *(
            row.part if row.substitute == part else row.substitute
            for row in _substitutes(connection, part)
            if row.substitute == part or row.both_ways
        ),
    )
    return _bears_load(connection, read_rows(connection, "positions", {"part": fits_for}))


def _bears_load(connection: Connection, positions: Sequence[Position]) -> bool:
    """Whether one of the positions bears load, or holds one that does, however deep."""
    seen: set[tuple[str, str]] = set()
    while positions:
        if any(row.load_bearing for row in positions):
            return True
        places = {(row.crane, row.position) for row in positions} - seen
        seen |= places
        inside = {
            "crane": tuple({crane for crane, _ in places}),
            "parent": tuple({position for _, position in places}),
        }
        positions = [
            row
            for row in (read_rows(connection, "positions", inside) if places else ())
            if (row.crane, row.parent) in places
        ]
    return False
