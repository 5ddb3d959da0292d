"""How long a failure waits in the long run, reckoned with pencil and paper; the working stands
beside each figure."""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest
from rows import (
    A_DAY,
    RATE,
    SHOP,
    TODAY,
    YEAR,
    crane,
    gear,
    near,
    new,
    part,
    position,
    seat,
    site_of,
    stock,
)
from scipy.integrate import quad

from parts.records.catalogue import Companion, Part, Substitute
from parts.records.site import Setting
from parts.records.snapshot import Snapshot
from parts.records.stock import Reservation
from parts.records.structure import Crane
from parts.records.supply import Notice, Order

# Waits of one part ------------------------------------------------------------------------------


def one_in(units: int, days: float, rate: float = A_DAY) -> float:
    """Mean wait with so many units, one a use: integral of P(N(u) >= units) over the lead time,
    = EBO / rate with EBO = mean - units + sum of (units - n) p(n)."""
    mean = rate * days
    backorders = mean - units
    for n in range(units):
        backorders += (units - n) * math.exp(-mean) * mean**n / math.factorial(n)
    return backorders / rate


def wait(site: Snapshot, name: str = "gear") -> float | None:
    return position(site, name).expected_wait_days


def test_nothing_in_stock_waits_the_lead_time() -> None:
    row = position(gear(), "gear")

    assert row.expected_wait_days == near(100)
    assert row.expected_restore_days == near(101)
    assert row.waits_for == "G"


@pytest.mark.parametrize("units", [1, 2, 3])
def test_stock_that_is_replaced_as_used_waits_its_backorders_over_its_rate(units: int) -> None:
    assert wait(gear(stock("G", units))) == near(one_in(units, 100))


def test_one_in_stock_is_missing_while_an_earlier_use_is_on_its_way() -> None:
    # integral of 1 - exp(-0.73 u / 365.25) over 100 days: 100 - 500.3425 x (1 - exp(-0.1998631))
    assert wait(gear(stock("G", 1))) == near(100 - (1 - math.exp(-A_DAY * 100)) / A_DAY)


def test_orders_count_as_stock_unless_they_are_overdue() -> None:
    order = {"supplier": "S", "part": "G", "qty": 1, "ordered_on": date(2026, 9, 1)}
    due = Order(order="due", due_on=date(2027, 1, 1), **order)  # type: ignore[arg-type]  # mixed
    late = Order(order="late", due_on=date(2026, 11, 24), **order)  # type: ignore[arg-type]  # same

    assert wait(gear(due)) == near(one_in(1, 100))
    assert wait(gear(late)) == near(100)
    assert wait(gear(stock("G", 1), due, late)) == near(one_in(2, 100))


def test_stock_promised_away_is_no_stock() -> None:
    assert wait(gear(stock("G", 1), Reservation(part="G", qty=1, for_="overhaul"))) == near(100)


def test_the_wait_is_by_the_fastest_way_to_buy_or_make_never_by_a_donor_or_substitute() -> None:
    donor = [Crane(crane="OLD", retire_on=date(2026, 1, 1)), seat("gear", "G", crane="OLD")]
    other = [Part(part="H"), stock("H", 5), Substitute(part="G", substitute="H")]
    slow = new("G", 300, kind="made")

    assert wait(gear(*donor, *other, slow, Setting(key="donors", value="yes"))) == near(100)


def test_planned_use_empties_the_shelf_but_stops_no_crane() -> None:
    # 0.73 failures + 2.19 planned: together 4 x 0.73 a year
    plain = gear(stock("G", 1))
    planned = site_of(
        *crane(seat("gear", "G")), Part(part="G", planned_per_year=2.19), SHOP, new("G", 100),
        stock("G", 1),
    )  # fmt: skip

    assert part(planned, "G").demand_per_year == near(4 * RATE)
    assert wait(planned) == near(one_in(1, 100, 4 * A_DAY))
    assert (
        position(planned, "gear").failures_next_year == position(plain, "gear").failures_next_year
    )


# Batches, sets, chances, pools ------------------------------------------------------------------


def test_a_matched_pair_takes_two_at_a_time() -> None:
    # b = 2. S = 1: always the lead time. S = 2, 3: waits while any use lies in the last u days.
    # S = 4: while two do.
    pair = Companion(part="G", companion="G")

    assert wait(gear(pair, stock("G", 1))) == near(100)
    for units in (2, 3):
        assert wait(gear(pair, stock("G", units))) == near(one_in(1, 100))
    assert wait(gear(pair, stock("G", 4))) == near(one_in(2, 100))
    assert part(gear(pair), "G").demand_per_year == near(2 * RATE)


def gear_and_pinion(*more: Any, chance: float = 1.0) -> Snapshot:
    """A gear that comes in 40 days takes along a pinion that comes in 100."""
    return site_of(
        *crane(seat("gear", "G")), Part(part="G"), Part(part="P"), SHOP, new("G", 40),
        new("P", 100), Companion(part="G", companion="P", chance=chance), *more,
    )  # fmt: skip


