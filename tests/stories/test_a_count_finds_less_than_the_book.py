"""A blind count at Harbour Mill finds two brake coils where the book says four.

The sheet is printed without what the book says, walked with, filled in and booked. By hand:

    item            book  count  differs  tolerated   each     money
    brake coil         4      2       -2          0  310.00  -620.00
    contactor          6      6        0          0   44.00
    hoist drive        1      1        0          0 2600.00
    lining            14     15       +1          0   85.00   +85.00
    limit switch       3      3        0          0  120.00
    fuse             120    124       +4      6 (5 %)  1.20    +4.80
    grease cartridge  40     37       -3      2 (5 %)  6.50   -19.50
    lamp              25     25        0      1 (5 %)  3.00

Out of tolerance are coil, lining and grease: 5 of 8 lines are in, 62.5 %. Net 1 + 4 - 2 - 3 = 0
pieces, which would pass for perfect; absolute 1 + 4 + 2 + 3 = 10. Money, all four differences
booked: net 85 + 4.80 - 620 - 19.50 = -549.70, absolute 729.30.

What it does to the risk: two hoists have two coils each, every coil fails 0.5 times a year, 2.0 in
all, and one comes in 16 weeks, 112 days. Asked for in that time: m = 2.0 x 112 / 365.25 = 0.613279.
Units waited for on average with S on the shelf, e(0) = m, e(S+1) = e(S) - P(more than S asked for):

    P(0) = 0.541572  P(1) = 0.332135  P(2) = 0.101846  P(3) = 0.020820
    e(1) = 0.613279 - 0.458428 = 0.154851
    e(2) = 0.154851 - 0.126293 = 0.028558
    e(3) = 0.028558 - 0.024447 = 0.004111
    e(4) = 0.004111 - 0.003628 = 0.000483

Lost days a year = 365.25 x e(S) + 2.0 x 0.5 days of work: with the four of the book 1.18, with the
two that are there 11.43. Both cranes cost 9,000 and 4,000 a week, half of the failures each, so a
lost day costs (9,000 + 4,000) / 7 / 2 = 928.57: 1,092 a year by the book, 10,614 in truth.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from parts.records.book import Book
from parts.records.catalogue import Part
from parts.records.site import Setting
from parts.records.structure import Position
from tests.cli.conftest import Say
from tests.stories.sites import DAY, book_of, bought, desk_at, maker, shelf, stopped_by, together
from tests.tui.screen_text import screen_lines
from tests.tui.small_site import opened, press, words
from tui.desk import Desk

SHELF = (
    ("COIL-230", "brake coil 230 V", "A01", 4, 310.0),
    ("CONT-32", "contactor", "A02", 6, 44.0),
    ("DRIVE-H", "hoist drive", "A03", 1, 2600.0),
    ("LINING", "brake lining", "B01", 14, 85.0),
    ("SWITCH-L", "limit switch", "B02", 3, 120.0),
    ("FUSE-16", "fuse", "C01", 120, 1.2),
    ("GREASE", "grease cartridge", "C02", 40, 6.5),
    ("LAMP", "lamp", "C03", 25, 3.0),
)
COUNTED = {"COIL-230": "2", "CONT-32": "6", "DRIVE-H": "1", "LINING": "15", "SWITCH-L": "3",
           "FUSE-16": "124", "GREASE": "37", "LAMP": "25"}  # fmt: skip
TOLERATED = {"FUSE-16": "5 %", "GREASE": "5 %", "LAMP": "5 %"}


def coils(crane: str) -> list[Position]:
    return [
        Position(
            crane=crane,
            position=f"brake coil {n}",
            part="COIL-230",
            exchange_hours=8.0,
            failures_per_year=0.5,
        )
        for n in (1, 2)
    ]


def harbour_mill() -> Book:
    return book_of(
        **together(
            stopped_by("HM-1", *coils("HM-1"), a_day=9000 / 7),
            stopped_by("HM-2", *coils("HM-2"), a_day=4000 / 7),
        ),
        site=[Setting(key="currency", value="EUR")],
        parts=[
            Part(part=part, description=what, unit_cost=each,
                 min_stock=3 if part == "COIL-230" else None)
            for part, what, _, _, each in SHELF
        ],
        suppliers=[maker("coil winder")],
        offers=[bought("COIL-230", 112.0, 310.0, "coil winder")],
        movements=[shelf(part, qty, where) for part, _, where, qty, _ in SHELF],
    )  # fmt: skip


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path / "mill.db", harbour_mill())


def fill_in(sheet: Path) -> None:
    """Write down what lies on the shelves, as somebody does at a table afterwards."""
    with sheet.open(encoding="utf-8-sig", newline="") as opened_sheet:
        rows = list(csv.DictReader(opened_sheet))
    for row in rows:
        row["counted"] = COUNTED[row["part"]]
        row["tolerance"] = TOLERATED.get(row["part"], "0")
    with sheet.open("w", encoding="utf-8", newline="") as opened_sheet:
        writer = csv.DictWriter(opened_sheet, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)


def test_the_sheet_is_blind_and_the_report_hides_no_minus_behind_a_plus(
    say: Say, desk: Desk, tmp_path: Path
) -> None:
    where = ("--db", desk.database, "--today", DAY)
    sheet = tmp_path / "walk.csv"
    printed = say("count", "--sheet", sheet, *where)
    with sheet.open(encoding="utf-8-sig", newline="") as opened_sheet:
        (coil, *others) = csv.DictReader(opened_sheet)

    assert (printed.status, coil["part"], len(others)) == (0, "COIL-230", 7)
    assert coil["counted"] == ""
    assert "4" not in {cell for name, cell in coil.items() if name != "after"}

    fill_in(sheet)
    report = say("count", "--entered", sheet, *where).out

    assert "Lines in tolerance: 5 of 8, 62.5 %." in report
    assert "Differences: net +0 pieces, absolute 10 pieces." in report
    assert "In money: net -549.70, absolute 729.30." in report
    assert "before anybody relies on it: COIL-230, GREASE, LINING." in report
    assert "COIL-230: 2 left for use, below its minimum of 3: order more." in report


async def test_the_risk_is_reckoned_on_what_is_there_and_the_order_shows(
    say: Say, desk: Desk, tmp_path: Path
) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "k")
        coil = next(line for line in screen_lines(pilot.app) if line.startswith(" COIL-230"))
        assert coil.split()[1:5] == ["2", "1.2", "d", "1,092"]
        await press(pilot, "escape", "o")
        assert "0 parts to order now" in words(pilot)

    sheet = tmp_path / "walk.csv"
    where = ("--db", desk.database, "--today", DAY)
    assert say("count", "--sheet", sheet, *where).status == 0
    fill_in(sheet)
    assert say("count", "--entered", sheet, *where).status == 0

    async with opened(desk) as pilot:
        await press(pilot, "k")
        coil = next(line for line in screen_lines(pilot.app) if line.startswith(" COIL-230"))
        assert coil.split()[1:5] == ["2", "11.4", "d", "10,614"]
        await press(pilot, "escape", "o")

        assert "1 part to order now" in words(pilot)
        assert "Order 1 now from coil winder for 310 EUR." in words(pilot)
        assert "Below the site's minimum of 3." in words(pilot)
        assert "Usable 2, on order 0." in words(pilot)
