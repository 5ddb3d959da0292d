"""Upgrades against spares on sites reckoned by hand: nothing, one of each, several, too many."""

from __future__ import annotations

from datetime import date, timedelta
from math import exp
from typing import Any

import numpy as np
import pytest

from parts.calc.comparing import comparison as module
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.errors import LongpoleError
from parts.records.catalogue import Part
from parts.records.comparison_answers import ComparedOption, ComparisonAnswer
from parts.records.history import Upgrade, UpgradeEffect
from parts.records.site import Setting
from parts.records.snapshot import Snapshot
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Offer
from parts.services import plans
from parts.services.comparisons import compare
from parts.services.risks import exposures
from tests.calc.plan_sites import random_site
from tests.calc.small_snapshot import TODAY, snapshot_with
from tests.calc.upgrade_sites import A_DAY, COVER, LEAD_DAYS, effect, hoist_site

MONEY_A_DAY = A_DAY * (1.0 - COVER)
RATE, HALF_A_YEAR = 0.1, 182.625


def upgrade(name: str, **more: Any) -> Upgrade:
    usual = {"cost": 10_000.0, "lead_days": 0.0, "down_days": 0.0, "life_years": 99.0}
    return Upgrade(upgrade=name, **usual | more)


def panel_site(
    *upgrades: Upgrade, effects: list[UpgradeEffect] | None = None, holding: str = "0",
    rate: float = RATE, **files: list[Any]
) -> Snapshot:  # fmt: skip
    """A crane that is nothing but its panel, which fails 0.2 times a year and takes 146.1 days,
    two fifths of a year, at 750 a day: 21,915 a year. An upgrade halves its failures unless told
    otherwise."""
    usual: dict[str, Any] = {
        "site": [Setting(key="holding_rate", value=holding),
                 Setting(key="discount_rate", value=f"{rate:f}")],
        "functions": [Function(crane="C", function="lift", lost_share=1.0)],
        "positions": [Position(crane="C", position="panel", part="PANEL", exchange_hours=0.0,
                               failures_per_year=0.2)],
        "needs": [Need(crane="C", item="lift", needs="panel")],
        "upgrades": list(upgrades),
        "upgrade_effects": [effect(each.upgrade, "panel", factor=0.5) for each in upgrades]
        if effects is None else effects,
    }  # fmt: skip
    return hoist_site(**usual | files)


def compared(
    snapshot: Snapshot, budget: float | None = None, years: int | None = 3
) -> ComparisonAnswer:
    return compare(exposures(snapshot), budget, years)


def option(answer: ComparisonAnswer, name: str) -> ComparedOption:
    return next(each for each in answer.options if each.option == name)


def names(answer: ComparisonAnswer) -> list[str]:
    return sorted(each.option for each in answer.options)


def npv(answer: ComparisonAnswer, name: str) -> float:
    found = option(answer, name).npv_cost
    assert found is not None
    return found


# Nothing to compare -----------------------------------------------------------------------------


def test_an_empty_site_is_left_as_it_is_for_nothing() -> None:
    answer = compared(snapshot_with())

    assert names(answer) == ["as_is"]
    assert (answer.chosen, answer.spent, answer.npv_cost) == (("as_is",), 0.0, 0.0)


def test_without_upgrades_and_without_a_budget_only_leaving_it_is_left() -> None:
    answer = compared(panel_site())

    assert names(answer) == ["as_is"]
    assert any("no spares" in note for note in answer.notes)


def test_a_budget_of_nothing_buys_nothing() -> None:
    answer = compared(panel_site(upgrade("A")), budget=0.0)

    assert answer.chosen == ("as_is",)
    assert not option(answer, "A").within_budget
    assert option(answer, "spares").capital == 0.0


@pytest.mark.parametrize("budget", [-1.0, float("nan"), float("inf")])
def test_a_budget_below_nothing_or_without_end_is_refused(budget: float) -> None:
    with pytest.raises(ValueError, match="a budget is 0 or more"):
        compared(panel_site(), budget=budget)


def test_less_than_a_year_is_refused() -> None:
    with pytest.raises(ValueError, match="1 year or more"):
        compared(panel_site(), years=0)


