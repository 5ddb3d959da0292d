"""A site of our own invention for tests of purchasing: one supplier, cranes that cost money."""

from __future__ import annotations

from datetime import date
from typing import Any

from parts.calc.failing.outages import FleetOutage
from parts.calc.ranking.exposures import Exposures
from parts.records.catalogue import Part
from parts.records.site import Setting
from parts.records.stock import Movement
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Offer, Supplier
from tests.calc.small_snapshot import TODAY, snapshot_with

A_DAY_COSTS = 1000.0
RETIRES = date(2036, 11, 24)  # 3652 days, very nearly ten years


def crane(name: str = "C", **facts: Any) -> Crane:
    return Crane(crane=name, down_cost_per_day=A_DAY_COSTS, **{"retire_on": RETIRES, **facts})


def at(name: str, part: str, crane: str = "C", **facts: Any) -> Position:
    return Position(crane=crane, position=name, part=part, **facts)


def part(name: str = "A", **facts: Any) -> Part:
    return Part(part=name, **{"failures_per_year": 0.5, **facts})


def new(name: str = "A", price: float | None = 100.0, **facts: Any) -> Offer:
    row = {"supplier": "S", "kind": "new", "unit_price": price, "likely": 20.0}
    return Offer(part=name, **(row | facts))


def kept(name: str, qty: int) -> Movement:
    return Movement(date=TODAY, part=name, qty=qty, kind="opening", store="S", key=name)


def site(
    positions: list[Position], *, cranes: list[Crane] | None = None, **files: Any
) -> Exposures:
    """Every position is needed by all of its crane's work."""
    files.setdefault("parts", [part()])
    files.setdefault("suppliers", [Supplier(supplier="S"), Supplier(supplier="T")])
    rows = cranes or [crane()]
    settings = [Setting(key="records_from", value=TODAY.isoformat())]
    snapshot = snapshot_with(
        cranes=rows,
        functions=[Function(crane=row.crane, function="work", lost_share=1.0) for row in rows],
        needs=[Need(crane=p.crane, item="work", needs=p.position) for p in positions],
        positions=positions,
        site=[*settings, *files.pop("settings", [])],
        **files,
    )
    return Exposures(FleetOutage(snapshot))
