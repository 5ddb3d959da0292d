"""What would change if a quotation came true or a supplier closed; worked by hand on one crane.

The pinion is exchanged in 16 hours at 16 a day, so that it takes one day on top of its wait.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from parts.errors import UnknownName
from parts.records.catalogue import Part
from parts.records.snapshot import Snapshot
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Offer, Operation, Order, Supplier
from parts.services.risks import exposures
from parts.services.what_if import what_if, with_quote, without_supplier
from tests.calc.small_snapshot import TODAY, snapshot_with


def one_crane(*offers: Offer, orders: tuple[Order, ...] = ()) -> Snapshot:
    return snapshot_with(
        cranes=[Crane(crane="C", down_cost_per_day=100.0)],
        functions=[Function(crane="C", function="hoisting", lost_share=1.0)],
        parts=[Part(part="pinion"), Part(part="wheel")],
        positions=[
            Position(
                crane="C", position=part, part=part, exchange_hours=16.0, failures_per_year=0.1
            )
            for part in ("pinion", "wheel")
        ],
        needs=[Need(crane="C", item="hoisting", needs=part) for part in ("pinion", "wheel")],
        suppliers=[Supplier(supplier="shop"), Supplier(supplier="works")],
        offers=[Offer(supplier="works", part="wheel", likely=5.0), *offers],
        routes=[Operation(route="cut", operation="cutting", likely=60.0)],
        orders=list(orders),
    )


SLOW = Offer(supplier="shop", part="pinion", kind="made", route="cut", approval="as drawn")


def test_the_site_that_is_known_stays_as_it_is() -> None:
    site = one_crane(SLOW)
    with_quote(site, "shop", "pinion", 20.0)
    without_supplier(site, "shop")

    assert site == one_crane(SLOW)


def test_what_changes_nothing_says_so() -> None:
    site = one_crane(SLOW)
    found = what_if(exposures(site), with_quote(site, "works", "wheel", 5.0))

    assert (found.changed, found.changes) == (0, ())
    assert found.exposure_days_then == found.exposure_days_now


def test_a_quotation_come_true_takes_its_days_off() -> None:
    site = one_crane(SLOW)
    found = what_if(exposures(site), with_quote(site, "shop", "pinion", 20.0))

    assert found.changed == 1
    change = found.changes[0]
    assert (change.position, change.lost_days_now, change.lost_days_then) == ("pinion", 61, 21)
    assert change.more_days == -40
    # 0.1 failures a year, 61 and 6 days each; then 21 and 6
    assert found.exposure_days_now == pytest.approx(6.7)
    assert found.exposure_days_then == pytest.approx(2.7)
    assert found.exposure_cost_then == pytest.approx(270.0)


def test_a_quotation_come_true_is_kept_exactly_by_a_supplier_that_is_always_late() -> None:
    late = Order(
        order="1",
        supplier="shop",
        part="wheel",
        qty=1,
        ordered_on=TODAY - timedelta(100),
        quoted_days=10.0,
        received_on=TODAY - timedelta(70),
    )
    site = one_crane(SLOW, orders=(late,))
    found = what_if(exposures(site), with_quote(site, "shop", "pinion", 20.0))

    assert next(c for c in found.changes if c.position == "pinion").lost_days_then == (
        pytest.approx(21.0)
    )


def test_a_supplier_that_made_no_offer_may_be_asked_about() -> None:
    site = one_crane(SLOW)
    changed = with_quote(site, "works", "pinion", 2.0)

    assert len(changed.offers) == len(site.offers) + 1
    assert what_if(exposures(site), changed).changes[0].lost_days_then == 3


def test_an_offer_keeps_its_price_and_approval() -> None:
    priced = Offer(supplier="shop", part="pinion", unit_price=9.0, approval="yes", likely=30.0)
    changed = with_quote(one_crane(priced), "shop", "pinion", 3.0).offers[-1]

    assert (changed.unit_price, changed.approval, changed.likely) == (9.0, "yes", 3.0)


def test_an_outdated_quotation_that_comes_true_is_valid() -> None:
    old = Offer(supplier="shop", part="pinion", likely=9.0, valid_until=date(2020, 1, 1))

    assert with_quote(one_crane(old), "shop", "pinion", 3.0).offers[-1].valid_until is None


def test_where_the_only_supplier_closes_nobody_knows_any_more() -> None:
    site = one_crane(SLOW)
    found = what_if(exposures(site), without_supplier(site, "shop"))

    assert (found.unknown_now, found.unknown_then) == (0, 1)
    change = found.changes[0]
    assert (change.lost_days_now, change.lost_days_then, change.more_days) == (61, None, None)


def test_what_becomes_unknown_stands_before_what_takes_longer() -> None:
    used = Offer(supplier="works", part="pinion", likely=2.0)
    site = one_crane(SLOW, used)
    found = what_if(exposures(site), without_supplier(site, "works"))

    assert [each.position for each in found.changes] == ["wheel", "pinion"]


def test_no_more_positions_are_listed_than_asked_for() -> None:
    used = Offer(supplier="works", part="pinion", likely=2.0)
    site = one_crane(SLOW, used)
    found = what_if(exposures(site), without_supplier(site, "works"), most=1)

    assert (found.changed, len(found.changes)) == (2, 1)


@pytest.mark.parametrize("days", [-1.0, float("nan"), float("inf")])
def test_a_lead_time_below_nothing_or_without_end_is_refused(days: float) -> None:
    with pytest.raises(ValueError, match="0 days or more"):
        with_quote(one_crane(SLOW), "shop", "pinion", days)


def test_names_that_are_not_there_are_refused() -> None:
    with pytest.raises(UnknownName, match="no supplier is called 'shops'; did you mean shop"):
        without_supplier(one_crane(), "shops")
    with pytest.raises(UnknownName, match="no part"):
        with_quote(one_crane(), "shop", "bolt", 1.0)