def test_more_years_than_can_be_compared_are_refused_in_a_sentence() -> None:
    with pytest.raises(LongpoleError, match="give 1 to 200 years"):
        compared(panel_site(), years=201)


def test_what_is_told_the_progress_may_end_it() -> None:
    told = []

    def until_spares(what: str) -> None:
        told.append(what)
        if "spares" in what:
            raise InterruptedError

    with pytest.raises(InterruptedError):
        compare(exposures(panel_site(upgrade("A"))), 2e4, 3, progress=until_spares)

    assert told == ["Weighing as_is", "Weighing A", "Planning spares beside as_is"]


def test_without_years_the_horizon_of_the_site_counts_and_it_is_said() -> None:
    horizon = [Setting(key="horizon_years", value="7")]
    answer = compared(panel_site(site=horizon), years=None)

    assert (answer.years, answer.years_assumed) == (7, True)
    assert (compared(panel_site(), years=None).years) == 15


# As it is ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("rate", [0.0, 0.08, 0.5])
@pytest.mark.parametrize("years", [1, 15])
def test_leaving_it_costs_its_yearly_exposure_every_year(rate: float, years: int) -> None:
    as_is = option(compared(panel_site(rate=rate), years=years), "as_is")

    assert as_is.exposure_cost_per_year == pytest.approx(0.2 * 146.1 * 750.0) == 21_915.0
    assert as_is.equal_annual_cost == pytest.approx(21_915.0)
    assert (as_is.capital, as_is.npv_purchases, as_is.npv_down, as_is.npv_keeping) == (0,) * 4


@pytest.mark.parametrize("seed", range(6))
def test_on_any_site_it_costs_the_exposure_of_the_ranking(seed: int) -> None:
    snapshot = random_site(seed)
    risk = float(np.nansum(exposures(snapshot).costs))
    as_is = option(compared(snapshot, years=9), "as_is")

    assert as_is.exposure_cost_per_year == pytest.approx(risk)
    assert as_is.equal_annual_cost == pytest.approx(risk)


def test_without_interest_the_years_are_added_up() -> None:
    answer = compared(panel_site(upgrade("A"), rate=0.0))

    assert npv(answer, "as_is") == pytest.approx(3 * 21_915.0)
    assert npv(answer, "A") == pytest.approx(10_000.0 + 3 * 0.5 * 21_915.0)


# One upgrade ------------------------------------------------------------------------------------


def test_an_upgrade_by_hand() -> None:
    """Halves 21,915 a year after half a year, costs 10,000 and two days at 750 each time, lasts
    1.2 years, over 3 years at 10 %:

    exposure  year 1  half old, half new  16,436.25 / 1.1    14,942.0455
              year 2  new                 10,957.50 / 1.21    9,055.7851
              year 3  new                 10,957.50 / 1.331   8,232.5319
                                                             32,230.3625
    fitted after 0.5, 1.7 and 2.9 years: 0.9534626 + 0.8504180 + 0.7585098 = 2.5623904 times
    prices    10,000                                         25,623.904
    days down  1,500                                          3,843.586
    """
    answer = compared(
        panel_site(upgrade("A", lead_days=HALF_A_YEAR, down_days=2.0, life_years=1.2))
    )
    found = option(answer, "A")

    assert found.npv_exposure == pytest.approx(32_230.3625, abs=1e-3)
    assert found.npv_purchases == pytest.approx(25_623.904, abs=0.01)
    assert found.npv_down == pytest.approx(3_843.586, abs=0.01)
    assert found.npv_cost == pytest.approx(61_697.85, abs=0.02)
    assert found.equal_annual_cost == pytest.approx(61_697.85 / 2.4868520, abs=0.02)
    assert (found.capital, found.exposure_cost_per_year) == (10_000.0, 10_957.5)


def test_what_lasts_as_long_as_the_years_is_not_bought_again() -> None:
    answer = compared(panel_site(upgrade("A", life_years=3.0), upgrade("B", life_years=1.5)))

    assert option(answer, "A").npv_purchases == pytest.approx(10_000.0)
    assert option(answer, "B").npv_purchases == pytest.approx(10_000.0 * (1.0 + 1.1**-1.5))


