"""Brake linings at Harbour Mill are ordered again by what the works has delivered, not by its word.

Six are used a year. The works quotes 8 weeks, 56 days, and took 8, 11, 14, 9 and 18 of them. Three
lie on the shelf, one of them promised, so two are free; none is on order. At least 10 are sold. No
stock-out in a lead time is wanted with 95 %. By hand:

    ratios         1, 11/8, 14/8, 9/8, 18/8
    logarithms     0, 0.318454, 0.559616, 0.117783, 0.810930; mean 0.361357
    all suppliers  5 orders: 0.361357 x 5 / (5 + 10) = 0.120452
    the works      5/8 x 0.361357 + 3/8 x 0.120452 = 0.271017; ratio e^0.271017 = 1.3113
    lead time      56 x 1.3113 = 73.43 days
    asked for      6 x 73.43 / 365.25 = 1.20629 in a lead time
    P(up to n)     0: 0.2993, 1: 0.6604, 2: 0.8781, 3: 0.9657

The reorder point is the smallest n with 95 %: 3. Below it is ordered; 2 is below 3, and 10 is the
least that is sold. The maximum is the point and one such lot, 13.

A plain mean of the five, 12 weeks, would ask for 6 x 12 / 52 = 1.385 and P(up to 3) = 0.948 just
fails, so that 4 would be kept. Five orders are believed only in part (5/8 of a supplier's own,
5/15 of everybody's), and a ratio is averaged by its logarithm, so that one order of 18 weeks does
not count as much as it would. Had nothing been delivered yet, the point would rest on the bare 56
days: 6 x 56 / 365.25 = 0.91992, P(up to 2) = 0.9339, P(up to 3) = 0.9855, also 3.
"""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from parts.records.book import Book
from parts.records.catalogue import Part
from parts.records.site import Setting
from parts.records.stock import Reservation
from parts.records.structure import Position
from parts.records.supply import Order
from tests.cli.conftest import Say
from tests.stories.sites import (
    DAY,
    WEEK_DAYS,
    book_of,
    bought,
    desk_at,
    maker,
    shelf,
    stopped_by,
)
from tests.tui.small_site import opened, press, words
from tui.desk import Desk

TOOK_WEEKS = (8, 11, 14, 9, 18)


def deliveries() -> list[Order]:
    begun = date(2024, 1, 8)
    return [
        Order(
            order=f"L-{n}",
            supplier="lining works",
            part="LINING",
            qty=10,
            ordered_on=(on := begun + timedelta(days=180 * n)),
            quoted_days=56.0,
            received_on=on + timedelta(days=WEEK_DAYS * weeks),
        )
        for n, weeks in enumerate(TOOK_WEEKS)
    ]


def harbour_mill() -> Book:
    lining = Position(crane="HM-1", position="brake lining", part="LINING", failures_per_year=0.0)
    return book_of(
        **stopped_by("HM-1", lining, a_day=9000 / 7),
        site=[
            Setting(key="currency", value="EUR"),
            Setting(key="confidence", value="0.95"),
        ],
        parts=[Part(part="LINING", description="brake lining set", planned_per_year=6.0)],
        suppliers=[maker("lining works")],
        offers=[bought("LINING", 56.0, 85.0, "lining works", min_qty=10)],
        orders=deliveries(),
        movements=[shelf("LINING", 3)],
        reservations=[Reservation(part="LINING", qty=1, for_="shutdown HM-2")],
    )


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path / "mill.db", harbour_mill())


async def test_two_free_are_below_the_point_of_three_and_ten_are_ordered(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "o")

        assert "Order 10 now from lining works for 850 EUR." in words(pilot)
        assert "Below the reorder point of 3." in words(pilot)
        assert "Order again below 3, up to 13. Usable 2, on order 0." in words(pilot)
        assert "Asked for 6 times a year; comes within 73.4 d" in words(pilot)


async def test_the_part_says_how_far_the_works_is_believed(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "o", "enter")

        assert "in our store 2 to be had; 1 reserved" in words(pilot)
        assert "73.4 d buy new from lining works" in words(pilot)
        assert "85 EUR; at least 10; corrected by 1.31" in words(pilot)


def test_the_command_tells_the_same(say: Say, desk: Desk) -> None:
    found = say("purchases", "--json", "--db", desk.database, "--today", DAY).document
    (line,) = found["parts"]

    assert line["lead_days"] == pytest.approx(73.4327, abs=1e-3)
    assert (line["reorder_point"], line["maximum"], line["order_now"]) == (3, 13, 10)
    assert (line["usable"], line["cost"]) == (2, 850.0)
