"""How likely and how much, reckoned with pencil and paper; the working stands beside each figure.

Renewal functions of the Weibull with scale 1 were computed by two methods that agree to ten
digits; no printed table was seen.
"""

from __future__ import annotations

import math
from datetime import date, timedelta
from itertools import product
from typing import Any

import pytest
from rows import (
    RATE,
    SHOP,
    TODAY,
    YEAR,
    crane,
    gear,
    issues,
    near,
    new,
    part,
    position,
    ranked,
    seat,
    site_of,
)
from scipy.integrate import quad

from parts.records.catalogue import Part, PartClass
from parts.records.history import Failure, Observation
from parts.records.risk_answers import CraneRisk, PartRisk
from parts.records.site import Score, Setting
from parts.records.snapshot import Snapshot
from parts.records.stock import Movement
from parts.records.structure import Crane, Function, Need
from parts.records.supply import Notice, Offer, Supplier
from parts.services import risks
from parts.services.explanations import explain

TEN_YEARS_AGO = TODAY - timedelta(days=3652.5)


def year_of(site: Snapshot, name: str = "K") -> CraneRisk:
    return risks.crane_risk(risks.exposures(site), name)


def expected(site: Snapshot, name: str) -> tuple[float | None, str | None]:
    row = position(site, name)
    return row.failures_next_year, row.basis


# How likely -------------------------------------------------------------------------------------


def test_a_rate_of_the_position_holds_for_all_its_units_and_before_all_else() -> None:
    rows = crane(seat("brake", "B", 0.3, qty=2, installed=date(2020, 1, 1)))
    site = site_of(*rows, Part(part="B", life_basis="years", life_shape=3.0, life_scale=2.0))

    assert expected(site, "brake") == (0.3, "position")


def test_a_life_of_shape_1_gives_units_over_scale_at_any_age() -> None:
    rows = crane(seat("lamp", "L", None, qty=2, installed=date(2011, 3, 4)))
    site = site_of(*rows, Part(part="L", life_basis="years", life_shape=1.0, life_scale=4.0))

    assert expected(site, "lamp") == (near(2 / 4), "weibull")


@pytest.mark.parametrize(
    ("scale", "renewals"),
    # Weibull of shape 2 and scale 1: M(1) and M(0.5)
    [(1.0, 0.7536912775), (2.0, 0.2307938936)],
)
def test_a_unit_fitted_today_fails_as_often_as_it_is_renewed(scale: float, renewals: float) -> None:
    rows = crane(seat("wheel", "W", None, installed=TODAY))
    site = site_of(*rows, Part(part="W", life_basis="years", life_shape=2.0, life_scale=scale))

    failures, basis = expected(site, "wheel")

    assert basis == "weibull"
    assert failures == pytest.approx(renewals, rel=1e-6)


def test_an_old_unit_fails_by_the_age_it_has_reached_and_its_successors_from_new() -> None:
    # Shape 2, scale 10, 3652 days old. First life given that age, then lives from new; a fourth
    # failure within the year has a chance below 1e-9.
    age = 3652 / YEAR
    rows = crane(seat("wheel", "W", None, installed=TODAY - timedelta(days=3652)))
    site = site_of(*rows, Part(part="W", life_basis="years", life_shape=2.0, life_scale=10.0))

    def dead(t: float) -> float:
        return 1 - math.exp(-((t / 10) ** 2))

    def density(t: float) -> float:
        return 2 * t / 100 * math.exp(-((t / 10) ** 2))

    def twice(t: float) -> float:
        return float(quad(lambda s: density(s) * dead(t - s), 0, t)[0])

    def first(t: float) -> float:
        return 2 * (age + t) / 100 * math.exp((age / 10) ** 2 - ((age + t) / 10) ** 2)

    by_hand = quad(lambda t: first(t) * (1 + dead(1 - t) + twice(1 - t)), 0, 1)[0]

    failures, basis = expected(site, "wheel")

    assert basis == "weibull"
    assert failures == pytest.approx(by_hand, rel=1e-6)