def test_what_lasts_less_than_a_day_is_bought_once_a_day() -> None:
    answer = compared(panel_site(upgrade("A", life_years=1e-9, cost=1.0), rate=0.0), years=1)

    assert option(answer, "A").npv_purchases == 366.0


def test_what_arrives_after_all_years_is_paid_and_changes_nothing() -> None:
    found = option(compared(panel_site(upgrade("A", lead_days=5 * DAYS_A_YEAR))), "A")

    assert found.npv_purchases == pytest.approx(10_000.0 * 1.1**-5)
    assert found.npv_exposure == pytest.approx(21_915.0 * 2.4868520)


def test_every_crane_that_is_touched_stands_still_for_fitting() -> None:
    cranes = [Crane(crane="C", down_cost_per_day=A_DAY, cover_share=COVER),
              Crane(crane="D", down_cost_per_day=100.0),
              Crane(crane="E", down_cost_per_day=9e9, retire_on=TODAY)]  # fmt: skip
    places = [Position(crane=crane, position=name, part="PANEL")
              for crane in "CDE" for name in ("panel", "lamp")]  # fmt: skip
    both = [effect("A", name, factor=1.0, crane=crane)
            for crane in "CDE" for name in ("panel", "lamp")]  # fmt: skip
    snapshot = panel_site(
        upgrade("A", down_days=3.0), effects=both, cranes=cranes, positions=places
    )

    assert option(compared(snapshot), "A").npv_down == pytest.approx(3.0 * (750.0 + 100.0))


def test_the_rate_of_return_is_that_of_paying_now_for_less_a_year() -> None:
    answer = compared(panel_site(upgrade("A")), years=1)

    assert option(answer, "A").rate_of_return == pytest.approx(10_957.5 / 10_000.0 - 1.0)
    assert option(answer, "as_is").rate_of_return is None


# What is not recorded ---------------------------------------------------------------------------


def test_without_a_cost_an_upgrade_is_listed_and_never_chosen() -> None:
    answer = compared(panel_site(upgrade("A", cost=None), upgrade("B")), budget=1e6)
    found = option(answer, "A")

    assert (found.capital, found.npv_cost, found.equal_annual_cost) == (None, None, None)
    assert found.exposure_cost_per_year == 10_957.5
    assert not found.within_budget
    assert "no cost is recorded" in found.notes[0]
    assert answer.options[-1] == found


def test_what_else_is_blank_counts_for_nothing_and_is_said() -> None:
    bare = Upgrade(upgrade="A", cost=10_000.0)
    found = option(compared(panel_site(bare), years=40), "A")

    assert found.npv_purchases == 10_000.0
    assert found.npv_down == 0.0
    assert [note.split(": ")[1].split(" are")[0].split(" is")[0] for note in found.notes] == [
        "no lead days", "no days down", "no life"
    ]  # fmt: skip


def test_an_upgrade_without_effects_changes_nothing_and_says_so() -> None:
    found = option(compared(panel_site(upgrade("A"), effects=[])), "A")

    assert found.exposure_cost_per_year == 21_915.0
    assert any("no effect" in note for note in found.notes)


def test_an_effect_with_a_factor_and_a_new_part_leaves_the_position_and_says_so() -> None:
    both = [effect("A", "panel", "NEW", factor=0.5)]
    found = option(compared(panel_site(upgrade("A"), effects=both)), "A")

    assert found.exposure_cost_per_year == pytest.approx(10_957.5)
    assert any("the position is taken to stay" in note for note in found.notes)


def test_a_new_part_of_which_nobody_knows_how_it_fails_is_named() -> None:
    found = option(compared(panel_site(upgrade("A"), effects=[effect("A", "panel", "BRAKE")])), "A")

    assert found.exposure_cost_per_year == 0.0
    assert any("not known" in note and "C/panel" in note for note in found.notes)


def test_a_crane_that_goes_before_the_end_is_named() -> None:
    soon = [Crane(crane="C", down_cost_per_day=A_DAY, retire_on=date(2028, 1, 1))]

    assert any(
        "C retires on 2028-01-01" in note for note in compared(panel_site(cranes=soon)).notes
    )
    assert not any("C retires" in note for note in compared(panel_site(cranes=soon), years=1).notes)


