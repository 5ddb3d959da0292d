"""An invented storeroom in a database: what it holds is known by heart.

In `main` lie four brake coils, one more than the least, and five lining sets, one of them promised;
the linings bear load. Seals keep five years: two of a lot that has expired, three that last. A
drive has its serial number. Order 4711 of three coils is late by its supplier, who was on time
once. C1 holds a coil since 2019 and two brake linings; DUMMY may stand in for the coil.
"""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, date, datetime
from typing import Any

from parts.records.book import Book
from parts.records.catalogue import Companion, Part, PartNumber, Substitute
from parts.records.history import Observation
from parts.records.stock import Movement, Reservation
from parts.records.stock_steps import Posted, Step, StepKind
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Offer, Order, Supplier
from parts.services import stock
from parts.services.hands import Hand
from parts.store import journal, ledger
from parts.store.books import read_book, write_rows
from parts.store.database import Database, new_database

TODAY = date(2026, 11, 25)
LONG_AGO, LAST_MONTH, NEXT_YEAR = date(2019, 5, 1), date(2026, 10, 25), date(2027, 6, 1)
KEEPER = Hand("keeper", "bench", lambda: datetime(2026, 11, 25, 6, 0, tzinfo=UTC))


def opening(part: str, qty: int, **facts: Any) -> Movement:
    named = {"date": LONG_AGO, "store": "main", "key": f"opening {part} {facts}", **facts}
    return Movement(part=part, qty=qty, kind="opening", **named)


ROWS: dict[str, list[Any]] = {
    "cranes": [
        Crane(crane="C1", down_cost_per_day=1000.0, hours_per_year=2000.0),
        Crane(crane="C1/B", retire_on=LAST_MONTH),
    ],
    "functions": [
        Function(crane="C1", function="hoist", lost_share=1.0),
        Function(crane="C1", function="travel", lost_share=0.5),
    ],
    "parts": [
        Part(part="COIL", description="brake coil, 230 V", unit_cost=310.0, min_stock=3,
             failures_per_year=0.3),
        Part(part="DUMMY", unit_cost=1.0),
        Part(part="DRIVE", description="drive", unit_cost=2600.0),
        Part(part="LINING", description="lining set", unit_cost=85.0),
        Part(part="SEAL", shelf_life_months=60.0),
        Part(part="-K1/2", description="=relay"),
    ],
    "part_numbers": [PartNumber(part="COIL", number="00123")],
    "positions": [
        Position(crane="C1", position="brake", load_bearing=True),
        Position(crane="C1", position="brake/coil", parent="brake", part="COIL",
                 installed=LONG_AGO, hours_at_install=100.0),
        Position(crane="C1", position="lining", parent="brake", part="LINING", qty=2,
                 load_bearing=True, failures_per_year=0.2),
        Position(crane="C1", position="drive", part="DRIVE", failures_per_year=0.1),
    ],
    "needs": [
        Need(crane="C1", item="hoist", needs="brake"),
        Need(crane="C1", item="travel", needs="drive"),
    ],
    "companions": [Companion(part="COIL", companion="SEAL", qty=2)],
    "substitutes": [
        Substitute(part="COIL", substitute="DUMMY"),
        Substitute(part="LINING", substitute="DUMMY"),
    ],
    "suppliers": [Supplier(supplier="S1")],
    "offers": [Offer(supplier="S1", part="COIL", likely=40.0, unit_price=300.0),
               Offer(supplier="S1", part="DRIVE", likely=60.0, unit_price=2500.0),
               Offer(supplier="S1", part="SEAL", likely=5.0)],
    "movements": [
        opening("COIL", 4, bin="R3"),
        opening("LINING", 5, bin="R10"),
        opening("SEAL", 2, expires_on=LAST_MONTH),
        opening("SEAL", 3, expires_on=NEXT_YEAR),
        opening("DRIVE", 1, serial="A7", bin="R2"),
        opening("-K1/2", 2, store="@crib"),
    ],
    "reservations": [Reservation(part="LINING", qty=1, for_="overhaul")],
    "orders": [
        Order(order="4710", supplier="S1", part="COIL", qty=1, ordered_on=date(2025, 1, 1),
              quoted_days=40.0, received_on=date(2025, 2, 10)),
        Order(order="4711", supplier="S1", part="COIL", qty=3, ordered_on=date(2026, 9, 6),
              quoted_days=40.0, due_on=date(2026, 10, 16)),
    ],
    "observations": [
        Observation(crane="C1", position="brake/coil", date=LAST_MONTH, what="hours_meter",
                    value="15000")
    ],
}  # fmt: skip


def fill(address: str, rows: dict[str, list[Any]] = ROWS) -> str:
    """Make the storeroom at an address where nothing is."""
    with new_database(address) as database, database.writing() as connection:
        for name in Book().rows:
            if name == "movements":
                ledger.append(connection, rows[name], KEEPER.stamp())
            else:
                write_rows(connection, name, rows.get(name, []))
    return address


def step(kind: StepKind, part: str, qty: int = 1, *, key: str = "k", **facts: Any) -> Step:
    named: dict[str, Any] = {"date": TODAY, "by": "keeper", **facts}
    return Step(kind=kind, part=part, qty=qty, key=key, **named)


def take(where: str, kind: StepKind, part: str, qty: int = 1, **facts: Any) -> Posted:
    """Take a step and tell what came of it."""
    return stock.post(where, step(kind, part, qty, **facts), KEEPER, TODAY)


def undo(where: str, key: str, new_key: str = "u", **facts: Any) -> Posted:
    return stock.undo(where, key, KEEPER, facts.pop("today", TODAY), new_key=new_key, **facts)


def held(where: str, part: str) -> dict[str | None, tuple[int, int]]:
    """Book and usable of a part by store."""
    return {each.store: (each.book, each.usable) for each in stock.on_hand(where, part, TODAY)}


def everything(where: str) -> tuple[Any, ...]:
    """All that a step could have changed: records, balances, seals, journal, counts."""
    with closing(Database.open(where)) as opened, opened.reading() as connection:
        return (
            read_book(connection).rows,
            ledger.balances(connection),
            list(ledger.postings(connection)),
            journal.changes(connection),
            ledger.last_counted(connection),
        )