def integral(late: Callable[[float], float]) -> float:
    """Over t, by small steps to the breakpoint at 40 days and on to 100."""
    return float(quad(late, 0, 40)[0] + quad(late, 40, 100)[0])


def none_in(days: float, rate: float = A_DAY) -> float:
    return math.exp(-rate * max(0.0, days))


def test_a_set_of_which_nothing_is_in_stock_waits_its_largest_lead() -> None:
    row = position(gear_and_pinion(), "gear")

    assert row.expected_wait_days == near(100)
    assert row.waits_for == "P"


def test_a_set_runs_out_together() -> None:
    # One of each, always taken together: late at t if any failure lies in the last 100 - t days.
    # As if independent: 1 - exp(-(40 - t)) exp(-(100 - t)), far more.
    site = gear_and_pinion(stock("G", 1), stock("P", 1))
    apart = integral(lambda t: 1 - none_in(40 - t) * none_in(100 - t))

    assert wait(site) == near(one_in(1, 100))
    assert (wait(site) or 0) < 0.9 * apart


def test_a_set_with_unlike_stocks_is_a_matter_of_nested_windows() -> None:
    # One gear, two pinions: served at t if none failed in the last 40 - t days and one at most in
    # the last 100 - t; before the gear's window opens, in the older 60 days.
    def late(t: float) -> float:
        older = A_DAY * min(60, 100 - t)
        return 1 - none_in(40 - t) * math.exp(-older) * (1 + older)

    assert wait(gear_and_pinion(stock("G", 1), stock("P", 2))) == near(integral(late))


def test_a_member_out_of_stock_is_a_floor() -> None:
    # No gear: nobody is served before day 40; after that the pinion decides.
    pinions = integral(lambda t: 1.0 if t < 40 else 1 - none_in(100 - t))

    assert wait(gear_and_pinion(stock("P", 1))) == near(pinions)


def test_a_companion_needed_by_chance_splits_the_failures_into_two_kinds() -> None:
    # A quarter of the failures take the pinion too. A failure that needs it is served at t if no
    # gear went in the last 40 - t days and no pinion in the last 100 - t.
    c = 0.25
    site = gear_and_pinion(stock("G", 1), stock("P", 1), chance=c)
    with_it = integral(
        lambda t: 1 - none_in(40 - t) * none_in(100 - t - max(0.0, 40 - t), c * A_DAY)
    )

    assert wait(site) == near((1 - c) * one_in(1, 40) + c * with_it)
    assert part(site, "P").demand_per_year == near(c * RATE)


def test_what_a_third_part_takes_at_once_is_one_event() -> None:
    # A shaft, 0.73 a year too, takes gear and pinion along: the pair is asked for 1.46 times a
    # year, each time whole; all three for the shaft, whose own shelf is full.
    more = [
        Part(part="T"), new("T", 10), stock("T", 50), seat("shaft", "T"),
        Companion(part="T", companion="G"), Companion(part="T", companion="P"),
    ]  # fmt: skip
    site = gear_and_pinion(stock("G", 1), stock("P", 1), *more)

    assert wait(site) == near(one_in(1, 100, 2 * A_DAY))
    assert wait(site, "shaft") == near(one_in(1, 100, 2 * A_DAY))


def test_companions_are_not_those_of_the_companion() -> None:
    more = [Part(part="X"), new("X", 400), Companion(part="P", companion="X")]

    assert wait(gear_and_pinion(*more)) == near(100)
    assert wait(gear_and_pinion(*more, seat("pinion", "P")), "pinion") == near(400)


def test_two_parts_that_replace_each_other_share_stock_rate_and_the_shorter_lead() -> None:
    more = [
        Part(part="H"), new("H", 50), stock("H", 1), stock("G", 1), seat("other", "H", 0.27),
        Substitute(part="H", substitute="G", both_ways=True, extra_hours=80.0),
    ]  # fmt: skip
    site = gear(*more)

    for name in ("gear", "other"):
        assert wait(site, name) == near(one_in(2, 50, 1.0 / YEAR))


def test_an_unapproved_pool_does_not_serve_where_load_hangs_on_it() -> None:
    more = [
        Part(part="H"), new("H", 50), stock("H", 1),
        seat("hook", "H", 0.27, load_bearing=True),
    ]  # fmt: skip
    either = {"part": "H", "substitute": "G", "both_ways": True}
    approved = Substitute(approval="engineer 3", **either)  # type: ignore[arg-type]  # mixed kinds

    assert wait(gear(*more, Substitute(**either))) == near(100)  # type: ignore[arg-type]  # same
    assert wait(gear(*more, approved)) == near(one_in(1, 50, 1.0 / YEAR))


