"""An invented site whose numbers are written as badly as numbers are: look-ups are tried on it.

What lies in bin C1 was taken out, and with it the unit VH-26. HM-9 is retired.
"""

from __future__ import annotations

from datetime import date

from parts.calc.finding.index import Index
from parts.records.book import Book
from parts.records.catalogue import Part, PartNumber
from parts.records.snapshot import Snapshot, snapshot_of
from parts.records.stock import Movement
from parts.records.structure import Crane, Position
from parts.records.supply import Offer, Order, Supplier

TODAY = date(2026, 11, 25)
BEFORE = date(2026, 3, 2)
PARTS = {
    "PIN-7": "pinion shaft, 7 teeth",
    "BRK-2": "shoe brake",
    "BRK-20": "lining of the shoe brake",
    "WHL-4": "drive wheel Ø 400",
    "REL-001": "time relay 24 V",
    "ÖL-68": "Getriebeöl, mineral",
    "MOT.7,5": "travel motor 7.5 kW",
    "SEAL_3": "seal kit [old]",
    "4711-816": "limit switch",
    "A%": "wipes, 100 %",
    "LC-10": "load cell",
}
NUMBERS = (
    ("PIN-7", "0042-17", "gear maker"),
    ("PIN-7", "4711.815", "drive maker"),
    ("BRK-2", "AB 315/30", "brake maker"),
    ("WHL-4", "5862 807", "wheel maker"),
    ("MOT.7,5", "ДВ-12", "motor maker"),
    ("LC-10", "PIN 7", None),
    ("REL-001", "7.003.22", "relay maker"),
)


def finding_book() -> Book:
    """Return the site as records."""
    book = Book()
    book["cranes"].extend(
        [
            Crane(crane="HM-1", name="ladle crane", bay="north"),
            Crane(crane="HM-2", name="yard crane", bay="Süd"),
            Crane(crane="K 007", name="magnet crane", bay="bay 3"),
            Crane(crane="HM-9", retire_on=date(2020, 1, 1)),
        ]
    )
    book["parts"].extend([Part(part=name, description=words) for name, words in PARTS.items()])
    book["part_numbers"].extend(
        [PartNumber(part=part, number=number, owner=owner) for part, number, owner in NUMBERS]
    )
    book["positions"].extend(
        [
            Position(crane="HM-1", position="main hoist pinion", part="PIN-7"),
            Position(crane="HM-1", position="main hoist brake 1", part="BRK-2"),
            Position(crane="HM-1", position="main hoist brake 2", part="BRK-2"),
            Position(crane="HM-2", position="drive wheel 1", part="WHL-4"),
            Position(crane="K 007", position="magnet cable-reel"),
            Position(crane="HM-9", position="drive wheel 9", part="WHL-4"),
        ]
    )
    book["suppliers"].extend(
        [
            Supplier(supplier="gear shop", name="gears and shafts"),
            Supplier(supplier="brake works", active=False),
            Supplier(supplier="M12", name="Müsterling (invented) ropes"),
        ]
    )
    book["offers"].extend([Offer(supplier="gear shop", part="PIN-7", likely=20.0)])
    book["orders"].extend(
        [
            Order(order="V2026-001", supplier="gear shop", part="PIN-7", qty=2, ordered_on=BEFORE),
            Order(order="V2026-010", supplier="gear shop", part="WHL-4", qty=1, ordered_on=BEFORE),
        ]
    )
    book["movements"].extend(_movements())
    return book


def _movements() -> list[Movement]:
    put = (
        ("PIN-7", 2, "opening", "main store", "B-03", None),
        ("WHL-4", 1, "opening", "main store", "A 12", "VH-25"),
        ("BRK-2", 1, "opening", "main store", "C1", "VH-26"),
        ("BRK-2", -1, "issue", "main store", None, "VH-26"),
        ("SEAL_3", 5, "receipt", "cage", "7", None),
        ("SEAL_3", -2, "issue", "cage", None, None),
    )
    return [
        Movement(
            date=BEFORE, part=part, qty=qty, kind=kind, store=store, bin=bin_name,
            serial=serial, key=f"m{number}",
        )
        for number, (part, qty, kind, store, bin_name, serial) in enumerate(put)
    ]  # fmt: skip


def finding_site() -> Snapshot:
    """Return the site as it is known today."""
    return snapshot_of(finding_book(), TODAY)


def finding_index() -> Index:
    """Return the site laid out."""
    return Index(finding_site())