def test_age_runs_from_the_last_restore_at_the_position() -> None:
    rows = crane(seat("wheel", "W", None, installed=date(2001, 1, 1)))
    life = Part(part="W", life_shape=2.0, life_scale=1.0, life_basis="years")
    known = Failure(crane="K", position="wheel", failed_on=date(2026, 11, 1), restored_on=TODAY)
    # The one failure has an age too, so the scale is fitted with the shape held at 2:
    # scale^2 = age^2 + 0, since the unit in place has run 0 years; 9435 days.
    scale = 9435 / YEAR
    site = site_of(*rows, life, known)

    failures, basis = expected(site, "wheel")

    assert (date(2026, 11, 1) - date(2001, 1, 1)).days == 9435
    assert part(site, "W").life is not None
    assert part(site, "W").life.scale == near(scale)  # type: ignore[union-attr]  # asserted above
    assert basis == "weibull"
    # M(t) of shape 2 for small t = t^2 - t^4 / 3 + ...
    t = 1 / scale
    assert failures == pytest.approx(t**2 - t**4 / 3, rel=1e-5)


def test_hours_come_from_the_meter_and_run_on_since() -> None:
    # 5000 on the meter a year and a day ago (366 days), 200 when fitted; 2000 hours a year since.
    life = Part(part="M", life_basis="hours", life_shape=2.0, life_scale=20_000.0)
    rows = crane(seat("motor", "M", None, hours_at_install=200.0), hours_per_year=2000.0)
    seen = Observation(
        crane="K", position="motor", date=date(2025, 11, 24), what="hours_meter", value="5000"
    )
    age, span = (4800 + 2000 * 366 / YEAR) / 20_000, 2000 / 20_000

    failures, basis = expected(site_of(*rows, life, seen), "motor")

    def density(t: float) -> float:
        return 2 * (age + t) * math.exp(age**2 - (age + t) ** 2)

    # A third failure within the year has a chance below 1e-7.
    by_hand = quad(lambda t: density(t) * (2 - math.exp(-((span - t) ** 2))), 0, span)[0]

    assert basis == "weibull"
    assert failures == pytest.approx(by_hand, rel=1e-5)


def own_records(*more: Any) -> Snapshot:
    """Recorded since 25 November 2016: 3652 days; one position with two units, prior 0.2."""
    rows = crane(seat("pump", "P", None, qty=2), commissioned=date(2000, 1, 1))
    return site_of(
        *rows, Part(part="P", failures_per_year=0.2),
        Setting(key="records_from", value="2016-11-25"), *more,
    )  # fmt: skip


def test_own_records_move_the_stated_rate() -> None:
    # Gamma(1, 1/0.2 = 5), one failure in 2 x 3652 / 365.25 unit-years: 2 / (5 + T) a unit.
    # Gamma of shape 2: P(X > x) = exp(-x) (1 + x).
    years = 5 + 2 * 3652 / YEAR
    failed = Failure(crane="K", position="pump", failed_on=date(2020, 5, 5))
    site = own_records(failed)
    rate = part(site, "P")

    assert expected(site, "pump") == (near(2 * 2 / years), "own")
    assert rate.rate_mean == near(2 / years)
    for limit, chance in ((rate.rate_low, 0.95), (rate.rate_high, 0.05)):
        x = (limit or 0) * years
        assert math.exp(-x) * (1 + x) == near(chance)


def test_years_without_a_failure_move_it_too() -> None:
    years = 5 + 2 * 3652 / YEAR
    site = own_records()

    assert expected(site, "pump") == (near(2 * 1 / years), "own")
    assert part(site, "P").rate_low == near(-math.log(0.95) / years)
    assert part(site, "P").rate_high == near(-math.log(0.05) / years)


def test_what_failed_before_the_records_or_where_a_rate_is_given_teaches_nothing() -> None:
    early = Failure(crane="K", position="pump", failed_on=date(2016, 11, 24))
    apart = seat("spare pump", "P", 0.9)
    there = Failure(crane="K", position="spare pump", failed_on=date(2020, 1, 1))

    assert expected(own_records(early, apart, there), "pump") == expected(own_records(), "pump")


def test_a_retired_crane_counts_until_it_went_and_a_young_one_from_when_it_came() -> None:
    # 2 x 3652 days as before, 1000 days of OLD, 365 of YOUNG.
    old = [
        Crane(crane="OLD", commissioned=date(2000, 1, 1),
              retire_on=date(2016, 11, 25) + timedelta(days=1000)),
        seat("pump", "P", None, crane="OLD"),
    ]  # fmt: skip
    young = [
        Crane(crane="YOUNG", commissioned=TODAY - timedelta(days=365)),
        seat("pump", "P", None, crane="YOUNG"),
    ]
    years = 5 + (2 * 3652 + 1000 + 365) / YEAR

    assert part(own_records(*old, *young), "P").rate_mean == near(1 / years)


