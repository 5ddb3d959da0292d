"""An insurance spare at Harbour Mill: the first pinion set pays, the second does not.

The main and the auxiliary hoist of HM-1 have the same set, each fails 0.04 times a year, and the
crane stands still without either. A set takes 40 weeks, 280 days, and costs 14,000. A week costs
9,000, a day 1,285.714. Keeping one costs 12 % of its price and 120 of care, 1,680 + 120 = 1,800 a
year. Exchanging it takes no time here. By hand:

    none kept   0.08 x 280 x 1,285.714                                          = 28,800 a year
    asked for   m = 0.08 x 280 / 365.25 = 0.0613279 while one is on its way; e^-m = 0.940515
    one kept    waited for on average m - 1 + e^-m = 0.00184269 sets,
                x 365.25 days x 1,285.714                                       =    865.34 a year
                it takes off 27,934.66, 26,134.66 more than it costs to keep: keep it
    two kept    0.00184269 - (1 - 0.940515 - 0.0613279 x 0.940515) = 0.0000372860, 17.51 a year
                the second takes off 847.83, less than 1,800: do not keep it

A spare breaks even where failures x 280 x 1,285.714 less what one leaves comes to 1,800: at 0.0050
a year 1,800.00 - 3.44 is not enough, at 0.0051 it is 1,836.00 - 3.58. That is one failure in about
200 years.

Played out: with one kept the crane stands still for 0.00184269 of its working time, so in a year
for 365.25 x 0.00184269 / 1.00184269 = 0.6718 days; with none for 365.25 x 0.0613279 / 1.0613279 =
21.106 days. The simulation has to find both within its own limits.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from parts.records.book import Book
from parts.records.catalogue import Part
from parts.records.site import Setting
from parts.records.structure import Position
from tests.cli.conftest import Say
from tests.stories.sites import DAY, book_of, bought, desk_at, maker, shelf, stopped_by
from tests.tui.screen_text import screen_lines
from tests.tui.small_site import opened, press, words
from tui.desk import Desk


def harbour_mill(failures_per_year: float = 0.08) -> Book:
    pinions = [
        Position(
            crane="HM-1",
            position=f"{hoist} hoist pinion",
            part="PINION",
            exchange_hours=0.0,
            failures_per_year=failures_per_year / 2,
        )
        for hoist in ("main", "auxiliary")
    ]
    return book_of(
        **stopped_by("HM-1", *pinions, a_day=9000 / 7),
        site=[Setting(key="currency", value="EUR"), Setting(key="holding_rate", value="0.12")],
        parts=[Part(part="PINION", description="hoist pinion set", care_per_year=120.0)],
        suppliers=[maker("gear works")],
        offers=[bought("PINION", 280.0, 14000.0, "gear works")],
    )


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path / "mill.db", harbour_mill())


def plan_of(say: Say, desk: Desk, budget: str = "60000") -> Any:
    return say("buy", "--budget", budget, "--json", "--db", desk.database, "--today", DAY).document


def test_of_a_large_budget_one_set_is_bought(say: Say, desk: Desk) -> None:
    plan = plan_of(say, desk)
    (line,) = plan["lines"]

    assert (line["part"], line["action"], line["qty"], line["cost"]) == (
        "PINION", "spare", 1, 14000.0,
    )  # fmt: skip
    assert plan["exposure_before"] == pytest.approx(28800.0, abs=0.005)
    assert plan["exposure_after"] == pytest.approx(865.34, abs=0.005)
    assert line["saves_cost"] == pytest.approx(27934.66, abs=0.005)


def test_a_second_set_on_the_shelf_would_leave_what_is_reckoned(say: Say, tmp_path: Path) -> None:
    book = harbour_mill()
    book["movements"].append(shelf("PINION", 2))
    desk = desk_at(tmp_path / "two.db", book)

    assert plan_of(say, desk)["lines"] == []
    assert plan_of(say, desk)["exposure_before"] == pytest.approx(17.51, abs=0.005)


async def test_the_plan_says_it_in_a_sentence(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "b", *"60000")
        text = words(pilot)

        assert "Of 60,000 EUR the plan spends 14,000 EUR." in text
        assert "A year's exposure falls from 28,800 EUR to 865 EUR" in text
        assert "keeping it costs 1,800 EUR a year." in text
        assert "Keep 1 unit of PINION more (hoist pinion set) from gear works" in text
        lines = [line for line in screen_lines(pilot.app) if line.startswith(" PINION")]
        assert [line.split()[1:3] for line in lines] == [["spare", "1"]]


@pytest.mark.parametrize(("rate", "bought_sets"), [(0.0050, 0), (0.0051, 1)])
def test_it_breaks_even_at_one_failure_in_about_200_years(
    say: Say, tmp_path: Path, rate: float, bought_sets: int
) -> None:
    desk = desk_at(tmp_path / "rare.db", harbour_mill(rate))

    assert sum(line["qty"] for line in plan_of(say, desk)["lines"]) == bought_sets


def test_the_fleet_played_out_agrees_with_one_and_without(
    say: Say, desk: Desk, tmp_path: Path
) -> None:
    where = ("--db", desk.database, "--today", DAY)
    plan = tmp_path / "plan.json"
    plan.write_text(say("buy", "--budget", "60000", "--json", *where).out, "utf-8")
    length = ("--runs", "1000", "--years", "100", "--json", *where)
    without = say("simulate", *length).document
    with_one = say("simulate", "--plan", plan, *length).document

    assert without["formula"]["lost_days_per_year"] == pytest.approx(21.106, abs=0.001)
    assert with_one["formula"]["lost_days_per_year"] == pytest.approx(0.6718, abs=0.0001)
    for played, by_hand in ((without, 21.106), (with_one, 0.6718)):
        found = played["simulated"]
        assert found["low"] / 1.02 <= by_hand <= found["high"] * 1.02
        assert played["agree"] is True
