"""The last order of a hoist drive at Northgate Rail Workshop: how many, by when, how long it lasts.

Six hoists have the drive, each fails 0.06 times a year. The maker takes orders until 31 March 2027,
at 2,600 each. One is in store. The drive is needed for 12 years, until 25 November 2038; two hoists
retire on 25 November 2031, after 1826 / 365.25 = 4.99932 years. Whoever has none pays a retrofit of
38,000 for that hoist, so that every failure beyond the stock costs one.

Asked for in all: 6 x 0.06 x 4.99932 + 4 x 0.06 x 7.00068 = 1.79975 + 1.68016 = 3.47992; without
the retirements 6 x 0.06 x 12 = 4.32.

Money of later years is worth less by 5 % a year, d = ln 1.05 = 0.0487902. Keeping a unit costs 12 %
of its price a year, 7 % beyond the interest that the discount holds already.
The n-th unit serves failure n + 1, as one is in store. It saves 38,000 x s, s = the discounted
chance that this failure comes in time, and costs 2,600 x (1 + 0.07 x k), k = the discounted
years that it lies. The fourth unit, for the fifth failure:

    while six hoists run    (0.36 / 0.40879)^5 = 0.529676, times the chance of five or more where
                            0.40879 x 4.99932 = 2.04367 are expected, 0.056679     = 0.030022
    afterwards, with j failures in the first years (mean 1.79975), e^(-4.99932 d) = 0.783552,
    q = 0.24 / 0.28879 = 0.831053, and 5 - j more where 0.28879 x 7.00068 = 2.02173 are expected:
                            j   chance of j   q^(5-j)    chance     product x 0.783552
                            0   0.165340      0.396410   0.054635   0.002806
                            1   0.297571      0.476997   0.146819   0.016329
                            2   0.267777      0.573966   0.329205   0.039645
                            3   0.160644      0.690649   0.599844   0.052147
                            4   0.072280      0.831053   0.867574   0.040834
    s = 0.030022 + 0.151761                                         0.181783
    it saves 38,000 x 0.181783 = 6,907.74
    never asked for 1 - 0.270769 = 0.729231; e^(-12 d) = 0.556837
    k = (1 - 0.181783 - 0.556837 x 0.729231) / d = 8.44749
    it costs 2,600 x (1 + 0.07 x 8.44749) = 4,137.44: worth it

The fifth, the same way: s = 0.008486 + 0.082430 = 0.090915, saves 3,454.79, costs 4,204.24: not
worth it. So 4 are taken; all lasts with P(up to 5 asked for) = 86.03 %; for 95 % it would take 6,
P(up to 7) = 97.40 %, P(up to 6) = 93.62 %.

Without the retirements s = (0.36 / 0.40879)^(n+1) x chance of n + 1 or more where 0.40879 x 12 =
4.90548 are expected: fifth unit 0.466458 x 0.367459 = 0.171404, saves 6,513.37 for 4,167.64; sixth
0.410785 x 0.224131 = 0.092069, saves 3,498.64 for 4,214.18. So 5 are taken, and last with 85.34 %.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from parts.records.book import Book
from parts.records.catalogue import Part
from parts.records.site import Setting
from parts.records.structure import Position
from parts.records.supply import Notice, Offer
from tests.cli.conftest import Say
from tests.stories.sites import (
    DAY,
    book_of,
    bought,
    desk_at,
    maker,
    shelf,
    stopped_by,
    together,
)
from tests.tui.screen_text import screen_lines
from tests.tui.small_site import opened, press, words

LAST_YEAR, RETIRED = date(2038, 11, 25), date(2031, 11, 25)


def hoist(number: int, needed_until: date) -> dict[str, list[object]]:
    crane = f"NR-{number}"
    drive = Position(
        crane=crane,
        position="hoist drive",
        part="DRIVE-7",
        exchange_hours=8.0,
        failures_per_year=0.06,
    )
    return stopped_by(crane, drive, a_day=0.0, retire_on=needed_until)


def northgate(retired: date = RETIRED) -> Book:
    last_days = [retired if number > 4 else LAST_YEAR for number in range(1, 7)]
    return book_of(
        **together(*(hoist(number, until) for number, until in enumerate(last_days, 1))),
        site=[
            Setting(key="currency", value="EUR"),
            Setting(key="discount_rate", value="0.05"),
            Setting(key="holding_rate", value="0.12"),
            Setting(key="confidence", value="0.95"),
        ],
        parts=[Part(part="DRIVE-7", description="hoist drive, seventh series")],
        suppliers=[maker("drive works"), maker("refitters")],
        offers=[
            bought("DRIVE-7", 42.0, 2600.0, "drive works"),
            Offer(
                supplier="refitters", part="DRIVE-7", kind="made", likely=0.0, unit_price=38000.0
            ),
        ],
        notices=[
            Notice(
                part="DRIVE-7",
                supplier="drive works",
                notice_on=date(2026, 10, 5),
                kind="discontinuance",
                last_buy_on=date(2027, 3, 31),
            )
        ],
        movements=[shelf("DRIVE-7", 1)],
    )


async def test_the_order_is_four_and_126_days_are_left_for_it(tmp_path: Path) -> None:
    async with opened(desk_at(tmp_path / "with.db", northgate())) as pilot:
        await press(pilot, "g")
        text = words(pilot)

        assert "1 part can soon no longer be bought." in text
        assert "Order from drive works by 2027-03-31: 126 d are left." in text
        assert "Take 4 for 10,400 EUR: lasts with a chance of 86 %." in text
        await press(pilot, "enter")
        text = words(pilot)

        assert "Take 4 at 2,600 EUR each: 0.36 a year are used up for 12 years" in text
        assert "for 95 % it would take 6." in text
        fourth, fifth = (
            next(line.split() for line in screen_lines(pilot.app) if line.split()[:1] == [n])
            for n in ("4", "5")
        )
        assert (fourth[1], fourth[-4], fourth[-3:]) == ("6,908", "4,137", ["yes", "←", "advised"])
        assert (fifth[1], fifth[-2:]) == ("3,455", ["4,204", "no"])


async def test_without_the_retirements_it_is_five(tmp_path: Path) -> None:
    desk = desk_at(tmp_path / "without.db", northgate(retired=LAST_YEAR))
    async with opened(desk) as pilot:
        await press(pilot, "g", "enter")

        assert "Take 5 at 2,600 EUR each: 0.36 a year are used up for 12 years" in words(pilot)
        assert "Then all lasts with a chance of 85 %" in words(pilot)


@pytest.mark.parametrize(
    ("retired", "quantity", "last", "chance"),
    [
        (RETIRED, 4, [(6907.74, 4137.44), (3454.79, 4204.24)], 0.86026),
        (LAST_YEAR, 5, [(6513.37, 4167.64), (3498.64, 4214.18)], 0.85340),
    ],
    ids=["two hoists retire", "all six stay"],
)
def test_the_command_tells_unit_by_unit_what_a_person_reckons(
    *,
    say: Say,
    tmp_path: Path,
    retired: date,
    quantity: int,
    last: list[tuple[float, float]],
    chance: float,
) -> None:
    desk = desk_at(tmp_path / "site.db", northgate(retired))
    found = say("lastbuy", "DRIVE-7", "--json", "--db", desk.database, "--today", DAY).document
    units = found["marginal"][quantity - 1 : quantity + 1]

    assert found["quantity"] == quantity
    assert [unit["saving"] for unit in units] == pytest.approx([each[0] for each in last], rel=1e-4)
    assert [unit["cost"] for unit in units] == pytest.approx([each[1] for each in last], rel=1e-4)
    assert [unit["worth"] for unit in units] == [True, False]
    assert found["chance_enough"] == pytest.approx(chance, abs=1e-4)


async def test_who_has_to_answer_it_finds_it_on_the_list_of_the_day(tmp_path: Path) -> None:
    async with opened(desk_at(tmp_path / "site.db", northgate())) as pilot:
        await press(pilot, "j", "tab", "tab")
        assert "Last order · DRIVE-7 · 2027-03-31, in 126 d" in words(pilot)
        assert "Order 4 from drive works by 2027-03-31." in words(pilot)
        await press(pilot, "enter")

        assert "longpole › DRIVE-7 › last order" in screen_lines(pilot.app)[0]
