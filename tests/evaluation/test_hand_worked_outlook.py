"""Working periods, and how long a part can be had, reckoned with pencil and paper."""

from __future__ import annotations

import math
from datetime import date, timedelta
from typing import Any

import pytest
from rows import SHOP, TODAY, YEAR, crane, near, new, part, seat, site_of

from parts.records.catalogue import Part, PartClass
from parts.records.history import Duty
from parts.records.supply import Notice, Offer, Supplier
from parts.services import risks

# Duty -------------------------------------------------------------------------------------------


def duty(**facts: Any) -> Any:
    row = Duty(crane="K", mechanism="hoist", **facts)
    (answer,) = risks.duty(risks.exposures(site_of(*crane(seat("gear", "G")), Part(part="G"), row)))
    return answer


def test_a_working_period_is_the_hours_weighed_by_the_cube_of_the_load() -> None:
    # 0.5 of full load for 0.8 of the time, full load for 0.2: 0.125 x 0.8 + 0.2 = 0.3.
    # 4000 h x 0.3 x 1.1 = 1320 of M5's 1600; 280 left at 500 x 0.33 = 165 a year: 619.8 days.
    answer = duty(group="M5", hours_per_year=500.0, spectrum="0.5:0.8+1:0.2", hours_used=4000.0,
                  method_factor=1.1)  # fmt: skip

    assert answer.km == near(0.3)
    assert answer.used_hours == near(1320)
    assert answer.used_share == near(0.825)
    assert abs((answer.runs_out_on - TODAY).days - 280 / 165 * YEAR) <= 1


def test_a_stated_factor_wins_over_the_spectrum_and_what_is_used_up_has_a_past_date() -> None:
    answer = duty(group="M3", km=0.5, spectrum="1:1", hours_used=1000.0, hours_per_year=100.0)

    assert (answer.used_hours, answer.group_hours, answer.used_share) == (500.0, 400.0, 1.25)
    assert abs((answer.runs_out_on - TODAY).days + 2 * YEAR) <= 1


@pytest.mark.parametrize(
    ("group", "hours"),
    [
        ("M1", 100),
        ("M2", 200),
        ("M3", 400),
        ("M4", 800),
        ("M5", 1600),
        ("M6", 3200),
        ("M7", 6300),
        ("M8", 12_500),
    ],
)
def test_groups_have_their_full_load_hours(group: str, hours: int) -> None:
    assert duty(group=group, km=0.5, hours_used=1.0).group_hours == hours


def test_what_is_blank_is_not_known() -> None:
    answer = duty(group="M5")

    assert (answer.km, answer.used_hours, answer.used_share, answer.runs_out_on) == (None,) * 4


# How long it can be had -------------------------------------------------------------------------

SHORT = PartClass(part_class="drives", market_shape=2.0, market_scale=20.0)
ON_MARKET = TODAY - timedelta(days=3652)


def had(*more: Any, **facts: Any) -> dict[int, float | None]:
    row = Part(part="G", part_class="drives", **facts)
    site = site_of(*crane(seat("gear", "G")), row, SHORT, SHOP, *more)
    return part(site, "G").obtainable


def curve(years: int) -> float:
    """Weibull of shape 2 and scale 20, given 3652 days on the market."""
    age = 3652 / YEAR
    return math.exp((age / 20) ** 2 - ((age + years) / 20) ** 2)


def test_a_known_last_day_is_certain_until_then_and_nothing_after() -> None:
    # The notice of 2026 takes the place of that of 2025: until 30 June 2030, 3.6 years from now.
    told = [
        Notice(part="G", supplier="S", notice_on=date(year, 5, 1), kind="discontinuance",
               last_buy_on=last)
        for year, last in ((2025, date(2027, 6, 30)), (2026, date(2030, 6, 30)))
    ]  # fmt: skip

    assert had(new("G", 60), *told) == {1: 1.0, 3: 1.0, 5: 0.0, 10: 0.0}


def test_without_a_date_it_is_the_usual_life_on_the_market_given_the_years_reached() -> None:
    found = had(new("G", 60), introduced=ON_MARKET)

    assert found == {years: near(curve(years)) for years in (1, 3, 5, 10)}


def test_one_of_several_offers_without_a_date_keeps_the_curve_and_all_share_one_fate() -> None:
    other = [Supplier(supplier="T"), Offer(supplier="T", part="G", likely=50.0)]
    told = Notice(part="G", supplier="S", notice_on=date(2026, 5, 1), kind="discontinuance",
                  last_buy_on=date(2027, 6, 30))  # fmt: skip

    found = had(new("G", 60), *other, told, introduced=ON_MARKET)

    assert found == {years: near(curve(years)) for years in (1, 3, 5, 10)}


def test_used_ones_add_no_chance() -> None:
    found = had(new("G", 60), new("G", 30, kind="used"), introduced=ON_MARKET)

    assert found[5] == near(curve(5))


def test_nobody_knows_since_when_it_is_sold() -> None:
    assert had(new("G", 60)) == dict.fromkeys((1, 3, 5, 10))


def test_a_drawing_keeps_it_obtainable_and_a_maker_without_one_does_not() -> None:
    assert had(new("G", 60, kind="made"), drawing=True) == dict.fromkeys((1, 3, 5, 10), 1.0)
    assert had(new("G", 60, kind="made"), drawing=False) == dict.fromkeys((1, 3, 5, 10), 0.0)


def test_repair_stands_while_the_repairer_does() -> None:
    gone = [Supplier(supplier="T", active=False),
            Offer(supplier="T", part="G", likely=9.0, kind="repair")]  # fmt: skip

    assert had(new("G", 20, kind="repair")) == dict.fromkeys((1, 3, 5, 10), 1.0)
    assert had(*gone) == dict.fromkeys((1, 3, 5, 10), 0.0)


def test_the_year_in_which_restoring_jumps_follows_a_known_day() -> None:
    # Until 25 May 2030; after that the assumed 90 + 1 days against 31: more than half as long
    # again. The first whole year after that day is the fourth: 2030.
    rows = [*crane(seat("gear", "G")), SHOP, new("G", 30)]
    until = {"last_buy_on": date(2030, 5, 25), "default_lead_days": 90.0}
    little = {"last_buy_on": date(2030, 5, 25), "default_lead_days": 45.0}

    assert part(site_of(*rows, Part(part="G", **until)), "G").jump_year == 2030  # type: ignore[arg-type]  # mixed kinds
    # 46 days are less than 1.5 x 31 = 46.5
    assert part(site_of(*rows, Part(part="G", **little)), "G").jump_year is None  # type: ignore[arg-type]  # same


def test_the_year_in_which_restoring_jumps_follows_the_curve() -> None:
    # p x 31 + (1 - p) x 366 reaches 46.5 once 1 - p >= 15.5 / 335.
    rows = [*crane(seat("gear", "G")), SHOP, new("G", 30), SHORT]
    row = Part(part="G", part_class="drives", introduced=ON_MARKET, default_lead_days=365.0)
    first = next(t for t in range(1, 31) if 1 - curve(t) >= 15.5 / 335)

    assert part(site_of(*rows, row), "G").jump_year == 2026 + first