# Several upgrades -------------------------------------------------------------------------------


def hoist_upgrades(*effects: UpgradeEffect) -> Snapshot:
    upgrades = [upgrade(name) for name in sorted({row.upgrade for row in effects})]
    return hoist_site(*effects, upgrades=upgrades)


def test_two_on_one_position_exclude_each_other() -> None:
    answer = compared(panel_site(upgrade("A"), upgrade("B")))

    assert names(answer) == ["A", "B", "as_is"]


def test_one_that_takes_out_an_assembly_excludes_one_on_a_part_inside() -> None:
    snapshot = hoist_upgrades(
        effect("A", "hoist", "NEW"), effect("B", "motor", factor=0.5), effect("D", "lamp")
    )

    assert names(compared(snapshot)) == ["A", "A+D", "B", "B+D", "D", "as_is"]


def test_two_on_one_assembly_and_a_part_inside_that_stays_go_together() -> None:
    snapshot = hoist_upgrades(effect("A", "hoist", factor=0.5), effect("B", "motor", factor=0.5))

    assert "A+B" in names(compared(snapshot))


def test_two_arrive_one_after_the_other() -> None:
    """Motor after a quarter, panel after half a year: each year's exposure by hand."""
    snapshot = hoist_site(
        effect("PANEL LATER", "panel", factor=0.0), effect("A MOTOR", "motor", factor=0.0),
        upgrades=[upgrade("PANEL LATER", lead_days=HALF_A_YEAR),
                  upgrade("A MOTOR", lead_days=HALF_A_YEAR / 2)],
    )  # fmt: skip
    answer = compared(snapshot, years=1)
    found = option(answer, "A MOTOR+PANEL LATER")
    all_of_it = option(answer, "as_is").exposure_cost_per_year
    motor = option(answer, "A MOTOR").exposure_cost_per_year
    year_1 = 0.25 * all_of_it + 0.25 * motor + 0.5 * found.exposure_cost_per_year

    assert all_of_it - motor == pytest.approx(0.2 * LEAD_DAYS["MOTOR"] * MONEY_A_DAY, rel=1e-3)
    assert found.npv_exposure == pytest.approx(year_1 / 1.08)
    assert found.title == "A MOTOR; PANEL LATER"
    assert found.capital == 20_000.0


def test_what_two_save_together_is_reckoned_and_not_added_up() -> None:
    """Either brake holds: without the other's failures a brake that fails less saves nothing."""
    snapshot = hoist_upgrades(
        effect("A", "brake 1", factor=0.0), effect("B", "brake 2", factor=0.0)
    )
    answer = compared(snapshot)
    as_is, one, both = (
        option(answer, name).exposure_cost_per_year for name in ("as_is", "A", "A+B")
    )

    assert as_is - one > 0.0
    assert as_is - both < 1.2 * (as_is - one)


def test_the_choice_costs_least_and_of_equal_ones_takes_least_money() -> None:
    free = upgrade("A", cost=0.0)
    dear = upgrade("B", cost=5_000.0, life_years=None)
    answer = compared(panel_site(free, dear, effects=[]))

    assert answer.chosen == ("as_is",)
    assert [each.option for each in answer.options] == ["as_is", "A", "B", "A+B"]


# Spares -----------------------------------------------------------------------------------------


def backorders(mean: float) -> float:
    """Expected backorders with one spare: mean - (1 - exp(-mean))."""
    return mean - 1.0 + exp(-mean)


def test_spares_by_hand() -> None:
    """One panel at 500 is kept at a fifth of its price a year, of which a tenth is the interest
    that discounting counts. Lead-time demand is 0.2 x 0.4."""
    answer = compared(panel_site(holding="0.2"), budget=999.0)
    found = option(answer, "spares")
    after = backorders(0.2 * 0.4) * DAYS_A_YEAR * MONEY_A_DAY

    assert [(line.part, line.qty) for line in found.lines] == [("PANEL", 1)]
    assert found.capital == found.npv_purchases == 500.0
    assert found.exposure_cost_per_year == pytest.approx(after)
    assert found.npv_keeping == pytest.approx(50.0 * 2.4868520)
    assert found.npv_cost == pytest.approx(500.0 + (after + 50.0) * 2.4868520)
    assert answer.chosen == ("spares",)
    assert answer.spent == 500.0


