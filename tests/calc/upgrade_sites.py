"""A site with a hoist inside which parts sit, and a way to plan upgrades of it.

The crane lifts with its hoist (an assembly of a motor and two brakes, of which one must hold) and
its panel, which the motor needs; it signals with its lamp. Nothing is a real site.
"""

from __future__ import annotations

from datetime import date
from typing import Any

from parts.records.catalogue import Part
from parts.records.history import Upgrade, UpgradeEffect
from parts.records.site import Setting
from parts.records.snapshot import Snapshot
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Offer, Supplier
from tests.calc.small_snapshot import TODAY, snapshot_with

LEAD_DAYS = {"MOTOR": 73.05, "BRAKE": 36.525, "PANEL": 146.1, "LAMP": 10.0, "NEW": 36.525}
A_DAY, COVER = 1000.0, 0.25
INSTALLED = date(2006, 11, 25)


def effect(upgrade: str, position: str, new_part: str | None = None,
           factor: float | None = None, crane: str = "C") -> UpgradeEffect:  # fmt: skip
    return UpgradeEffect(
        upgrade=upgrade, crane=crane, position=position, new_part=new_part, failures_factor=factor
    )


def hoist_site(*effects: UpgradeEffect, rate: float | None = 0.2, **files: Any) -> Snapshot:
    """Every position fails so often a year, each waits the lead time of its part; hands-on time
    is none. Upgrades that effects name and no file tells of cost 1000 and nothing else."""
    usual: dict[str, list[Any]] = {
        "site": [Setting(key="currency", value="EUR"), Setting(key="holding_rate", value="0")],
        "suppliers": [Supplier(supplier="S")],
        "parts": [
            Part(part=part, failures_per_year=0.1 if part == "NEW" else None) for part in LEAD_DAYS
        ],
        "offers": [
            Offer(supplier="S", part=part, likely=days, unit_price=500.0)
            for part, days in LEAD_DAYS.items()
        ],
        "cranes": [Crane(crane="C", down_cost_per_day=A_DAY, cover_share=COVER)],
        "functions": [
            Function(crane="C", function="lift", lost_share=1.0),
            Function(crane="C", function="signal", lost_share=0.1),
        ],
        "positions": [
            Position(crane="C", position="hoist", exchange_hours=0.0),
            _position("motor", "MOTOR", rate, "hoist"),
            _position("brake 1", "BRAKE", rate, "hoist"),
            _position("brake 2", "BRAKE", rate, "hoist"),
            _position("panel", "PANEL", rate),
            _position("lamp", "LAMP", rate),
        ],
        "needs": [
            Need(crane="C", item="lift", needs="hoist"),
            Need(crane="C", item="hoist", needs="brake 1", group="brakes", at_least=1),
            Need(crane="C", item="hoist", needs="brake 2", group="brakes", at_least=1),
            Need(crane="C", item="motor", needs="panel"),
            Need(crane="C", item="signal", needs="lamp"),
        ],
        "upgrades": [
            Upgrade(upgrade=name, cost=1000.0, lead_days=0.0, down_days=0.0, life_years=99.0)
            for name in sorted({row.upgrade for row in effects})
        ],
        "upgrade_effects": list(effects),
    }
    return snapshot_with(today=TODAY, **usual | files)


def _position(name: str, part: str, rate: float | None, parent: str | None = None) -> Position:
    return Position(
        crane="C", position=name, parent=parent, part=part, exchange_hours=0.0,
        installed=INSTALLED, failures_per_year=rate,
    )  # fmt: skip
