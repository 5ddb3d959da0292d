"""Three quotations for wheel assemblies at Harbour Mill, in three currencies, one of them expired.

    works A   EUR 3,950, freight 180 an order, 22 weeks = 154 days; valid until 31 December 2026
    works B   USD 3,100 at 0.92 = 2,852, at least 4; tooling 2,400 and freight 6 % of four, in all
              2,400 + 0.06 x 4 x 2,852 = 3,084.48 = USD 3,352.70; 16 weeks = 112 days;
              valid until 20 November 2026, five days ago
    works C   GBP 3,300 at 1.17 = 3,861, freight 250 = GBP 213.68; 12 weeks = 84 days

Landed for three: A 3 x 3,950 + 180 = 12,030; C 3 x 3,861 + 250 = 11,833; B sells four or none,
4 x 2,852 + 3,084.48 = 14,492.48. The lowest unit price is B's, the least money C's.

Three orders of A came after 1.5 times the days it had quoted, three of B after 1.25 times, C has
not delivered yet. Logarithms 0.405465 and 0.223144; all six together (0.405465 + 0.223144) / 2 =
0.314305, believed 6 / (6 + 10): 0.117864. Three orders of one's own are believed by half:

    A   0.405465 / 2 + 0.117864 / 2 = 0.261665   x 1.29909   154 days: 200.06
    B   0.223144 / 2 + 0.117864 / 2 = 0.170504   x 1.18590   112 days: 132.82
    C   as all                        0.117864   x 1.12509    84 days:  94.51

C is the fastest. What the program does not do yet is weigh landed money and waiting in one sum; it
shows both, way by way, and says which quotation has expired. For one unit A lands at 3,950 + 180.
"""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from parts.records.book import Book
from parts.records.catalogue import Part
from parts.records.site import Setting
from parts.records.structure import Position
from parts.records.supply import Currency, Offer, Order
from tests.cli.conftest import Say
from tests.stories.sites import DAY, book_of, desk_at, maker, stopped_by
from tests.tui.small_site import LARGE, opened, press, words
from tui.desk import Desk


def came_late(supplier: str, quoted_days: float, times: float) -> list[Order]:
    begun = date(2024, 2, 5)
    return [
        Order(
            order=f"{supplier} {n}",
            supplier=supplier,
            part="WHEEL",
            qty=1,
            ordered_on=(on := begun + timedelta(days=250 * n)),
            quoted_days=quoted_days,
            received_on=on + timedelta(days=quoted_days * times),
        )
        for n in range(3)
    ]


def quotation(
    supplier: str, price: float, currency: str, order_cost: float, *, weeks: float, until: date
) -> Offer:
    return Offer(
        supplier=supplier,
        part="WHEEL",
        unit_price=price,
        currency=currency,
        order_cost=order_cost,
        min_qty=4 if supplier == "works B" else 1,
        likely=weeks,
        unit="wk",
        basis="quoted",
        quoted_on=date(2026, 10, 1),
        valid_until=until,
    )


def harbour_mill() -> Book:
    wheel = Position(crane="HM-3", position="drive wheel", part="WHEEL", failures_per_year=0.3)
    return book_of(
        **stopped_by("HM-3", wheel, a_day=600 / 7),
        site=[Setting(key="currency", value="EUR")],
        parts=[Part(part="WHEEL", description="drive wheel assembly")],
        suppliers=[maker("works A"), maker("works B"), maker("works C")],
        offers=[
            quotation("works A", 3950.0, "EUR", 180.0, weeks=22.0, until=date(2026, 12, 31)),
            quotation(
                "works B", 3100.0, "USD", 3084.48 / 0.92, weeks=16.0, until=date(2026, 11, 20)
            ),
            quotation("works C", 3300.0, "GBP", 250.0 / 1.17, weeks=12.0, until=date(2027, 1, 15)),
        ],
        currencies=[
            Currency(currency="USD", rate=0.92, dated=date(2026, 11, 2)),
            Currency(currency="GBP", rate=1.17, dated=date(2026, 11, 2)),
        ],
        orders=[*came_late("works A", 100.0, 1.5), *came_late("works B", 80.0, 1.25)],
    )


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path / "mill.db", harbour_mill())


def test_the_ways_stand_by_the_days_they_really_take(say: Say, desk: Desk) -> None:
    found = say(
        "leadtime", "WHEEL", "--qty", "3", "--json", "--db", desk.database, "--today", DAY
    ).document

    assert [way["supplier"] for way in found["ways"]] == ["works C", "works B", "works A"]
    assert [way["days_mean"] for way in found["ways"]] == pytest.approx(
        [94.51, 132.82, 200.06], abs=0.01
    )
    assert found["days_mean"] == pytest.approx(94.51, abs=0.01)


def test_each_way_tells_what_a_unit_comes_to_once_it_is_here(say: Say, desk: Desk) -> None:
    """Of three: C 11,833 / 3 = 3,944.33 and A 12,030 / 3 = 4,010; of four, B 14,492.48 / 4."""
    asked = ("leadtime", "WHEEL", "--qty", "3", "--db", desk.database, "--today", DAY)
    ways = say(*asked, "--json").document["ways"]

    assert [way["landed_price"] for way in ways] == pytest.approx([3944.3333, 3623.12, 4010.0])
    assert [way["order_cost"] for way in ways] == pytest.approx([250.0, 3084.48, 180.0])
    assert [way["min_qty"] for way in ways] == [1, 4, 1]
    assert "at least 4, costs 3,084" in say(*asked).out


async def test_the_part_shows_who_is_fastest_and_which_quotation_is_over(desk: Desk) -> None:
    async with opened(desk, LARGE) as pilot:
        await press(pilot, "slash", *"WHEEL", "enter")
        text = words(pilot)

        assert text.index("works C") < text.index("works B") < text.index("works A")
        assert "quotation expired on 2026-11-20" in text
        assert "at least 4; 3,084 EUR for the order; landed 3,623 EUR each" in text
        assert "180 EUR for the order; landed 4,130 EUR each" in text