def test_without_failures_and_without_a_date_nothing_is_learned() -> None:
    usual = PartClass(part_class="pumps", failures_per_year=0.4)
    rows = crane(
        seat("stated", "P", None), seat("usual", "Q", None, qty=3), seat("none", "R", None)
    )
    site = site_of(
        *rows, usual, Part(part="P", part_class="pumps", failures_per_year=0.2),
        Part(part="Q", part_class="pumps"), Part(part="R"),
    )  # fmt: skip

    assert expected(site, "stated") == (near(0.2), "stated")
    assert expected(site, "usual") == (near(1.2), "class")
    assert expected(site, "none") == (None, None)
    assert part(site, "R").rate_mean is None


def test_a_life_of_the_class_counts_only_where_the_part_states_nothing() -> None:
    usual = PartClass(part_class="lamps", life_basis="years", life_scale=8.0, life_shape=1.0)
    rows = crane(
        seat("silent", "P", None, installed=date(2020, 1, 1)),
        seat("rated", "Q", None, installed=date(2020, 1, 1)),
    )
    site = site_of(
        *rows, usual, Part(part="P", part_class="lamps"),
        Part(part="Q", part_class="lamps", failures_per_year=0.3),
    )  # fmt: skip

    assert expected(site, "silent") == (near(1 / 8), "weibull")
    assert expected(site, "rated") == (near(0.3), "stated")


def test_an_assembly_fails_by_what_is_inside_unless_it_states_a_rate() -> None:
    rows = crane(seat("box", "B", None), seat("rated box", "B", 0.1))
    inside = [seat("gear", "G", 0.2, parent="box"), seat("shaft", "G", 0.2, parent="rated box")]
    site = site_of(*rows, *inside, Part(part="B", failures_per_year=5.0), Part(part="G"))

    assert expected(site, "box") == (0.0, None)
    assert expected(site, "rated box") == (0.1, "position")


# Planned use ----------------------------------------------------------------------------------


def test_planned_use_is_read_from_the_issues() -> None:
    # Issues of 2, 4, 3 in January, March and April 2025 .. and 2 in October 2026, the last
    # complete month; 22 months. Croston: sizes 2 -> 2.2 -> 2.28 -> 2.252; intervals 2 -> 1.9 ->
    # 1.9 + 0.1 (18 - 1.9) = 3.51. (1 - 0.1 / 2) x 2.252 / 3.51 a month, 12 times that a year.
    rows = issues("G", 0, 2, 3, 21, qty=(2, 4, 3, 2))
    site = gear(*rows)

    assert part(site, "G").demand_per_year == near(RATE + 12 * 0.95 * 2.252 / 3.51)


def test_use_that_may_be_dying_is_estimated_month_by_month() -> None:
    # Issues in January, March and April 2025: 22 months / 3 = 7.33 between issues, and the last is
    # 18 months ago, more than twice that. Chance 1/2 at the second issue, up 0.1 of the way to 1 in
    # April: 0.55, then 18 months down by a tenth each. Sizes 2 -> 2.2 -> 2.28.
    site = gear(*issues("G", 0, 2, 3, qty=(2, 4, 3)))

    assert part(site, "G").demand_per_year == near(RATE + 12 * 2.28 * 0.55 * 0.9**18)


@pytest.mark.parametrize(
    ("months", "sizes", "kind"),
    [
        (range(22), (1, 2) * 11, "smooth"),  # CV^2 = 0.25 / 2.25 = 0.11
        (range(22), (1, 9) * 11, "erratic"),  # 16 / 25 = 0.64
        (range(0, 22, 3), (1, 2) * 4, "intermittent"),  # 22 / 8 = 2.75 months
        (range(0, 22, 3), (1, 9) * 4, "lumpy"),
    ],
)
def test_demand_is_classed_by_how_often_and_how_evenly(
    months: range, sizes: tuple[int, ...], kind: str
) -> None:
    assert part(gear(*issues("G", *months, qty=sizes)), "G").demand_class == kind


def test_one_month_with_issues_says_nothing() -> None:
    site = gear(*issues("G", 4))

    assert part(site, "G").demand_class is None
    assert part(site, "G").demand_per_year == near(RATE)