def test_of_holding_only_what_goes_beyond_the_interest_is_kept_up() -> None:
    """Shelf life and care stay; a holding rate below the interest counts for nothing."""
    ages = [Part(part="PANEL", shelf_life_months=48.0, care_per_year=7.0)]
    for holding, beyond in (("0", 0.0), ("0.05", 0.0), ("0.1", 0.0), ("0.3", 0.2)):
        found = option(compared(panel_site(holding=holding, parts=ages), budget=500.0), "spares")

        assert found.npv_keeping == pytest.approx(
            ((beyond + 0.25) * 500.0 + 7.0) * 2.4868520, rel=1e-6
        )


def test_spares_beside_an_upgrade_are_those_for_what_is_left_of_the_money() -> None:
    """The spare protects at once; failures halve after half a year."""
    snapshot = panel_site(upgrade("A", cost=300.0, lead_days=HALF_A_YEAR))
    found = option(compared(snapshot, budget=800.0), "A+spares")
    old, new = (backorders(mean) * DAYS_A_YEAR * MONEY_A_DAY for mean in (0.08, 0.04))

    assert (found.capital, found.kind) == (800.0, "combination")
    assert found.npv_exposure == pytest.approx(0.5 * (old + new) / 1.1 + new / 1.21 + new / 1.331)
    assert found.npv_purchases == pytest.approx(500.0 + 300.0 * 1.1**-0.5)


def test_no_spares_are_planned_beside_what_leaves_no_money() -> None:
    answer = compared(panel_site(upgrade("A", cost=300.0)), budget=799.0)

    assert names(answer) == ["A", "as_is", "spares"]


def test_spares_for_all_of_the_money_are_the_plan_of_that_budget() -> None:
    for seed in range(4):
        exposed = exposures(random_site(seed))
        plan = plans.buy(exposed, 3000.0)
        found = option(compare(exposed, 3000.0, 5), "spares")

        assert found.lines == plan.lines
        assert found.capital == plan.spent


def test_what_can_still_be_bought_counts_as_in_the_ranking_of_risks() -> None:
    """A plan takes a part whose last day comes as fixed stock; here both sides may buy it."""
    closing = Part(part="PANEL", last_buy_on=TODAY + timedelta(days=100), default_lead_days=400.0)
    offers = [Offer(supplier="S", part="PANEL", likely=146.1, unit_price=500.0)]
    snapshot = panel_site(parts=[closing], offers=offers)
    answer = compared(snapshot, budget=500.0)

    assert option(answer, "as_is").exposure_cost_per_year == pytest.approx(21_915.0)
    assert option(answer, "spares").lines[0].action == "last_buy"
    assert option(answer, "spares").exposure_cost_per_year == pytest.approx(
        backorders(0.08) * DAYS_A_YEAR * MONEY_A_DAY
    )


# Many -------------------------------------------------------------------------------------------


def many(count: int) -> Snapshot:
    """Upgrades of so many positions of their own, the later ones the more worth their money."""
    places = [Position(crane="C", position=f"p{at:02}", part="PANEL", exchange_hours=0.0,
                       failures_per_year=0.01) for at in range(count)]  # fmt: skip
    return panel_site(
        *(upgrade(f"U{at:02}", cost=float(count - at)) for at in range(count)),
        positions=places,
        needs=[Need(crane="C", item="lift", needs=row.position) for row in places],
        effects=[effect(f"U{at:02}", f"p{at:02}", factor=0.5) for at in range(count)],
    )


def test_of_too_many_combinations_the_most_promising_are_weighed_and_it_is_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(module, "MOST_COMBINATIONS", 5)
    answer = compared(many(8))

    assert len(answer.options) == 1 + 8 + 5
    assert "the best 5" in answer.method
    assert len(answer.chosen) == 8


def test_spares_are_planned_beside_the_most_promising_only(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(module, "MOST_PLANNED", 3)
    answer = compared(many(4), budget=600.0)

    assert sum(each.with_spares for each in answer.options) == 3
    assert "beside 2 of 15 choices, the most promising" in answer.method
