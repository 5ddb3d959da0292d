"""Pooled cover at Quarry Lane Plate Works, until one of four sisters turns out to be different.

Four sister cranes have the same wheel assembly, 5,400 each. One fails 0.375 times a year and takes
146.1 days to come, so that m = 0.375 x 146.1 / 365.25 = 0.15 are asked for meanwhile on each crane.
A crane costs 400 a day and its sisters carry seven eighths of its work: 50 a day are lost. Keeping
a wheel costs 12 % of its price, 648 a year. Exchanging one takes no time here.

With S kept, e(S) wheels are waited for on average: e(0) = m, e(S+1) = e(S) - P(more than S asked
for). Each wheel waited for all year costs 365.25 x 50 = 18,262.50. By hand, shared by all four,
m = 0.6:

    e(0) = 0.600000
    e(1) = 0.148812   the first takes off 0.451188, 8,239.83 a year
    e(2) = 0.026910   the second takes off 0.121901, 2,226.22: more than 648
    e(3) = 0.003795   the third takes off 0.023115, 422.14: less than 648

Two shared wheels leave 0.026910 x 18,262.50 = 491.45 a year. One wheel for each crane alone would
be four, 10,800 more, and leave 4 x 0.010708 = 0.042832: two that are shared serve better.

Then crane QL-4 is found to have revision C, whose bore differs. Three share, m = 0.45:

    e(0) = 0.450000
    e(1) = 0.087628   takes off 0.362372, 6,617.82
    e(2) = 0.012189   takes off 0.075439, 1,377.71: more than 648
    e(3) = 0.001310   takes off 0.010879,   198.68: less

and QL-4 stands alone, m = 0.15:

    e(0) = 0.150000
    e(1) = 0.010708   takes off 0.139292, 2,543.82: more than 648
    e(2) = 0.000522   takes off 0.010186,   186.02: less

Three are needed then, two of the old and one of revision C, and they leave (0.012189 + 0.010708) x
18,262.50 = 418.16 a year.
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
from tests.tui.screen_text import screen_lines
from tests.tui.small_site import opened, press, words
from tui.desk import Desk


def sister(number: int) -> dict[str, list[object]]:
    crane = f"QL-{number}"
    wheel = Position(
        crane=crane,
        position="drive wheel",
        part="WHEEL",
        exchange_hours=0.0,
        failures_per_year=0.375,
    )
    return stopped_by(crane, wheel, a_day=400.0, cover_share=0.875)


def quarry_lane() -> Book:
    return book_of(
        **together(*(sister(number) for number in range(1, 5))),
        site=[Setting(key="currency", value="EUR"), Setting(key="holding_rate", value="0.12")],
        parts=[
            Part(part="WHEEL", description="drive wheel assembly, revision B"),
            Part(part="WHEEL-C", description="drive wheel assembly, revision C, other bore"),
        ],
        suppliers=[maker("wheel works")],
        offers=[bought(part, 146.1, 5400.0, "wheel works") for part in ("WHEEL", "WHEEL-C")],
    )


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path / "plates.db", quarry_lane())


def advised(say: Say, desk: Desk) -> tuple[dict[str, int], float, float]:
    plan = say("buy", "--budget", "40000", "--json", "--db", desk.database, "--today", DAY).document
    bought_units = {line["part"]: line["qty"] for line in plan["lines"]}
    return bought_units, plan["exposure_before"], plan["exposure_after"]


async def test_the_advice_changes_from_two_to_three_once_one_sister_differs(
    say: Say, desk: Desk
) -> None:
    asked = ("explain", "WHEEL", "--json", "--db", desk.database, "--today", DAY)
    units, before, after = advised(say, desk)
    whole = {term["name"]: term for term in say(*asked).document["terms"]}

    assert (
        "4 uses share every store and order: 1.5 a year, 0.6 while one comes"
        in (whole["one stock for all"]["value"])
    )
    assert "not served by it" not in whole
    assert units == {"WHEEL": 2}
    assert before == pytest.approx(0.6 * 18262.5)
    assert after == pytest.approx(491.45, abs=0.02)

    async with opened(desk) as pilot:
        # what is on record about the wheel of QL-4, the position first; then the part in it
        await press(pilot, *["down"] * 3, "enter", "v", "enter", *"QL-4", "enter")
        await press(pilot, "down", *"WHEEL-C", "f2")

    units, before, after = advised(say, desk)

    told = {term["name"]: term for term in say(*asked).document["terms"]}
    assert "3 uses share" in told["one stock for all"]["value"]
    assert told["not served by it"]["value"] == "QL-4/drive wheel holds WHEEL-C"
    assert told["not served by it"]["record"] == "positions QL-4/drive wheel"
    assert units == {"WHEEL": 2, "WHEEL-C": 1}
    assert before == pytest.approx(0.6 * 18262.5)
    assert after == pytest.approx(418.16, abs=0.02)


async def test_the_screens_tell_which_cranes_share(desk: Desk) -> None:
    async with opened(desk) as pilot:
        await press(pilot, "b", *"40000")
        assert "Keep 2 units of WHEEL more" in words(pilot)
        await press(pilot, "enter", "w")

        found = [line.split()[0] for line in screen_lines(pilot.app) if "drive wheel" in line]
        assert found[:4] == ["QL-1", "QL-2", "QL-3", "QL-4"]