def test_issues_that_served_a_failure_or_were_undone_are_no_planned_use() -> None:
    rows = issues("G", 0, 6, 12, 18)
    fail = Failure(crane="K", position="gear", failed_on=date(2025, 7, 1),
                   restored_on=date(2025, 7, 20), part="G")  # fmt: skip
    served = [row for row in rows if row.date != date(2025, 7, 10)]
    served.append(Movement(date=date(2025, 7, 10), part="G", qty=-1, kind="issue", key="served",
                           crane="K", position="gear"))  # fmt: skip
    wrong = [
        Movement(date=date(2025, 9, 1), part="G", qty=-1, kind="issue", key="wrong"),
        Movement(
            date=date(2025, 9, 2), part="G", qty=1, kind="reversal", key="u", reverses="wrong"
        ),
    ]
    without = [row for row in rows if row.date != date(2025, 7, 10)]

    mixed = part(gear(*served, fail, *wrong), "G").demand_per_year
    assert mixed == near(part(gear(*without), "G").demand_per_year)


# Weights, exposure, cranes ----------------------------------------------------------------------


def twins(rate: float = RATE, days: float = 99.0, cost: float | None = 100.0) -> Snapshot:
    """Two drives of which one is enough."""
    return site_of(
        Crane(crane="K", down_cost_per_day=cost),
        Function(crane="K", function="travel", lost_share=1.0),
        *(seat(name, "D", rate) for name in ("drive 1", "drive 2")),
        *(Need(crane="K", item="travel", needs=name, group="drives", at_least=1)
          for name in ("drive 1", "drive 2")),
        Part(part="D"), SHOP, new("D", days),
    )  # fmt: skip


def test_a_joint_outage_of_twins_is_counted_once() -> None:
    # 99 + 1 days, 0.73 a year: rho = 0.19986, u = rho / (1 + rho). Each takes half of what is lost
    # while the other is out too: u / 2. Over both: 2 u (u / 2) = u^2, the chance of both out.
    rho = RATE * 100 / YEAR
    u = rho / (1 + rho)
    site = twins()

    for name in ("drive 1", "drive 2"):
        assert position(site, name).weight == near(u / 2)
        assert position(site, name).exposure_days == near(RATE * 100 * u / 2)
    lost = {
        out: u ** sum(out) * (1 - u) ** (2 - sum(out)) * all(out)
        for out in product((0, 1), repeat=2)
    }
    assert 2 * u * (u / 2) == near(sum(lost.values()))


def test_the_explained_share_of_a_twin_names_the_other() -> None:
    terms = explain(risks.exposures(twins()), "K/drive 1").terms

    assert any("drive 2" in term.value + term.record for term in terms)


def test_a_twin_that_nobody_can_restore_is_named_where_it_weighs() -> None:
    drives = {"drive 1": "D", "drive 2": "ODD"}
    site = site_of(
        Crane(crane="K", down_cost_per_day=100.0),
        Function(crane="K", function="travel", lost_share=1.0),
        *(seat(name, held) for name, held in drives.items()),
        *(Need(crane="K", item="travel", needs=name, group="g", at_least=1) for name in drives),
        Part(part="D"), Part(part="ODD"), SHOP, new("D", 99),
    )  # fmt: skip
    terms = explain(risks.exposures(site), "K/drive 1").terms

    assert position(site, "drive 1").weight == near(0.5)
    assert any("drive 2" in term.value for term in terms)


def test_two_of_three_lose_work_once_a_second_is_out() -> None:
    # One other out, 2 u (1 - u): half of it each. Both others out, u^2: a third.
    rho = RATE * 100 / YEAR
    u = rho / (1 + rho)
    names = ("drive 1", "drive 2", "drive 3")
    site = site_of(
        Crane(crane="K"), Function(crane="K", function="travel", lost_share=1.0),
        *(seat(name, "D") for name in names),
        *(Need(crane="K", item="travel", needs=name, group="drives", at_least=2) for name in names),
        Part(part="D"), SHOP, new("D", 99),
    )  # fmt: skip

    assert position(site, "drive 3").weight == near(2 * u * (1 - u) / 2 + u**2 / 3)
    assert year_of(site).unavailability == near(3 * u**2 * (1 - u) + u**3)
    assert len(year_of(site).cut_sets) == 3


def test_what_alone_stops_as_much_as_both_twins_keeps_its_share_and_counts_as_up() -> None:
    # A cable that both drives need: 1 for itself, and u / 2 for each drive as without it.
    rho = RATE * 100 / YEAR
    u = rho / (1 + rho)
    names = ("drive 1", "drive 2")
    site = site_of(
        Crane(crane="K"), Function(crane="K", function="travel", lost_share=1.0),
        *(seat(name, "D") for name in (*names, "cable")),
        *(Need(crane="K", item="travel", needs=name, group="drives", at_least=1) for name in names),
        *(Need(crane="K", item=name, needs="cable") for name in names),
        Part(part="D"), SHOP, new("D", 99),
    )  # fmt: skip

    assert position(site, "cable").weight == near(1)
    assert position(site, "drive 1").weight == near(u / 2)
    assert set(year_of(site).cut_sets) == {("cable",), names}


