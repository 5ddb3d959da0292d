"""A storeroom of one part, for tests of what it may book: the part sits at C1/drive."""

from __future__ import annotations

from datetime import date
from typing import Any

from parts.calc.stockroom.facts import Facts
from parts.records.catalogue import Part
from parts.records.stock import Movement
from parts.records.stock_steps import Step, StepKind
from parts.records.structure import Crane, Position

TODAY = date(2026, 11, 25)
LAST_YEAR, NEXT_YEAR = date(2025, 6, 1), date(2027, 6, 1)
EARLIER = date(2026, 11, 1)
CRANE = Crane(crane="C1")
DRIVE = Position(crane="C1", position="drive", part="P1", installed=date(2019, 5, 1))


def moved(qty: int, kind: str = "opening", key: str = "", **facts: Any) -> Movement:
    """A movement of P1 in the main store, of a day long ago unless told otherwise."""
    named = {"date": LAST_YEAR, "part": "P1", "store": "main", **facts}
    return Movement(qty=qty, kind=kind, key=key or f"{kind} {qty} {facts}", **named)


def step(kind: StepKind, qty: int = 1, **facts: Any) -> Step:
    named = {"key": "k", "date": TODAY, "part": "P1", **facts}
    return Step(kind=kind, qty=qty, **named)


def known(*movements: Movement, part: Part | None = None, **facts: Any) -> Facts:
    """What is known of P1."""
    return Facts(part=part or Part(part="P1"), today=TODAY, movements=movements, **facts)


def at_drive(*movements: Movement, position: Position = DRIVE, **facts: Any) -> Facts:
    """The same for a step at C1/drive."""
    named: dict[str, Any] = {"crane": CRANE, "position": position, **facts}
    return known(*movements, **named)