# Assemblies -------------------------------------------------------------------------------------


def boxed(box_days: float | None, *more: Any, default: float | None = None) -> Snapshot:
    """A gear (100 days) inside a box that takes two days to exchange."""
    rows = crane(seat("box", "B", None, exchange_hours=32.0))
    offers = [] if box_days is None else [new("B", box_days)]
    return site_of(
        *rows, seat("gear", "G", parent="box"), Part(part="G"), SHOP, new("G", 100),
        Part(part="B", default_lead_days=default), *offers, *more,
    )  # fmt: skip


def test_the_assembly_is_exchanged_where_that_is_sooner_in_the_long_run() -> None:
    assert position(boxed(20), "gear").replaced == "box"
    assert position(boxed(20), "gear").expected_restore_days == near(22)
    assert position(boxed(200), "gear").replaced == "gear"


def test_what_is_restored_through_the_assembly_is_asked_of_it() -> None:
    # One box on the shelf, 200 days for the next: with the gear's failures on it its wait is 200 -
    # (1 - exp(-200 a)) / a = 35.3 days, still less than 100 for a gear.
    site = boxed(200, stock("B", 1))
    row = position(site, "gear")

    assert row.replaced == "box"
    assert row.expected_wait_days == near(one_in(1, 200))
    assert one_in(1, 200) < 100
    # The gear is asked for as before, since the box that came out is rebuilt.
    assert part(site, "G").demand_per_year == near(RATE)


def test_where_the_choice_flips_for_ever_the_tenth_stands() -> None:
    # Unasked the box waits 0 and is chosen; asked, its 700 days leave 274 and the gear is sooner,
    # then the box is unasked again. The first choice is the box, so the tenth is the gear.
    site = boxed(700, stock("B", 1))

    assert one_in(1, 700) > 100
    assert position(site, "gear").replaced == "gear"
    assert position(site, "gear").expected_wait_days == near(100)


def test_an_assembly_whose_lead_time_is_assumed_does_not_count_whatever_its_stock() -> None:
    row = position(boxed(None, stock("B", 5), default=10.0), "gear")

    assert row.replaced == "gear"
    assert row.expected_restore_days == near(101)


# What cannot be bought again --------------------------------------------------------------------


def last_gear(*more: Any, rate: float = 0.1, **facts: Any) -> Snapshot:
    """A gear that nobody offers; 200 days are assumed."""
    part = Part(part="G", default_lead_days=200.0)
    return site_of(*crane(seat("gear", "G", rate), **facts), part, *more)


def test_stock_that_is_not_replaced_covers_the_first_demands_only() -> None:
    # 15 years at 0.1: N of mean 1.5. Uncovered with one: 1.5 - 1 + exp(-1.5) of 1.5.
    uncovered = (1.5 - 1 + math.exp(-1.5)) / 1.5

    assert wait(last_gear()) == near(200)
    assert wait(last_gear(stock("G", 1))) == near(200 * uncovered)
    assert position(last_gear(stock("G", 1)), "gear").expected_restore_days == near(
        200 * uncovered + 1
    )


def test_it_has_to_last_until_the_crane_goes() -> None:
    # 3652 days: about ten years
    mean = 0.1 * 3652 / YEAR
    site = last_gear(stock("G", 1), retire_on=TODAY + timedelta(days=3652))
    shorter = last_gear(stock("G", 1), Setting(key="horizon_years", value="10"))

    assert wait(site) == near(200 * (mean - 1 + math.exp(-mean)) / mean)
    assert wait(shorter) == near(200 * (1.0 - 1 + math.exp(-1.0)) / 1.0)


def test_used_two_at_a_time_it_is_a_matter_of_units() -> None:
    # Mean 1.5 uses of 2 in 15 years, one unit in stock: E[(N - 1)+] = 3 - 1 + P(N = 0) of 3 units.
    site = last_gear(stock("G", 1), Companion(part="G", companion="G"))

    assert wait(site) == near(200 * (3 - 1 + math.exp(-1.5)) / 3)


def test_within_a_set_it_is_one_member_of_its_own() -> None:
    # A pinion in 40 days and none in stock; the gear lacks with the chance above and then takes
    # 200: 40 + chance x 160.
    uncovered = (1.5 - 1 + math.exp(-1.5)) / 1.5
    pinion = [Part(part="P"), SHOP, new("P", 40), Companion(part="G", companion="P")]

    assert wait(last_gear(stock("G", 1), *pinion)) == near(40 + uncovered * 160)


def test_a_last_day_ahead_leaves_it_replenished_for_now() -> None:
    offer = [
        SHOP, new("G", 30),
        Notice(part="G", notice_on=date(2026, 1, 1), kind="discontinuance",
               last_buy_on=date(2027, 6, 30)),
    ]  # fmt: skip

    assert wait(last_gear(*offer)) == near(30)
