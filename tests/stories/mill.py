"""Harbour Mill on an ordinary day, invented: three cranes, a store, and something for everybody.

HM-1 waits 280 days for its pinion, HM-2 84 for its drive, HM-3 20 for its wheel. In the store lie
two coils of which at least three should, four linings that nobody ever counted and one seal kit in
quarantine. The switch of HM-2 failed on Monday and is not recorded as restored. An order of wheels
is ten days late.
"""

from __future__ import annotations

from datetime import date

from parts.records.book import Book
from parts.records.catalogue import Part
from parts.records.history import Failure
from parts.records.site import Setting
from parts.records.structure import Position
from parts.records.supply import Order
from tests.stories.sites import book_of, bought, maker, shelf, stopped_by, together

PARTS = (
    ("PINION", "hoist pinion set", 280.0, 14000.0),
    ("COIL-230", "brake coil 230 V", 112.0, 310.0),
    ("DRIVE-H", "hoist drive", 84.0, 2600.0),
    ("SWITCH-L", "limit switch", 7.0, 120.0),
    ("WHEEL", "drive wheel", 20.0, 3950.0),
    ("LINING", "brake lining", 14.0, 85.0),
    ("SEALS", "gearbox seal kit", 10.0, 95.0),
)


def fitted(crane: str, position: str, part: str, failures_per_year: float) -> Position:
    return Position(
        crane=crane,
        position=position,
        part=part,
        exchange_hours=8.0,
        failures_per_year=failures_per_year,
    )


ON_THE_SHELF = [
    shelf("COIL-230", 2, "A01"),
    shelf("LINING", 4, "B01"),
    shelf("SEALS", 1, "B02", condition="quarantine"),
]
LATE_WHEELS = Order(
    order="P-77",
    supplier="maker",
    part="WHEEL",
    qty=2,
    ordered_on=date(2026, 10, 1),
    due_on=date(2026, 11, 15),
)


def harbour_mill() -> Book:
    """Return the site as records."""
    return book_of(
        **together(
            stopped_by(
                "HM-1",
                fitted("HM-1", "hoist pinion", "PINION", 0.08),
                fitted("HM-1", "brake coil", "COIL-230", 0.5),
                fitted("HM-1", "gearbox seals", "SEALS", 0.1),
                a_day=1285.0,
            ),
            stopped_by(
                "HM-2",
                fitted("HM-2", "hoist drive", "DRIVE-H", 0.12),
                fitted("HM-2", "limit switch", "SWITCH-L", 0.5),
                fitted("HM-2", "brake lining", "LINING", 0.3),
                a_day=570.0,
            ),
            stopped_by("HM-3", fitted("HM-3", "drive wheel", "WHEEL", 0.3), a_day=210.0),
        ),
        site=[Setting(key="currency", value="EUR")],
        parts=[
            Part(part=part, description=what, min_stock=3 if part == "COIL-230" else None)
            for part, what, _, _ in PARTS
        ],
        suppliers=[maker()],
        offers=[bought(part, days, price) for part, _, days, price in PARTS],
        movements=ON_THE_SHELF,
        orders=[LATE_WHEELS],
        failures=[
            Failure(
                crane="HM-2",
                position="limit switch",
                failed_on=date(2026, 11, 23),
                part="SWITCH-L",
            )
        ],
    )
