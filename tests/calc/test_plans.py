"""Plans: what is bought, in which order, what is refused and why, on sites reckoned by hand."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from parts.calc.buying.plans import Plans
from parts.records.catalogue import Companion, Part
from parts.records.plan_answers import HEAD_START, Purchase
from parts.records.site import Holiday, Setting
from parts.records.snapshot import Snapshot
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Currency, Offer, Operation, Supplier
from parts.services import plans
from parts.services.risks import exposures
from tests.calc.small_snapshot import TODAY, snapshot_with

A_DAY = 1000.0


def offer(part: str, days: float = 100.0, price: float | None = 500.0, **more: Any) -> Offer:
    return Offer(supplier="S", part=part, likely=days, unit_price=price, **more)


def site(
    *parts: str | Part, rate: float | None = 1.0, a_day: float | None = A_DAY, **files: list[Any]
) -> Snapshot:
    """A crane that needs every part, each in one position, exchanged in no time."""
    rows = [each if isinstance(each, Part) else Part(part=each) for each in parts]
    usual: dict[str, list[Any]] = {
        "site": [Setting(key="currency", value="EUR"), Setting(key="holding_rate", value="0")],
        "suppliers": [Supplier(supplier="S")],
        "parts": [*rows],
        "cranes": [Crane(crane="C", down_cost_per_day=a_day)],
        "functions": [Function(crane="C", function="lift", lost_share=1.0)],
        "positions": [
            Position(crane="C", position=row.part, part=row.part, exchange_hours=0.0,
                     failures_per_year=rate)
            for row in rows
        ],
        "needs": [Need(crane="C", item="lift", needs=row.part) for row in rows],
    }  # fmt: skip
    return snapshot_with(today=TODAY, **usual | files)


def planned(snapshot: Snapshot) -> Plans:
    return Plans(exposures(snapshot))


# Nothing to buy ---------------------------------------------------------------------------------


def test_an_empty_site_has_an_empty_plan() -> None:
    plan = planned(snapshot_with()).plan(1000.0)

    assert plan.lines == ()
    assert (plan.spent, plan.exposure_before, plan.exposure_after) == (0.0, 0.0, 0.0)
    assert [point.cost for point in plan.frontier] == [0.0]
    assert "no failure is expected" in plan.reason


def test_without_money_nothing_is_bought_and_the_cheapest_purchase_is_named() -> None:
    plan = planned(site("A", offers=[offer("A")])).plan(0.0)

    assert plan.lines == ()
    assert plan.exposure_after == plan.exposure_before > 0.0
    assert "500.00" in plan.reason


def test_a_budget_below_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="0 or more"):
        planned(site("A")).plan(-1.0)


def test_a_budget_that_is_no_number_is_refused() -> None:
    with pytest.raises(ValueError, match="0 or more"):
        planned(site("A")).plan(float("nan"))


def test_without_a_failure_rate_the_plan_says_what_is_missing() -> None:
    plan = planned(site("A", rate=None, offers=[offer("A")])).plan(1e6)

    assert plan.lines == ()
    assert "failure rate" in plan.reason


def test_without_a_cost_a_day_the_plan_says_what_is_missing() -> None:
    plan = planned(site("A", a_day=None, offers=[offer("A")])).plan(1e6)

    assert plan.lines == ()
    assert "down_cost_per_day" in plan.reason


def test_without_prices_every_part_in_use_is_named() -> None:
    plan = planned(site("A", "B", offers=[offer("A", price=None), offer("B", price=None)])).plan(
        1e6
    )

    assert plan.lines == ()
    assert plan.unpriced == ("A", "B")
    assert "known price" in plan.reason


def test_what_costs_more_to_keep_than_it_saves_is_not_bought() -> None:
    settings = [Setting(key="holding_rate", value="1")]
    plan = planned(site("A", site=settings, offers=[offer("A", price=1e9)])).plan(1e12)

    assert plan.lines == ()
    assert "keep" in plan.reason


def test_a_part_that_keeps_no_day_is_not_bought() -> None:
    parts = [Part(part="A", shelf_life_months=0.0)]

    assert planned(site(*parts, offers=[offer("A")])).plan(1e6).lines == ()


# Prices -----------------------------------------------------------------------------------------


def test_a_line_costs_its_units_and_one_order_at_the_dated_rate() -> None:
    usd = [offer("A", price=100.0, currency="USD", order_cost=10.0)]
    rates = [Currency(currency="USD", rate=0.9, dated=date(2026, 1, 1))]
    (line,) = planned(site("A", offers=usd, currencies=rates)).plan(280.0).lines

    assert (line.qty, line.unit_price, line.supplier) == (3, 90.0, "S")
    assert line.cost == pytest.approx(279.0)


def test_money_without_a_rate_prices_nothing() -> None:
    plan = planned(site("A", offers=[offer("A", currency="USD")])).plan(1e6)

    assert plan.unpriced == ("A",)


def test_an_offer_without_a_price_takes_the_cost_of_the_part() -> None:
    parts = [Part(part="A", unit_cost=320.0)]
    (line,) = planned(site(*parts, offers=[offer("A", price=None)])).plan(400.0).lines

    assert line.cost == 320.0


def test_fewer_than_the_least_lot_are_never_bought() -> None:
    snapshot = site("A", offers=[offer("A", min_qty=3)])

    assert planned(snapshot).plan(1499.0).lines == ()
    assert [line.qty for line in planned(snapshot).plan(1500.0).lines] == [3]


def test_keeping_counts_money_tied_up_shelf_life_and_care() -> None:
    settings = [Setting(key="holding_rate", value="0.2")]
    parts = [Part(part="A", shelf_life_months=24.0, care_per_year=30.0)]
    plan = planned(site(*parts, site=settings, offers=[offer("A")])).plan(500.0)

    assert plan.yearly == pytest.approx((0.2 + 12.0 / 24.0) * 500.0 + 30.0)


# Sets, lots and knapsacks -----------------------------------------------------------------------


def test_a_part_and_its_companion_are_bought_together_since_neither_helps_alone() -> None:
    snapshot = site("GEAR", "PINION", offers=[offer("GEAR"), offer("PINION")],
                    companions=[Companion(part="GEAR", companion="PINION"),
                                Companion(part="PINION", companion="GEAR")])  # fmt: skip
    alone, together = planned(snapshot).plan(999.0), planned(snapshot).plan(1000.0)

    assert alone.lines == ()
    assert [line.part for line in together.lines] == ["GEAR", "PINION"]
    assert together.lines[0].saves_cost == pytest.approx(0.0, abs=1e-6)
    assert together.lines[1].saves_cost > 0.0


def test_marginal_analysis_alone_misses_what_fills_the_budget() -> None:
    """A saves a little more for its money, but only B and C together use all of it."""
    cranes = {"A": (610.0, 1.0), "B": (500.0, 0.8), "C": (500.0, 0.8)}
    snapshot = site(
        *cranes,
        positions=[Position(crane="C", position=part, part=part, exchange_hours=0.0,
                            failures_per_year=rate * 0.01) for part, (_, rate) in cranes.items()],
        offers=[offer(part, price=price) for part, (price, _) in cranes.items()],
    )  # fmt: skip
    plan = planned(snapshot).plan(1000.0)

    assert sorted(line.part for line in plan.lines) == ["B", "C"]
    assert plan.gap > 0.3
    assert plan.unproven == 0.0
    assert "proven the best" in plan.method


def test_lines_add_up_to_what_the_plan_saves_and_spends() -> None:
    parts = ["A", "B", "C", "D"]
    snapshot = site(*parts, offers=[offer(part, 20.0 * n, 100.0 * n)
                                    for n, part in enumerate(parts, 1)])  # fmt: skip
    plan = planned(snapshot).plan(2000.0)
    saved = plan.exposure_before - plan.exposure_after
    saved_days = plan.exposure_days_before - plan.exposure_days_after

    assert len(plan.lines) == 4
    assert sum(line.saves_cost for line in plan.lines) == pytest.approx(saved, rel=1e-9)
    assert sum(line.saves_days for line in plan.lines) == pytest.approx(saved_days, rel=1e-9)
    assert sum(line.cost for line in plan.lines) == pytest.approx(plan.spent, rel=1e-9)


def test_the_site_as_planned_is_the_site_with_the_units_in_store() -> None:
    """The exposure after is that of `risks` once the units have come."""
    from parts.records.stock import Movement

    offers = [offer("A"), offer("B", 30.0)]
    plan = planned(site("A", "B", offers=offers)).plan(1600.0)
    bought = [Movement(date=TODAY, part=line.part, qty=line.qty, kind="receipt",
                       key=line.part) for line in plan.lines]  # fmt: skip
    after = exposures(site("A", "B", movements=bought, offers=offers))

    assert plan.exposure_after == pytest.approx(float(after.costs.sum()), rel=1e-9)


# Last buys --------------------------------------------------------------------------------------


def closing(on: date, **more: Any) -> Snapshot:
    return site(Part(part="A", last_buy_on=on, default_lead_days=400.0), offers=[offer("A")],
                **more)  # fmt: skip


def test_a_part_whose_every_offer_closes_is_bought_for_the_last_time() -> None:
    (line,) = planned(closing(date(2027, 3, 1))).plan(1000.0).lines

    assert (line.action, line.qty) == ("last_buy", 2)
    assert line.order_by == date(2027, 3, 1)


def test_a_last_buy_s_fixed_stock_tells_why_before_is_not_what_risks_say() -> None:
    snapshot = closing(date(2027, 3, 1))
    plan, in_risks = planned(snapshot).plan(0.0), float(exposures(snapshot).costs.sum())
    (note,) = plan.notes

    assert plan.exposure_before > in_risks
    assert f"before is {plan.exposure_before:,.0f} here, {in_risks:,.0f} among risks" in note
    assert "the stock of A is fixed here" in note


def test_where_nothing_closes_before_is_what_risks_say() -> None:
    snapshot = site("A", offers=[offer("A")])
    plan = planned(snapshot).plan(0.0)

    assert plan.exposure_before == pytest.approx(float(exposures(snapshot).costs.sum()))
    assert plan.notes == ()


def test_a_last_day_that_is_not_worked_moves_back() -> None:
    holidays = [Holiday(date=date(2027, 3, 5))]
    (line,) = planned(closing(date(2027, 3, 7), holidays=holidays)).plan(500.0).lines

    assert line.order_by == date(2027, 3, 4)


def test_a_part_that_one_supplier_goes_on_with_is_a_spare() -> None:
    from parts.records.supply import Notice

    snapshot = site(
        "A",
        suppliers=[Supplier(supplier="S"), Supplier(supplier="T")],
        offers=[offer("A"), Offer(supplier="T", part="A", likely=50.0, unit_price=900.0)],
        notices=[Notice(part="A", supplier="S", notice_on=date(2026, 1, 1),
                        kind="discontinuance", last_buy_on=date(2027, 3, 1))],
    )  # fmt: skip
    (line,) = planned(snapshot).plan(500.0).lines

    assert line.action == "spare"


def test_what_closes_after_the_last_user_goes_is_a_spare() -> None:
    retired = [Crane(crane="C", down_cost_per_day=A_DAY, retire_on=date(2027, 1, 1))]
    (line,) = planned(closing(date(2027, 3, 1), cranes=retired)).plan(500.0).lines

    assert line.action == "spare"


# Head starts ------------------------------------------------------------------------------------


def made(**more: Any) -> Snapshot:
    operations = [
        Operation(route="R", operation="draw", likely=30.0, ahead=True, ahead_cost=200.0),
        Operation(route="R", operation="cast", after="draw", likely=40.0, ahead=True,
                  ahead_cost=300.0, ahead_lasts=False),
        Operation(route="R", operation="turn", after="cast", likely=10.0, **more),
    ]  # fmt: skip
    return site("A", rate=0.1, offers=[Offer(supplier="S", part="A", kind="made", route="R")],
                routes=operations)  # fmt: skip


def test_an_operation_is_done_ahead_with_all_before_it() -> None:
    pricing = planned(made()).pricing
    priced = pricing.price([Purchase("A", HEAD_START, 1, "R", "cast")])

    assert priced.cost == 500.0
    # fifteen years at 0.1 a year: one blank serves two units of three
    assert priced.exposure_days == pytest.approx(0.1 * (80.0 - 30.0 - 40.0 / 1.5))


def test_a_head_start_is_named_by_the_last_operations_and_paid_once() -> None:
    plan = planned(made()).plan(500.0)

    assert [(line.route, line.operation, line.cost) for line in plan.lines] == [
        ("R", "cast", 500.0)
    ]


def test_what_cannot_be_done_ahead_is_no_head_start() -> None:
    priced = planned(made()).pricing.price([Purchase("A", HEAD_START, 1, "R", "turn")])

    assert priced.unpriced == ("R: turn",)
    assert priced.cost == 0.0


def test_a_plan_edited_by_hand_is_weighed_as_it_stands() -> None:
    exposed = exposures(site("A", "B", offers=[offer("A"), offer("B", price=None)]))
    priced = plans.price(exposed, [Purchase("A", "spare", 2), Purchase("B", "spare")])

    assert (priced.cost, priced.unpriced) == (1000.0, ("B",))
    assert priced.exposure_cost < plans.price(exposed, []).exposure_cost


# Asking by what is left -------------------------------------------------------------------------


def test_the_plan_can_be_asked_for_by_lost_days_or_by_a_share_of_time() -> None:
    site_plans = planned(site("A", offers=[offer("A")]))
    before = site_plans.before.exposure_days
    by_days = site_plans.for_lost_days(before / 2.0)
    by_share = site_plans.for_share(before / 2.0 / 365.25)

    assert by_days is not None
    assert by_days.exposure_days_after <= before / 2.0
    assert by_days == by_share
    assert site_plans.for_lost_days(-1.0) is None
