"""A site of our own invention, small enough to be reckoned with pencil and paper.

Two cranes, K1 and K2, share bay A; K0 is retired and may be robbed of parts. Nearly everything is
bought from GEARS, whose quotations have to be multiplied by 1.1. The day is 25 November 2026.
"""

from __future__ import annotations

from datetime import date
from typing import Any

from parts.records.book import Book
from parts.records.catalogue import Companion, Part, PartClass, Substitute
from parts.records.site import Setting
from parts.records.snapshot import Snapshot, snapshot_of
from parts.records.stock import Movement, Reservation
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Notice, Offer, Operation, Order, Supplier

TODAY = date(2026, 11, 25)
LONG_AGO = date(2025, 1, 15)


def worked_site() -> Snapshot:
    book = Book()
    for fill in (_site, _parts, _supply, _routes, _orders, _stock, _crane_1, _crane_2, _retired):
        for file, row in fill():
            book[file].append(row)
    return snapshot_of(book, TODAY)


Rows = list[tuple[str, Any]]


def _site() -> Rows:
    return [("site", Setting(key="donors", value="yes"))]


def _parts() -> Rows:
    in_class = ["GEARBOX", "GEAR", "PINION", "BEARING", "MOTOR", "BUFFER", "RELAY", "COIL"]
    others = ["BRAKE", "BRAKE_A", "BRAKE_B", "DRIVE", "SEAL", "WHEEL", "SHAFT", "PLATE", "ODD"]
    pumps = ["PUMP", "KIT", "KIT_2"]
    parts = [Part(part=part, part_class="mechanical") for part in in_class]
    parts += [Part(part=part) for part in others + pumps]
    parts += [Part(part="FUSE", part_class="mechanical", default_lead_days=70.0)]
    return [
        ("classes", PartClass(part_class="mechanical", lead_days=90.0)),
        *(("parts", part) for part in parts),
        ("companions", Companion(part="GEAR", companion="PINION")),
        ("companions", Companion(part="GEAR", companion="SEAL", qty=2)),
        ("companions", Companion(part="GEAR", companion="ODD", chance=0.2)),
        ("companions", Companion(part="WHEEL", companion="WHEEL")),
        ("companions", Companion(part="PUMP", companion="KIT")),
        ("substitutes", Substitute(part="BRAKE", substitute="BRAKE_A", extra_hours=8.0)),
        (
            "substitutes",
            Substitute(part="BRAKE", substitute="BRAKE_B", extra_hours=4.0, approval="note 4"),
        ),
        (
            "substitutes",
            Substitute(part="KIT_2", substitute="KIT", extra_hours=8.0, both_ways=True),
        ),
    ]


def _supply() -> Rows:
    def offer(part: str, kind: str, likely: float | None, **facts: Any) -> tuple[str, Offer]:
        row = {"supplier": "GEARS", "part": part, "kind": kind, "likely": likely, **facts}
        return "offers", Offer(**row)

    return [
        ("suppliers", Supplier(supplier="GEARS")),
        ("suppliers", Supplier(supplier="NEWCOMER")),
        ("suppliers", Supplier(supplier="CLOSED", active=False)),
        offer("BEARING", "new", 16.0, low=10.0, high=22.0, unit="wd"),
        offer("BRAKE", "new", 30.0),
        offer("DRIVE", "new", 30.0),
        offer("DRIVE", "new", 25.0, supplier="CLOSED"),
        offer("KIT", "new", 40.0),
        offer("WHEEL", "repair", 20.0),
        offer("WHEEL", "new", 50.0),
        offer("RELAY", "new", 40.0, valid_until=date(2026, 3, 1)),
        offer("RELAY", "new", 10.0, supplier="NEWCOMER"),
        offer("PINION", "made", None, route="PINION", approval="drawing 11"),
        offer("SHAFT", "made", None, route="SHAFT"),
        offer("PLATE", "made", None, route="PLATE"),
        _notice("GEARS", date(2026, 1, 10), "discontinuance", date(2026, 6, 30)),
        _notice("GEARS", date(2026, 5, 1), "discontinuance", date(2027, 3, 31)),
        _notice("GEARS", date(2026, 9, 1), "change", date(2026, 9, 30)),
        _notice("NEWCOMER", date(2026, 2, 1), "discontinuance", date(2026, 8, 31)),
    ]


def _notice(supplier: str, on: date, kind: str, last_buy_on: date) -> tuple[str, Notice]:
    return "notices", Notice(
        part="RELAY", supplier=supplier, notice_on=on, kind=kind, last_buy_on=last_buy_on
    )


def _routes() -> Rows:
    def operation(
        route: str, name: str, likely: float, after: str = "", **facts: Any
    ) -> tuple[str, Operation]:
        return "routes", Operation(
            route=route, operation=name, likely=likely, after=after or None, **facts
        )

    return [
        operation("PINION", "drawing", 20.0, ahead=True, done=True),
        operation("PINION", "bar", 10.0, unit="wd", ahead=True, ahead_cost=200.0),
        operation("PINION", "cutting", 20.0, "drawing+bar", low=10.0, high=36.0),
        operation("PINION", "hardening", 2.0, "cutting", unit="wk"),
        operation("PINION", "shipping", 6.0, "hardening"),
        operation("SHAFT", "forging", 30.0, ahead=True, ahead_lasts=False, done=True),
        operation("SHAFT", "turning", 20.0, "forging"),
        operation("PLATE", "plate 1", 30.0, low=20.0, high=60.0),
        operation("PLATE", "plate 2", 30.0, low=20.0, high=60.0),
        operation("PLATE", "plate 3", 30.0, low=20.0, high=60.0),
    ]


