"""Small sites for the simulation's tests: parts with one lead, positions with a rate."""

from __future__ import annotations

from typing import Any

from parts.calc.ranking.exposures import Exposures
from parts.records.catalogue import Part
from parts.records.snapshot import Snapshot
from parts.records.stock import Movement
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Offer, Supplier
from parts.services.risks import exposures
from tests.calc.small_snapshot import TODAY, snapshot_with

NO_TIME = 0.0  # hours of an exchange that takes none


def part(name: str, **facts: Any) -> Part:
    return Part(part=name, **facts)


def offer(name: str, days: float) -> Offer:
    return Offer(supplier="S", part=name, kind="new", likely=days)


def stock(name: str, qty: int) -> Movement:
    return Movement(date=TODAY, part=name, qty=qty, kind="opening", key=name)


def at(name: str, fitted: str, rate: float | None = None, **facts: Any) -> Position:
    """A position of crane C whose exchange takes no time unless told otherwise."""
    told = {"crane": "C", "exchange_hours": NO_TIME, **facts}
    return Position(position=name, part=fitted, failures_per_year=rate, **told)


def site(
    positions: list[Position], hard: bool = True, lost_share: float = 1.0, **files: Any
) -> Snapshot:
    """One function on each crane; unless told otherwise it needs every position outright."""
    cranes = sorted({row.crane for row in positions})
    needs = [
        Need(crane=row.crane, item="lift", needs=row.position)
        for row in positions
        if hard and row.parent is None
    ]
    return snapshot_with(
        cranes=[Crane(crane=name) for name in cranes],
        suppliers=[Supplier(supplier="S")],
        functions=[Function(crane=name, function="lift", lost_share=lost_share) for name in cranes],
        **{"needs": needs, **files},
        positions=positions,
    )


def pair(crane: str = "C") -> list[Need]:
    """The function works while one of P and Q does."""
    return [
        Need(crane=crane, item="lift", needs=name, group="pair", at_least=1) for name in ("P", "Q")
    ]


def exposed(snapshot: Snapshot) -> Exposures:
    return exposures(snapshot)
