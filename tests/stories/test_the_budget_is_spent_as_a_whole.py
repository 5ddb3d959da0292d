"""One budget at Harbour Mill: the best set is not what a walk down the list of ratios picks.

Four cranes, each spare kept or not, no time to exchange anything, keeping one costs nothing here:

                    failures  days to   a week   a year, none kept
                      a year  come      down     rate x weeks x cost
    pinion  HM-1        0.08   280     9,000     0.08 x 40 x 9,000 = 28,800
    drive   HM-1        0.12    70     9,000     0.12 x 10 x 9,000 = 10,800
    wheels  HM-3        0.30   140     1,500     0.30 x 20 x 1,500 =  9,000
    control HM-2        0.20    28     4,000     0.20 x  4 x 4,000 =  3,200
    switch  HM-2        0.50     7     4,000     0.50 x  1 x 4,000 =  2,000

One kept leaves (m - 1 + e^-m) x 365.25 / 7 weeks' cost, m = rate x days / 365.25:

              m           m - 1 + e^-m   leaves     takes off   price   a year for each 1
    pinion    0.0613279   0.00184269     865.34     27,934.66   14,000   1.995
    drive     0.0229979   0.000262431    123.24     10,676.76    5,200   2.053
    wheels    0.114990    0.00636518     498.19      8,501.81    9,000   0.945
    control   0.0153320   0.000116936     24.41      3,175.59    2,400   1.323
    switch    0.00958248  0.0000457655     9.55      1,990.45      600   3.317

By ratio: switch, drive, pinion, control, wheels. With 16,600 to spend that walk takes switch and
drive, 5,800, passes the pinion by, which costs 14,000 of the 10,800 that are left, and takes the
control, 8,200 in all: 1,990.45 + 10,676.76 + 3,175.59 = 15,842.80 are saved. The best set is pinion
and control, 16,400: 27,934.66 + 3,175.59 = 31,110.25. (Pinion and switch, 14,600, save 29,925.11.)
The walk goes on with what is left: a second drive, control and switch, which take off nearly all of
what the first ones leave, 156 together. So it leaves 53,800 - 15,842.80 - 156 = 37,801, and the
best set 53,800 - 31,110.25 = 22,689.75: 66.6 % more.

With 31,500 all five are bought for 31,200 and save 52,279.27 of 53,800; 1,520.73 is left.
With 20,000 it is switch, drive and pinion, 19,800, which save 40,601.87.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from parts.records.book import Book
from parts.records.catalogue import Part
from parts.records.site import Setting
from parts.records.structure import Position
from tests.cli.conftest import Say
from tests.stories.sites import DAY, book_of, bought, desk_at, maker, stopped_by, together
from tests.tui.small_site import opened, press, words
from tui.desk import Desk

PARTS = (
    ("PINION", "HM-1", 0.08, 280.0, 14000.0),
    ("DRIVE", "HM-1", 0.12, 70.0, 5200.0),
    ("WHEELS", "HM-3", 0.30, 140.0, 9000.0),
    ("CONTROL", "HM-2", 0.20, 28.0, 2400.0),
    ("SWITCH", "HM-2", 0.50, 7.0, 600.0),
)
A_WEEK = {"HM-1": 9000, "HM-2": 4000, "HM-3": 1500}


def crane(name: str) -> dict[str, list[object]]:
    fitted = [
        Position(
            crane=name, position=part.lower(), part=part, exchange_hours=0.0, failures_per_year=rate
        )
        for part, on, rate, _, _ in PARTS
        if on == name
    ]
    return stopped_by(name, *fitted, a_day=A_WEEK[name] / 7)


def harbour_mill() -> Book:
    return book_of(
        **together(*map(crane, A_WEEK)),
        site=[Setting(key="currency", value="EUR"), Setting(key="holding_rate", value="0")],
        parts=[Part(part=part) for part, *_ in PARTS],
        suppliers=[maker()],
        offers=[bought(part, days, price) for part, _, _, days, price in PARTS],
    )


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path / "mill.db", harbour_mill())


@pytest.mark.parametrize(
    ("budget", "picked", "spent", "saved"),
    [
        ("16600", {"PINION", "CONTROL"}, 16400.0, 31110.25),
        ("20000", {"SWITCH", "DRIVE", "PINION"}, 19800.0, 40601.87),
        ("31500", {"PINION", "DRIVE", "WHEELS", "CONTROL", "SWITCH"}, 31200.0, 52279.27),
    ],
)
def test_each_budget_buys_the_best_set(
    *, say: Say, desk: Desk, budget: str, picked: set[str], spent: float, saved: float
) -> None:
    plan = say("buy", "--budget", budget, "--json", "--db", desk.database, "--today", DAY).document

    assert {(line["part"], line["qty"]) for line in plan["lines"]} == {(each, 1) for each in picked}
    assert plan["spent"] == spent
    assert plan["exposure_before"] == pytest.approx(53800.0)
    assert plan["exposure_before"] - plan["exposure_after"] == pytest.approx(saved, abs=0.02)


async def test_the_screen_tells_what_going_down_the_list_would_have_left(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "b", *"16600")
        assert "Of 16,600 EUR the plan spends 16,400 EUR." in words(pilot)
        assert "A year's exposure falls from 53,800 EUR to 22,690 EUR" in words(pilot)
        await press(pilot, "tab")

        assert "the best next one each time, would leave 66.60 % more" in words(pilot)