def test_the_crane_is_down_when_both_are_and_each_matters_as_much() -> None:
    rho = RATE * 100 / YEAR
    u = rho / (1 + rho)
    year = year_of(twins())

    assert year.cut_sets == (("drive 1", "drive 2"),)
    assert year.unavailability == near(u**2)
    for each in year.importance:
        assert each.birnbaum == near(u)
        assert each.criticality == near(1)
        assert each.fussell_vesely == near(1)
    lost = 2 * rho * u / 2
    assert year.lost_days_per_year == near(YEAR * lost / (1 + lost))
    assert any("understates" in note or "share" in note for note in year.notes)


def test_overlapping_outages_never_add_up_to_more_than_a_year() -> None:
    # Three single positions, each out 101 days at 4 a year: 3 x 404 / 365.25 = 3.318.
    rows = crane(*(seat(name, "G", 4.0) for name in ("a", "b", "c")))
    site = site_of(*rows, Part(part="G"), SHOP, new("G", 100))
    lost = 3 * 4.0 * 101 / YEAR

    assert year_of(site).lost_days_per_year == near(YEAR * lost / (1 + lost))
    assert sum(position(site, name).exposure_days or 0 for name in "abc") == near(1212)


def test_unavailability_and_importances_of_a_chain_of_two() -> None:
    # u1 = 0.5 x 101 / 365.25 = 0.13826 / 1.13826, u2 the same with 0.25 failures.
    rows = crane(seat("a", "G", 0.5), seat("b", "G", 0.25))
    year = year_of(site_of(*rows, Part(part="G"), SHOP, new("G", 100)))
    rho = {"a": 0.5 * 101 / YEAR, "b": 0.25 * 101 / YEAR}
    u = {name: r / (1 + r) for name, r in rho.items()}
    down = u["a"] + u["b"] - u["a"] * u["b"]

    assert year.unavailability == near(down)
    assert set(year.cut_sets) == {("a",), ("b",)}
    for each in year.importance:
        other = "b" if each.position == "a" else "a"
        assert each.birnbaum == near(1 - u[other])
        assert each.criticality == near((1 - u[other]) * u[each.position] / down)
        assert each.fussell_vesely == near(u[each.position] / down)


def test_exposure_is_failures_times_days_times_share_times_what_a_day_costs() -> None:
    rows = crane(seat("gear", "G"), cost=1000.0, cover_share=0.4)
    rows[1] = Function(crane="K", function="hoisting", lost_share=0.5)
    site = site_of(*rows, Part(part="G"), SHOP, new("G", 100))
    row = position(site, "gear")

    assert row.weight == near(0.5)
    assert row.exposure_days == near(0.73 * 101 * 0.5)
    assert row.exposure_cost == near(0.73 * 101 * 0.5 * 1000 * 0.6)


def test_a_crane_without_a_cost_counts_no_money_and_ranks_by_days() -> None:
    rows = crane(seat("a", "A", 0.1), seat("b", "B", 0.2), cost=None)
    site = site_of(*rows, Part(part="A"), Part(part="B"), SHOP, new("A", 10), new("B", 10))

    assert ranked(site, "A").exposure_cost == 0
    assert [row.part for row in risks.risks(risks.exposures(site))] == ["B", "A"]


def test_what_is_not_known_stands_at_the_head_then_money_then_days_then_name() -> None:
    # DEAR and TWIN cost alike; CHEAP loses more days on a crane that costs less.
    dear = crane(seat("dear", "DEAR", 0.2), seat("twin", "TWIN", 0.2), seat("odd", "ODD", None))
    cheap = crane(seat("cheap", "CHEAP", 0.3, crane="L"), crane="L", cost=1.0)
    parts = [Part(part=name) for name in ("DEAR", "TWIN", "CHEAP", "ODD")]
    offers = [new(name, 30) for name in ("DEAR", "TWIN", "CHEAP")]
    site = site_of(*dear, *cheap, *parts, SHOP, *offers)
    ranking = risks.risks(risks.exposures(site))

    assert [row.part for row in ranking] == ["ODD", "DEAR", "TWIN", "CHEAP"]
    assert ranking[0].exposure_days is None
    assert ranking[0].exposure_cost is None
    assert ranking[0].unknown_positions
    assert [row.top10_share for row in ranking] == [1.0] * 4


