"""Coming years: closing ways, cranes that go, purchases that arrive, on sites reckoned by hand."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from parts.calc.buying.forecast import Forecast, TooFarAhead
from parts.calc.buying.plans import Plans
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.waiting.backorders import chance_uncovered
from parts.records.catalogue import Part, PartClass
from parts.records.plan_answers import ForecastYear
from parts.records.snapshot import Snapshot
from parts.records.stock import Movement
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Offer, Operation, Supplier
from parts.services import plans
from parts.services.risks import exposures
from tests.calc.small_snapshot import TODAY, snapshot_with

LEAD, RATE, A_DAY = 73.05, 0.5, 1000.0  # a fifth of a year


def site(
    part: Part | None = None,
    retire_on: date | None = None,
    rate: float | None = RATE,
    **files: list[Any],
) -> Snapshot:
    """One crane that needs one part, exchanged in no time."""
    usual: dict[str, list[Any]] = {
        "suppliers": [Supplier(supplier="S")],
        "parts": [part or Part(part="A")],
        "cranes": [
            Crane(crane="C", down_cost_per_day=A_DAY, cover_share=0.25, retire_on=retire_on)
        ],
        "functions": [Function(crane="C", function="lift", lost_share=1.0)],
        "positions": [
            Position(crane="C", position="P", part="A", exchange_hours=0.0,
                     installed=date(2016, 11, 25), failures_per_year=rate)
        ],
        "needs": [Need(crane="C", item="lift", needs="P")],
        "offers": [Offer(supplier="S", part="A", likely=LEAD, unit_price=500.0)],
    }  # fmt: skip
    return snapshot_with(today=TODAY, **usual | files)


def lost(failures: float, days: float) -> float:
    """Days that a crane loses in a year when all else stands still while it is down."""
    ratio = failures * days / DAYS_A_YEAR
    return DAYS_A_YEAR * ratio / (1.0 + ratio)


def years(snapshot: Snapshot, count: int, budget: float | None = None) -> tuple[ForecastYear, ...]:
    return plans.forecast(exposures(snapshot), count, budget).years


def test_no_year_asked_for_is_no_year_shown() -> None:
    assert years(site(), 0) == ()


def test_fewer_years_than_none_are_refused() -> None:
    with pytest.raises(ValueError, match="0 or more"):
        years(site(), -1)


def test_more_years_than_can_be_told_are_refused_with_how_many_can() -> None:
    exposed = exposures(site())
    late = exposures(snapshot_with(today=date(9998, 6, 1)))

    with pytest.raises(TooFarAhead, match="201 years cannot be foreseen; give 1 to 200 years"):
        Forecast(exposed).answer(201)
    with pytest.raises(TooFarAhead, match="give 1 to 2 years"):
        Forecast(late).answer(3)
    assert Forecast(late).answer(2).years[-1].starts_on == date(9999, 6, 1)


def test_an_empty_site_loses_nothing_in_any_year() -> None:
    found = years(snapshot_with(), 2)

    assert [(each.exposure_days, each.exposure_cost) for each in found] == [(0.0, 0.0)] * 2


def test_without_a_budget_the_figures_with_a_plan_are_not_known() -> None:
    (only,) = years(site(), 1)

    assert (only.plan_exposure_days, only.plan_exposure_cost) == (None, None)


def test_a_year_of_the_same_rate_is_like_the_first_and_the_first_is_that_of_the_crane() -> None:
    first, second = years(site(), 2)

    assert first.exposure_days == pytest.approx(lost(RATE, LEAD))
    assert first.exposure_days == pytest.approx(exposures(site()).lost_days_per_year("C"))
    assert first.exposure_cost == pytest.approx(first.exposure_days * A_DAY * 0.75)
    assert second.exposure_days == pytest.approx(first.exposure_days)
    assert (first.starts_on, second.starts_on) == (TODAY, date(2027, 11, 25))


def test_what_wears_fails_more_from_year_to_year() -> None:
    part = Part(part="A", part_class="W")
    wears = [PartClass(part_class="W", life_basis="years", life_shape=3.0, life_scale=20.0)]
    found = years(site(part, rate=None, classes=wears), 4)

    assert sorted(each.exposure_days for each in found) == [each.exposure_days for each in found]
    assert found[-1].exposure_days > 1.2 * found[0].exposure_days


def test_a_crane_counts_for_its_share_of_the_year_in_which_it_goes() -> None:
    share = 438 / DAYS_A_YEAR - 1.0
    first, second, third = years(site(retire_on=date(2028, 2, 6)), 3)

    assert second.exposure_days == pytest.approx(share * first.exposure_days, rel=1e-9)
    assert third.exposure_days == 0.0


def test_a_part_has_fixed_stock_from_the_year_after_its_last_chance() -> None:
    part = Part(part="A", last_buy_on=date(2028, 6, 1), default_lead_days=400.0)
    store = [Movement(date=TODAY, part="A", qty=4, kind="opening", key="m")]
    _, second, third = years(site(part, movements=store), 3)
    uncovered = chance_uncovered({1: RATE}, 4, 15.0)

    assert third.exposure_days == pytest.approx(lost(RATE, 400.0 * uncovered))
    assert third.exposure_days > second.exposure_days


def test_a_part_that_can_still_be_made_is_made_from_then_on() -> None:
    part = Part(part="A", last_buy_on=date(2027, 6, 1), default_lead_days=400.0)
    offers = [Offer(supplier="S", part="A", likely=LEAD),
              Offer(supplier="S", part="A", kind="made", likely=200.0)]  # fmt: skip
    first, second = years(site(part, offers=offers), 2)

    assert first.exposure_days == pytest.approx(lost(RATE, LEAD))
    assert second.exposure_days == pytest.approx(lost(RATE, 200.0))


def test_why_the_plan_starts_from_another_figure_than_the_first_year_is_told() -> None:
    """0.5 failures of 73.05 days, a fifth of a year, at 750: 36.525 days or 27,394 by itself; as a
    tenth of a year down for each year at work, 365.25 / 11 = 33.205 days or 24,903.
    """
    known = exposures(site())
    *_, note = plans.forecast(known, 1, 0.0).notes
    closing = exposures(site(Part(part="A", last_buy_on=date(2028, 6, 1), default_lead_days=400.0)))

    assert note.startswith("the plan starts from 27,394, year 1 from 24,903: the plan adds up")
    assert "holds the stock of A fixed from today" in plans.forecast(closing, 1, 0.0).notes[-1]
    assert not any("the plan" in each for each in plans.forecast(known, 1).notes)


def test_a_spare_protects_from_the_day_on_which_it_comes() -> None:
    found = years(site(), 2, 500.0)
    plan = Plans(exposures(site())).plan(500.0)
    with_one = plan.exposure_days_after / RATE
    protected = LEAD / DAYS_A_YEAR

    assert [line.qty for line in plan.lines] == [1]
    assert found[0].plan_exposure_days == pytest.approx(
        protected * lost(RATE, LEAD) + (1.0 - protected) * lost(RATE, with_one)
    )
    assert found[1].plan_exposure_days == pytest.approx(lost(RATE, with_one))


def test_a_head_start_protects_at_once() -> None:
    route = [Operation(route="R", operation="draw", likely=50.0, ahead=True, ahead_cost=100.0),
             Operation(route="R", operation="turn", after="draw", likely=50.0)]  # fmt: skip
    offers = [Offer(supplier="S", part="A", kind="made", route="R")]
    (only,) = years(site(offers=offers, routes=route), 1, 100.0)

    assert only.exposure_days == pytest.approx(lost(RATE, 100.0))
    assert only.plan_exposure_days == pytest.approx(lost(RATE, 50.0))


def test_many_arrivals_are_taken_month_by_month_and_change_little(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from parts.calc.buying import forecast

    (exact,) = years(site(), 1, 500.0)
    monkeypatch.setattr(forecast, "MOST_ARRIVALS", 0)
    exposed = exposures(site())
    (rounded,) = Forecast(exposed, Plans(exposed).plan(500.0)).answer(1).years

    assert exact.plan_exposure_days is not None
    assert rounded.plan_exposure_days == pytest.approx(
        exact.plan_exposure_days, abs=exact.exposure_days / 24.0
    )
