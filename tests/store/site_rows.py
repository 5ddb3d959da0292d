"""An invented site with one row or more in every file, and what is awkward to keep among them."""

from __future__ import annotations

import datetime
from typing import Any

from parts.records import catalogue, history, site, stock, structure, supply

DAY = datetime.date(2024, 2, 29)

ROWS: dict[str, list[Any]] = {
    "site": [site.Setting(key="currency", value="EUR"), site.Setting(key="donors")],
    "classes": [catalogue.PartClass(part_class="brake", recommission="loaded", life_shape=2.5)],
    "scores": [site.Score(driver="age", weight=0.5, points="0:0+10:1")],
    "holidays": [site.Holiday(date=DAY, name="leap day")],
    "cranes": [
        structure.Crane(crane="C1", commissioned=DAY, hours_per_year=8784.0, cover_share=1.0),
        structure.Crane(crane="C2", name="=H1+S2-K3", bay="Süd\n2"),
    ],
    "functions": [structure.Function(crane="C1", function="hoist", lost_share=1.0)],
    "parts": [
        catalogue.Part(part="P1", drawing=True, introduced=DAY, min_stock=0),
        catalogue.Part(part="P2", drawing=False, unit_cost=0.1),
    ],
    "part_numbers": [catalogue.PartNumber(part="P1", number="00123")],
    "positions": [
        structure.Position(crane="C1", position="A", parent="B", part="P1", qty=2**62),
        structure.Position(crane="C1", position="B", installed=DAY, load_bearing=True),
        structure.Position(crane="C2", position="B", part="P2", failures_per_year=1e-300),
    ],
    "needs": [structure.Need(crane="C1", item="hoist", needs="B", group="drives", at_least=1)],
    "companions": [catalogue.Companion(part="P1", companion="P1", chance=0.5)],
    "substitutes": [catalogue.Substitute(part="P1", substitute="P2", both_ways=True)],
    "suppliers": [supply.Supplier(supplier="S1"), supply.Supplier(supplier="S2", active=False)],
    "offers": [
        supply.Offer(supplier="S1", part="P1", likely=3.0),
        supply.Offer(supplier="S1", part="P1", kind="made", route="R1"),
        supply.Offer(supplier="S1", part="P1", kind="made", likely=9.0, quoted_on=DAY),
    ],
    "routes": [supply.Operation(route="R1", operation="cut", likely=0.0, ahead=True)],
    "movements": [
        stock.Movement(date=DAY, part="P1", qty=2, kind="opening", key="z first"),
        stock.Movement(
            date=DAY, part="P1", qty=-2, kind="reversal", reverses="z first", key="a second"
        ),
        stock.Movement(date=DAY, part="P1", qty=0, kind="care", crane="C1", position="A", key="b"),
    ],
    "reservations": [stock.Reservation(part="P1", qty=1, for_="overhaul", needed_on=DAY)],
    "currencies": [supply.Currency(currency="USD", rate=0.9, dated=DAY)],
    "orders": [supply.Order(order="4711", supplier="S1", part="P1", qty=3, ordered_on=DAY)],
    "failures": [history.Failure(crane="C1", position="A", failed_on=DAY, consumed="P1+P2")],
    "notices": [
        supply.Notice(part="P1", notice_on=DAY),
        supply.Notice(part="P1", notice_on=DAY, supplier="S1"),
        supply.Notice(part="P1", notice_on=DAY, supplier="S1", kind="change"),
    ],
    "duty": [history.Duty(crane="C1", mechanism="hoist", group="M5", km=1.0)],
    "observations": [
        history.Observation(crane="C1", position="A", date=DAY, what="conductors", value="3")
    ],
    "upgrades": [history.Upgrade(upgrade="U1", cost=0.0)],
    "upgrade_effects": [history.UpgradeEffect(upgrade="U1", crane="C1", position="A")],
}