def test_a_part_known_at_one_position_only_counts_that_one_and_names_the_other() -> None:
    rows = crane(seat("known", "G"), seat("unknown", "G", None))
    row = ranked(site_of(*rows, Part(part="G"), SHOP, new("G", 100)), "G")

    assert row.exposure_days == near(RATE * 101)
    assert len(row.unknown_positions) == 1
    assert "unknown" in row.unknown_positions[0]


def test_the_worst_crane_is_where_one_failure_costs_most_days() -> None:
    rows = [*crane(seat("gear", "G")), *crane(seat("gear", "G", crane="L"), crane="L")]
    rows[5] = Function(crane="L", function="hoisting", lost_share=0.5)
    row = ranked(site_of(*rows, Part(part="G"), SHOP, new("G", 100)), "G")

    assert (row.worst_crane, row.worst_lost_days) == ("K", near(101))


# Scores -----------------------------------------------------------------------------------------


def scored(*more: Any, installed: date | None = TEN_YEARS_AGO, **facts: Any) -> PartRisk:
    rows = crane(seat("gear", "G", 0.1, installed=installed))
    row = Part(part="G", part_class="gears", **facts)
    return ranked(site_of(*rows, row, SHOP, *more), "G")


def values(risk: PartRisk) -> dict[str, float | None]:
    return {each.driver: each.value for each in risk.drivers}


def test_three_drivers_by_their_points() -> None:
    # Age: 3652 days of a mean life of 20 years = 0.4999: 20 x 0.4999 / 0.5 = 19.997.
    # Sources: one: 75. Lead: 60 days, half way from 30 (25) to 90 (55): 40.
    risk = scored(new("G", 60), life_basis="years", life_shape=1.0, life_scale=20.0)
    age = 3652 / YEAR / 20

    assert values(risk) == {"age": near(20 * age / 0.5), "sources": 75.0, "lead_time": near(40)}
    assert risk.supply_score == near(0.3 * 20 * age / 0.5 + 0.35 * 75 + 0.35 * 40)


def test_age_is_the_larger_of_life_used_and_years_on_the_market() -> None:
    # 25 years on a market of 20: 1.25, half way from 70 to 100. Rate 0.05: life 20, share 0.5.
    usual = PartClass(part_class="gears", market_scale=20.0, market_shape=2.0)
    since = TODAY - timedelta(days=9131)
    risk = scored(new("G", 60), usual, failures_per_year=0.05, introduced=since)

    assert values(risk)["age"] == near(70 + 30 * (9131 / YEAR / 20 - 1) / 0.5)


def test_an_unknown_age_drops_out_and_the_other_weights_scale_up() -> None:
    risk = scored(new("G", 60), installed=None)

    assert values(risk)["age"] is None
    assert risk.supply_score == near((0.35 * 75 + 0.35 * 40) / 0.7)
    assert sum(each.weight for each in risk.drivers if each.value is not None) == near(1)


def test_nobody_and_never_are_the_worst() -> None:
    risk = scored(installed=None)

    assert values(risk) == {"age": None, "sources": 100.0, "lead_time": 100.0}
    assert risk.supply_score == near(100)


def test_sources_are_active_suppliers_with_an_offer_that_can_be_used() -> None:
    others = [
        Supplier(supplier="T"), Supplier(supplier="U", active=False), Supplier(supplier="V"),
        Offer(supplier="T", part="G", likely=90.0, kind="made"),
        Offer(supplier="T", part="G", likely=90.0),
        Offer(supplier="U", part="G", likely=9.0), Offer(supplier="V", part="G", likely=9.0),
        Notice(part="G", supplier="V", notice_on=date(2026, 1, 1), kind="discontinuance",
               last_buy_on=date(2026, 6, 30)),
    ]  # fmt: skip
    risk = scored(new("G", 60), *others)

    assert values(risk)["sources"] == 40.0
    assert values(risk)["lead_time"] == near(40)


def test_the_site_has_its_own_weights_and_points() -> None:
    own = [
        Score(driver="age", weight=0.0, points="0:0+1:100"),
        Score(driver="sources", weight=0.25, points="0:100+1:10"),
        Score(driver="lead_time", weight=0.75, points="0:0+100:100"),
    ]
    risk = scored(new("G", 60), *own, installed=None)

    assert risk.supply_score == near(0.25 * 10 + 0.75 * 60)
