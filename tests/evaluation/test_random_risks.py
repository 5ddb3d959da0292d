"""Small books made by chance: rates, waits, exposures, importances and scores are those of the
slow evaluation. Waits are integrals there and here; they agree within 1e-6 of themselves."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property

import pytest
import slow_rates
import slow_risks
import slow_waits
from random_books import TODAY
from random_histories import random_history
from slow import hours_of, must_fit_everywhere
from slow_failures import ancestry, listed
from slow_rates import YEAR

from parts.calc.ranking.exposures import Exposures
from parts.records.risk_answers import CraneRisk, LikelyAnswer, PartRisk, PositionRisk
from parts.records.snapshot import Snapshot, snapshot_of
from parts.records.structure import Position
from parts.services import risks

SEEDS = range(90)
GROUP_HOURS = {"M3": 400.0, "M5": 1600.0, "M6": 3200.0}


def same(figure: float | None) -> object:
    return None if figure is None else pytest.approx(float(figure), rel=1e-6, abs=1e-8)


@dataclass
class Case:
    seed: int

    @cached_property
    def site(self) -> Snapshot:
        return snapshot_of(random_history(self.seed), TODAY)

    @cached_property
    def exposed(self) -> Exposures:
        return risks.exposures(self.site)

    @cached_property
    def likely(self) -> LikelyAnswer:
        return risks.likely(self.exposed)

    @cached_property
    def ranking(self) -> tuple[PartRisk, ...]:
        return risks.risks(self.exposed)

    @cached_property
    def positions(self) -> list[tuple[PositionRisk, Position]]:
        rows = {(row.crane, row.position): row for row in listed(self.site)}
        return [(risk, rows[risk.crane, risk.position]) for risk in self.likely.positions]

    @cached_property
    def cranes(self) -> list[CraneRisk]:
        live = [crane for crane in self.site.cranes if self.site.is_live(crane)]
        return [risks.crane_risk(self.exposed, crane) for crane in live]


CASES = {seed: Case(seed) for seed in SEEDS}


@pytest.fixture(params=SEEDS)
def case(request: pytest.FixtureRequest) -> Case:
    return CASES[request.param]


# Positions --------------------------------------------------------------------------------------


def test_every_listed_position_has_its_failures_and_what_they_rest_on(case: Case) -> None:
    wanted = {(row.crane, row.position) for row in listed(case.site)}

    assert {(risk.crane, risk.position) for risk in case.likely.positions} == wanted
    for risk, row in case.positions:
        failures, basis = slow_rates.failures_next_year(case.site, row)
        assert risk.basis == basis, row
        assert risk.failures_next_year == same(failures), row


def test_long_run_waits_are_the_integrals_over_all_numbers_of_earlier_events(case: Case) -> None:
    chosen = slow_waits.long_run(case.site)[1]

    for risk, row in case.positions:
        best = chosen.get((row.crane, row.position))
        assert risk.expected_wait_days == same(best.wait if best else None), row
        assert risk.expected_restore_days == same(best.days if best else None), row
        if best is not None:
            assert same_days(case.site, row, risk.replaced) == same(best.days), row


def same_days(site: Snapshot, row: Position, replaced: str) -> float | None:
    """Exchanging what the program exchanges is as quick; which of two equals may differ."""
    demand, chosen = slow_waits.long_run(site)
    if replaced == chosen[row.crane, row.position].row.position:
        return chosen[row.crane, row.position].days
    place = next(p for p in ancestry(site, (row.crane, row.position))
                 if p.position == replaced)  # fmt: skip
    wait = demand.wait(place.part or "")
    hands_on = hours_of(site, place) / site.site.hours_per_day
    return None if wait is None else wait + hands_on


def test_exposures_weigh_each_outage_by_every_set_of_failures_beside_it(case: Case) -> None:
    for risk, row in case.positions:
        try:
            want = slow_risks.exposure(case.site, row)
        except slow_risks.TooLarge:
            continue
        assert risk.weight == same(want.weight), row
        assert risk.exposure_days == same(want.days), row
        assert risk.exposure_cost == same(want.cost), row


# Cranes -----------------------------------------------------------------------------------------


def test_cranes_are_as_every_set_of_failed_positions_says(case: Case) -> None:
    for crane in case.cranes:
        try:
            want = slow_risks.crane_year(case.site, crane.crane)
        except slow_risks.TooLarge:
            continue
        assert crane.lost_days_per_year == same(want.lost_days), crane.crane
        assert crane.unavailability == same(want.unavailability), crane.crane
        assert {frozenset(cut) for cut in crane.cut_sets} == want.cut_sets, crane.crane
        if want.unavailability is None:
            continue
        given = {each.position: each for each in crane.importance}
        for name, importance in want.importance.items():
            each = given[name]
            assert each.birnbaum == same(importance.birnbaum), name
            assert each.criticality == same(importance.criticality), name
            assert each.fussell_vesely == same(importance.fussell_vesely), name


def test_cut_sets_of_order_three_are_found_on_demand(case: Case) -> None:
    for crane in case.cranes[:1]:
        try:
            want = slow_risks.crane_year(case.site, crane.crane, order=3)
        except slow_risks.TooLarge:
            continue
        found = risks.crane_risk(case.exposed, crane.crane, order=3).cut_sets

        assert {frozenset(cut) for cut in found} == want.cut_sets


def test_what_sits_in_no_cut_set_has_no_importance(case: Case) -> None:
    for crane in case.cranes:
        if not crane.unavailability:
            continue
        for each in crane.importance:
            assert 0 <= each.criticality <= each.fussell_vesely + 1e-9
            assert each.fussell_vesely <= 1 + 1e-9


# Parts ------------------------------------------------------------------------------------------


def test_rates_and_lives_of_parts_follow_the_records(case: Case) -> None:
    for part in case.likely.parts:
        rate, life = (
            slow_rates.rate_of(case.site, part.part),
            slow_rates.life_of(case.site, part.part),
        )
        assert part.rate_mean == same(rate.mean if rate else None), part.part
        if rate is not None and rate.updated:
            assert part.rate_low == same(rate.low), part.part
            assert part.rate_high == same(rate.high), part.part
        assert (part.life is None) == (life is None), part.part
        if part.life is not None and life is not None:
            assert part.life.shape == same(life.shape), part.part
            assert part.life.scale == same(life.scale), part.part
            assert (part.life.scale_low is not None) == life.fitted, part.part


def test_demand_is_pooled_over_positions_companions_and_planned_use(case: Case) -> None:
    for part in case.likely.parts:
        asked = slow_rates.asked_for(case.site, part.part)

        assert part.demand_per_year == same(slow_waits.units_a_year(case.site, part.part))
        assert part.demand_class == (None if asked is None else asked.demand_class), part.part


def test_parts_can_be_had_as_long_as_one_way_is_left(case: Case) -> None:
    for part in case.likely.parts:
        bears = must_fit_everywhere(case.site, part.part)
        for years, chance in part.obtainable.items():
            want = slow_rates.obtainable(case.site, part.part, years, bears)
            assert chance == same(want), f"{part.part} in {years} years"


def test_scores_are_read_off_the_value_functions(case: Case) -> None:
    for part in case.ranking:
        want = slow_risks.drivers(case.site, part.part)

        assert {each.driver: each.value for each in part.drivers} == {
            name: same(value) for name, value in want.items()
        }, part.part
        assert part.supply_score == same(slow_risks.supply_score(case.site, part.part))


def test_a_part_takes_what_its_positions_take(case: Case) -> None:
    for part in case.ranking:
        mine = [risk for risk in case.likely.positions if risk.part == part.part]

        assert part.positions == len(mine)
        assert part.exposure_days == same(summed(risk.exposure_days for risk in mine)), part.part
        assert part.exposure_cost == same(summed(risk.exposure_cost for risk in mine)), part.part
        assert part.failures_next_year == same(summed(risk.failures_next_year for risk in mine))
        assert len(part.unknown_positions) == sum(risk.exposure_days is None for risk in mine)


def summed(figures: Iterable[float | None]) -> float | None:
    """What is not known counts nothing; all unknown stays unknown."""
    known = [figure for figure in figures if figure is not None]
    return math.fsum(known) if known else None


def test_parts_stand_in_the_order_of_money_then_days_then_name(case: Case) -> None:
    costed = any(
        case.site.is_live(crane.crane) and crane.down_cost_per_day is not None
        for crane in case.site.cranes.values()
    )
    keys = [
        (
            part.exposure_days is not None,
            -(part.exposure_cost or 0.0) if costed else 0.0,
            -(part.exposure_days or 0.0),
            part.part,
        )
        for part in case.ranking
    ]

    assert keys == sorted(keys)


def test_the_first_ten_are_ten_in_every_draw(case: Case) -> None:
    shares = [part.top10_share for part in case.ranking]

    assert math.fsum(shares) == pytest.approx(min(10, len(shares)))


# Duty -------------------------------------------------------------------------------------------


def test_working_periods_are_hours_times_the_cubed_loads(case: Case) -> None:
    rows = {row.crane: row for row in case.site.duty}
    answers = risks.duty(case.exposed)

    for answer in answers:
        row = rows[answer.crane]
        km = row.km if row.km is not None else km_of(row.spectrum)
        factor = None if km is None else km * row.method_factor
        known = factor is not None and row.hours_used is not None
        used = row.hours_used * factor if known else None  # type: ignore[operator]  # known says so
        hours = GROUP_HOURS.get(row.group or "")
        assert answer.km == same(km)
        assert answer.used_hours == same(used)
        assert answer.group_hours == hours
        assert answer.used_share == same(used / hours if used is not None and hours else None)
        if used is None or hours is None or not row.hours_per_year or not factor:
            assert answer.runs_out_on is None
            continue
        days = (hours - used) / (row.hours_per_year * factor) * YEAR
        if abs(days) < 300_000:
            assert answer.runs_out_on is not None
            assert abs((answer.runs_out_on - TODAY) - timedelta(days=days)) <= timedelta(days=1)


def km_of(spectrum: str | None) -> float | None:
    if spectrum is None:
        return None
    pairs = [pair.split(":") for pair in spectrum.split("+")]
    return sum(float(load) ** 3 * float(share) for load, share in pairs)