def _orders() -> Rows:
    def order(name: str, part: str, qty: int, **dates: Any) -> tuple[str, Order]:
        row = {"ordered_on": date(2026, 1, 1), **dates}
        return "orders", Order(order=name, supplier="GEARS", part=part, qty=qty, **row)

    return [
        order("O1", "PLATE", 1, quoted_days=100.0, received_on=date(2026, 5, 2)),
        order("O2", "PLATE", 1, quoted_days=200.0, received_on=date(2026, 8, 31)),
        order("O3", "GEARBOX", 1, due_on=date(2027, 1, 4)),
        order("O4", "BRAKE_B", 2, due_on=date(2026, 12, 7)),
        order("O5", "BUFFER", 5, ordered_on=date(2026, 11, 1), quoted_days=34.0),
        order("O6", "BEARING", 4, due_on=date(2026, 11, 20)),
    ]


def _stock() -> Rows:
    rows: Rows = []

    def moved(part: str, qty: int, kind: str, on: date = LONG_AGO, **facts: Any) -> None:
        key = facts.pop("key", f"{part} {len(rows)}")
        rows.append(
            ("movements", Movement(date=on, part=part, qty=qty, kind=kind, key=key, **facts))
        )

    moved("GEAR", 1, "opening")
    moved("BRAKE_A", 1, "opening")
    moved("DRIVE", 1, "opening")
    moved("PUMP", 1, "opening")
    moved("KIT_2", 1, "opening")
    # Ten seals came in; see the working beside the test.
    moved("SEAL", 2, "opening", expires_on=date(2026, 10, 31))
    moved("SEAL", 4, "opening", expires_on=date(2027, 5, 31))
    moved("SEAL", 3, "opening", expires_on=date(2028, 5, 31), condition="quarantine")
    moved("SEAL", 1, "opening")
    moved("SEAL", -1, "issue", date(2025, 2, 1), key="wrong issue")
    moved("SEAL", -1, "issue", date(2025, 3, 1), expires_on=date(2027, 5, 31))
    moved("SEAL", 1, "reversal", date(2025, 4, 1), reverses="wrong issue")
    rows.append(("reservations", Reservation(part="SEAL", qty=1, for_="overhaul")))
    rows.append(
        (
            "reservations",
            Reservation(part="SEAL", qty=1, for_="done with", released_on=date(2026, 11, 25)),
        )
    )
    moved("BUFFER", 2, "receipt", date(2026, 11, 10), order="O5")
    moved("BUFFER", 1, "receipt", date(2026, 11, 12), order="O5", key="booked twice")
    moved("BUFFER", -1, "reversal", date(2026, 11, 13), reverses="booked twice")
    return rows


def _position(crane: str, name: str, part: str | None, hours: float | None, **facts: Any) -> Any:
    return "positions", Position(
        crane=crane, position=name, part=part, exchange_hours=hours, **facts
    )


def _needs(crane: str, item: str, *needed: str) -> Rows:
    return [("needs", Need(crane=crane, item=item, needs=name)) for name in needed]


def _crane_1() -> Rows:
    twins = [
        Need(crane="K1", item="travel", needs=name, group="drives", at_least=1)
        for name in ("drive 1", "drive 2")
    ]
    return [
        ("cranes", Crane(crane="K1", bay="A", down_cost_per_day=10_000.0, cover_share=0.2)),
        ("functions", Function(crane="K1", function="hoisting", lost_share=1.0)),
        ("functions", Function(crane="K1", function="travel", lost_share=0.5)),
        _position("K1", "hoist", "GEARBOX", 32.0),
        _position("K1", "hoist gear", "GEAR", 48.0, parent="hoist", load_bearing=True),
        _position("K1", "hoist bearing", "BEARING", 16.0, parent="hoist"),
        _position("K1", "brake", "BRAKE", 12.0, load_bearing=True),
        _position("K1", "drive 1", "DRIVE", 8.0),
        _position("K1", "drive 2", "DRIVE", 8.0),
        _position("K1", "panel", None, None),
        _position("K1", "panel relay", "RELAY", 4.0, parent="panel"),
        _position("K1", "lamp", None, None),
        *_needs("K1", "hoisting", "hoist", "brake"),
        *_needs("K1", "travel", "panel"),
        *(("needs", twin) for twin in twins),
    ]


def _crane_2() -> Rows:
    return [
        ("cranes", Crane(crane="K2", bay="A", down_cost_per_day=6_000.0, cover_share=0.5)),
        ("functions", Function(crane="K2", function="hoisting", lost_share=0.6)),
        ("functions", Function(crane="K2", function="travel", lost_share=0.5)),
        _position("K2", "gear", "GEAR", 48.0, load_bearing=True),
        _position("K2", "parking brake", "BRAKE", 12.0),
        _position("K2", "motor", "MOTOR", None),
        _position("K2", "fuse", "FUSE", 8.0),
        _position("K2", "odd", "ODD", 8.0),
        _position("K2", "wheel", "WHEEL", 24.0),
        _position("K2", "coil", "COIL", 8.0),
        _position("K2", "pump", "PUMP", 16.0),
        *_needs("K2", "hoisting", "gear", "motor", "coil", "pump"),
        *_needs("K2", "travel", "motor", "fuse", "odd", "wheel", "parking brake"),
    ]


def _retired() -> Rows:
    return [
        ("cranes", Crane(crane="K0", bay="A", retire_on=date(2026, 6, 30))),
        _position("K0", "coil", "COIL", 4.0),
    ]
