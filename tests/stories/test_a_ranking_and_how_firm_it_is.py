"""Six risks at Harbour Mill: which place is firm, and which pair is a toss.

No time to exchange anything, nothing in store. By hand, failures x weeks x cost of a week:

    pinion   HM-1   0.08 x 40 x 9,000 = 28,800 a year
    drive    HM-1   0.12 x 10 x 9,000 = 10,800
    wheels   HM-3   0.30 x 20 x 1,500 =  9,000
    control  HM-2   0.20 x  4 x 4,000 =  3,200
    switch   HM-2   0.50 x  1 x 4,000 =  2,000
    girder   HM-1   0.002 x 60 x 9,000 = 1,080

What each rate rests on is worth eight failures, a gamma of shape 8 about the figure. Of two such
that stand 1 : r in their means, the larger stays ahead with the chance that a beta of 8 and 8 is
above r / (1 + r), which is that of at most 7 in 15 tosses, each with the chance r / (1 + r):

    pinion before drive     10,800 / 39,600 = 0.2727   97.1 %   firm
    drive before wheels      9,000 / 19,800 = 0.4545   64.0 %   a toss
    wheels before control    3,200 / 12,200 = 0.2623   97.7 %   firm
    control before switch    2,000 /  5,200 = 0.3846   82.2 %   not firm
    switch before girder     1,080 /  3,080 = 0.3506   88.6 %   not firm

The program draws 1,000 times, so that its shares may be off by about 0.03.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from parts.records.book import Book
from parts.records.catalogue import Part, PartClass
from parts.records.site import Setting
from parts.records.structure import Position
from tests.cli.conftest import Say
from tests.stories.sites import (
    DAY,
    WEEK_DAYS,
    book_of,
    bought,
    desk_at,
    maker,
    stopped_by,
    together,
)
from tests.tui.small_site import LARGE, opened, press, words
from tui.desk import Desk

PARTS = (
    ("PINION", "HM-1", 0.08, 40),
    ("DRIVE", "HM-1", 0.12, 10),
    ("WHEELS", "HM-3", 0.30, 20),
    ("CONTROL", "HM-2", 0.20, 4),
    ("SWITCH", "HM-2", 0.50, 1),
    ("GIRDER", "HM-1", 0.002, 60),
)
A_WEEK = {"HM-1": 9000, "HM-2": 4000, "HM-3": 1500}


def crane(name: str) -> dict[str, list[object]]:
    fitted = [
        Position(crane=name, position=part.lower(), part=part, exchange_hours=0.0)
        for part, on, _, _ in PARTS
        if on == name
    ]
    return stopped_by(name, *fitted, a_day=A_WEEK[name] / WEEK_DAYS)


def harbour_mill() -> Book:
    return book_of(
        **together(*map(crane, A_WEEK)),
        site=[Setting(key="currency", value="EUR")],
        classes=[PartClass(part_class="crane parts", rate_weight=8.0)],
        parts=[
            Part(part=part, part_class="crane parts", failures_per_year=rate)
            for part, _, rate, _ in PARTS
        ],
        suppliers=[maker()],
        offers=[bought(part, WEEK_DAYS * weeks, 1000.0) for part, _, _, weeks in PARTS],
    )


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path / "mill.db", harbour_mill())


def test_the_ranking_and_the_chance_of_each_pair_are_those_of_the_sum(say: Say, desk: Desk) -> None:
    found = say("risks", "--json", "--db", desk.database, "--today", DAY).document["parts"]

    assert [each["part"] for each in found] == [part for part, *_ in PARTS]
    assert [each["exposure_cost"] for each in found] == pytest.approx(
        [28800.0, 10800.0, 9000.0, 3200.0, 2000.0, 1080.0]
    )
    assert [each["ahead_share"] for each in found[:-1]] == pytest.approx(
        [0.971, 0.640, 0.977, 0.822, 0.886], abs=0.03
    )
    assert found[-1]["ahead_share"] is None


async def test_the_screen_says_which_pair_is_firm_and_which_is_not(desk: Desk) -> None:
    async with opened(desk, LARGE) as pilot:
        await press(pilot, "k")
        assert ", firmly ahead of DRIVE (" in words(pilot)
        await press(pilot, "down")

        assert ", but not firmly ahead of WHEELS (" in words(pilot)
