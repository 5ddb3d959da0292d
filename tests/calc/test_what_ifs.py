"""Each question of what if on sites of a few positions, with figures worked by hand.

The gear and its twin fail 0.1 times a year each, are exchanged in 16 hours at 16 a day and come in
60 days; one gear lies on the shelf. A day of a crane costs 100.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import exp

import pytest

from parts.errors import UnknownName
from parts.records.catalogue import Part, Substitute
from parts.records.history import Duty, Observation
from parts.records.snapshot import Snapshot
from parts.records.stock import Movement
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Offer, Supplier
from parts.records.what_if_answers import Question
from parts.services.risks import duty, exposures
from parts.services.what_if import (
    CannotAsk,
    ExcludeOneAnother,
    after_failure,
    ask,
    with_hours,
    with_loads,
    with_spares,
)
from tests.calc.small_snapshot import TODAY, snapshot_with
from tests.calc.upgrade_sites import effect, hoist_site

L_YEARS = 60.0 / 365.25


def twins(stock: int = 1, **files: object) -> Snapshot:
    rows = {
        "cranes": [
            Crane(crane=name, down_cost_per_day=100.0, hours_per_year=1000.0) for name in "CD"
        ],
        "functions": [Function(crane=name, function="lift", lost_share=1.0) for name in "CD"],
        "parts": [Part(part="GEAR")],
        "positions": [
            Position(
                crane=name, position="gear", part="GEAR", exchange_hours=16.0, failures_per_year=0.1
            )
            for name in "CD"
        ],
        "needs": [Need(crane=name, item="lift", needs="gear") for name in "CD"],
        "suppliers": [Supplier(supplier="S")],
        "offers": [Offer(supplier="S", part="GEAR", likely=60.0)],
        "movements": [Movement(date=date(2026, 1, 5), part="GEAR", qty=1, kind="opening", key="o")]
        * stock,
    }
    return snapshot_with(**(rows | files))  # type: ignore[arg-type]


def wait_days(units: int, failures_per_year: float) -> float:
    """Mean wait with so many units kept, replenished one for one: the backorders of a Poisson
    demand over the lead time, over its rate (E. W. Feeney and C. C. Sherbrooke 1966, from memory).
    """
    mean = failures_per_year * L_YEARS
    backorders = mean if units == 0 else mean - (1.0 - exp(-mean))
    return backorders / failures_per_year * 365.25


# A failure --------------------------------------------------------------------------------------


def test_a_failure_takes_the_spare_that_the_twin_would_have_had() -> None:
    site = twins()
    found = ask(exposures(site), Question("fail", places=(("C", "gear"),)))

    (outage,) = found.outages
    assert (outage.crane, outage.restore_days, outage.lost_days, outage.cost) == ("C", 1, 1, 100)
    assert {(c.crane, c.lost_days_now, c.lost_days_then) for c in found.changes} == {
        ("C", 1.0, 61.0),
        ("D", 1.0, 61.0),
    }
    assert found.exposure_days_now == pytest.approx(0.2 * (wait_days(1, 0.2) + 1.0))
    assert found.exposure_days_then == pytest.approx(0.2 * 61.0)
    assert found.notes == ("what it takes from the shelf is not ordered again in its place",)


def test_positions_that_fail_together_share_the_spare() -> None:
    found = ask(exposures(twins()), Question("fail", places=(("C", "gear"), ("D", "gear"))))

    assert [(each.crane, each.restore_days, each.cost) for each in found.outages] == [
        ("C", 1.0, 100.0),
        ("D", 61.0, 6100.0),
    ]


def test_a_failure_promises_what_stands_in_for_the_part() -> None:
    site = twins(
        0,
        parts=[Part(part="GEAR"), Part(part="LIKE")],
        substitutes=[Substitute(part="GEAR", substitute="LIKE")],
        movements=[Movement(date=date(2026, 1, 5), part="LIKE", qty=1, kind="opening", key="o")],
    )
    changed = after_failure(exposures(site), [("C", "gear")])

    assert [(row.part, row.qty, row.for_) for row in changed.reservations] == [
        ("LIKE", 1, "C/gear")
    ]


def test_a_failure_without_a_place_or_with_an_unknown_one_is_refused() -> None:
    exposed = exposures(twins())

    with pytest.raises(CannotAsk, match="name a position"):
        ask(exposed, Question("fail"))
    with pytest.raises(UnknownName, match=r"C/gaer.*did you mean gear"):
        ask(exposed, Question("fail", places=(("C", "gaer"),)))


# A spare ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("stock", [0, 1])
def test_one_spare_more_is_one_more_on_the_shelf(stock: int) -> None:
    site = twins(stock)
    found = ask(exposures(site), Question("spare", ("GEAR",), 1.0))
    after = ask(exposures(with_spares(site, "GEAR", 1.0)), Question("spare", ("GEAR",), 1.0))

    assert found.exposure_days_now == pytest.approx(0.2 * (wait_days(stock, 0.2) + 1.0))
    assert found.exposure_days_then == after.exposure_days_now
    if not stock:
        assert found.exposure_days_then == pytest.approx(0.2 * (wait_days(1, 0.2) + 1.0))
        assert {(c.lost_days_now, c.lost_days_then) for c in found.changes} == {(61.0, 1.0)}


def test_where_no_failure_takes_longer_the_year_decides_what_changes() -> None:
    found = ask(exposures(twins(1)), Question("spare", ("GEAR",), 1.0))

    assert [each.more_days for each in found.changes] == [0.0, 0.0]
    assert all(each.more_days_a_year < 0 for each in found.changes if each.more_days_a_year)


@pytest.mark.parametrize("units", [None, 0.0, -1.0, 1.5, 1001.0, float("nan"), float("inf")])
def test_units_that_are_no_whole_number_are_refused(units: float | None) -> None:
    with pytest.raises(CannotAsk, match="units are whole and 1 to 1,000"):
        with_spares(twins(), "GEAR", units)


# More hours -------------------------------------------------------------------------------------


def worn(shape: float = 1.0, hours_at_install: float | None = None) -> Snapshot:
    """One gear with a life in hours, two years in place at 1000 hours a year."""
    part = Part(part="GEAR", life_basis="hours", life_shape=shape, life_scale=5000.0)
    row = Position(crane="C", position="gear", part="GEAR", exchange_hours=16.0,
                   installed=TODAY - timedelta(days=730.5))  # fmt: skip
    return twins(0, parts=[part], positions=[replace(row, hours_at_install=hours_at_install)])


def test_twice_the_hours_double_the_failures_of_a_life_in_hours_without_wear() -> None:
    found = ask(exposures(worn()), Question("hours", number=2.0))

    # shape 1: a constant rate of 1000 hours a year over 5000, then of 2000; 61 days each
    assert found.exposure_days_now == pytest.approx(0.2 * 61.0, rel=1e-5)
    assert found.exposure_days_then == pytest.approx(0.4 * 61.0, rel=1e-5)
    assert found.exposure_cost_then == pytest.approx(2440.0, rel=1e-5)
    assert found.changes[0].more_days == 0.0


def test_the_hours_that_were_run_stay_run() -> None:
    site = worn(shape=3.0)
    exposed, later = exposures(site), exposures(with_hours(site, 2.0))
    run = exposed.likelihood.ages.hours[0]

    assert run == pytest.approx(2000.0, rel=1e-3)
    assert later.likelihood.ages.hours[0] == run
    assert later.likelihood.ages.year_of("hours")[0] == 2000.0


def test_a_meter_that_was_read_is_believed_when_the_hours_double() -> None:
    meter = Observation(crane="C", position="gear", date=TODAY, what="hours_meter", value="4321.5")
    site = replace(worn(hours_at_install=321.5), observations=(meter,))

    assert exposures(with_hours(site, 3.0)).likelihood.ages.hours[0] == 4000.0


def test_rates_a_year_stay_when_the_hours_double_and_that_is_said() -> None:
    found = ask(exposures(twins()), Question("hours", number=2.0))

    assert found.changed == 0
    assert found.exposure_days_then == found.exposure_days_now
    assert "rates a year and lives in years stay" in found.notes[0]


def test_more_hours_than_a_year_has_are_told() -> None:
    notes = ask(exposures(twins()), Question("hours", number=9.0)).notes

    assert notes[1:] == ("more hours than a year has: C, D",)


@pytest.mark.parametrize("factor", [None, 0.0, -2.0, 24.5, float("nan"), float("inf")])
def test_a_factor_of_the_hours_out_of_bounds_is_refused(factor: float | None) -> None:
    with pytest.raises(CannotAsk, match="above 0 and at most 24"):
        with_hours(twins(), factor)


# Working periods --------------------------------------------------------------------------------

HOIST = Duty(
    crane="C", mechanism="hoist", group="M4", hours_per_year=200.0, km=0.5, hours_used=800.0
)
USED_UP = Duty(
    crane="C", mechanism="travel", group="M1", hours_per_year=200.0, km=0.5, hours_used=400.0
)
UNKNOWN = Duty(crane="C", mechanism="bridge", hours_per_year=200.0)


@pytest.mark.parametrize("question", [Question("hours", number=2.0), Question("loads", number=1.0)])
def test_twice_the_use_ends_a_working_period_in_half_the_time(question: Question) -> None:
    site = twins(duty=[HOIST, USED_UP, UNKNOWN])
    (period,) = ask(exposures(site), question).periods

    # 400 of 800 full-load hours are left: four years at 100 a year, two at 200
    assert (period.mechanism, period.used_share) == ("hoist", 0.5)
    assert period.runs_out_now == TODAY + timedelta(days=1461)
    assert period.runs_out_then == TODAY + timedelta(days=730)


@pytest.mark.parametrize(("factor", "km"), [(1.5, 0.3), (2.0, 0.5), (3.0, 0.63), (0.5, 1.0)])
def test_a_changed_site_tells_the_working_periods_that_the_duty_list_tells(
    factor: float, km: float
) -> None:
    site = twins(duty=[HOIST, USED_UP, UNKNOWN, replace(HOIST, mechanism="x", km=0.3)])
    exposed = exposures(site)

    def ends(answers: object) -> list[object]:
        return [(each.mechanism, each.runs_out_on) for each in answers]  # type: ignore[attr-defined]

    assert ends(duty(exposures(with_hours(site, factor)))) == ends(duty(exposed, factor))
    assert ends(duty(exposures(with_loads(site, km)))) == ends(duty(exposed, 1.0, km))


@pytest.mark.parametrize("km", [None, 0.0, 1.1, float("nan")])
def test_a_load_spectrum_factor_out_of_bounds_is_refused(km: float | None) -> None:
    with pytest.raises(CannotAsk, match="above 0 and at most 1"):
        with_loads(twins(), km)


# Upgrades ---------------------------------------------------------------------------------------


def test_an_upgrade_that_halves_the_failures_halves_the_year() -> None:
    site = hoist_site(effect("U", "panel", factor=0.5))
    found = ask(exposures(site), Question("upgrade", ("U",)))
    (change,) = found.changes

    # 0.2 failures x 146.1 days; then 0.1 x 146.1
    assert (change.position, change.more_days) == ("panel", 0.0)
    assert change.year_days_now == pytest.approx(29.22)
    assert change.year_days_then == pytest.approx(14.61)
    assert found.exposure_cost_now - found.exposure_cost_then == pytest.approx(14.61 * 750.0)


def test_a_new_part_stands_beside_the_old_one() -> None:
    site = hoist_site(effect("U", "panel", new_part="NEW"))
    (change,) = ask(exposures(site), Question("upgrade", ("U",))).changes

    assert (change.part, change.part_then, change.present) == ("PANEL", "NEW", "both")
    assert change.lost_days_now == pytest.approx(146.1)
    assert change.lost_days_then == pytest.approx(36.525)
    assert change.year_days_then == pytest.approx(0.1 * 36.525)


def test_what_an_upgrade_takes_out_is_gone_and_what_it_fits_whole_is_new() -> None:
    site = hoist_site(effect("U", "hoist", new_part="NEW"))
    changes = ask(exposures(site), Question("upgrade", ("U",))).changes
    told = {each.position: each for each in changes}

    for name in ("motor", "brake 1", "brake 2"):
        assert (told[name].present, told[name].lost_days_then) == ("now", 0.0)
    assert (told["hoist"].present, told["hoist"].lost_days_now) == ("then", 0.0)
    assert told["hoist"].lost_days_then == pytest.approx(36.525)


def test_two_upgrades_of_one_position_are_not_asked_about_together() -> None:
    site = hoist_site(effect("U", "panel", new_part="NEW"), effect("V", "panel", factor=0.5))

    with pytest.raises(ExcludeOneAnother, match="U and V change one position"):
        ask(exposures(site), Question("upgrade", ("U", "V")))
    with pytest.raises(UnknownName, match="no upgrade is called 'W'"):
        ask(exposures(site), Question("upgrade", ("W",)))


# A crane that goes ------------------------------------------------------------------------------


def test_a_crane_out_for_good_loses_nothing_and_leaves_the_spare_to_its_twin() -> None:
    found = ask(exposures(twins()), Question("retire", ("D",)))

    assert found.exposure_days_now == pytest.approx(0.2 * (wait_days(1, 0.2) + 1.0))
    assert found.exposure_days_then == pytest.approx(0.1 * (wait_days(1, 0.1) + 1.0))
    assert [(each.crane, each.present, each.lost_days_then) for each in found.changes] == [
        ("D", "now", 0.0),
        ("C", "both", 1.0),
    ]


def test_a_crane_that_is_out_already_or_never_was_is_refused() -> None:
    exposed = exposures(twins(cranes=[Crane(crane="C"), Crane(crane="D", retire_on=TODAY)]))

    with pytest.raises(UnknownName, match="no live crane is called 'D'"):
        ask(exposed, Question("retire", ("D",)))
    with pytest.raises(UnknownName, match="no crane is called 'E'"):
        ask(exposed, Question("retire", ("E",)))
