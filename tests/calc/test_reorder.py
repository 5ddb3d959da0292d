"""Reorder points, what is ordered now, late orders and questions to suppliers."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest

from parts.calc.buying.enquiries import Enquiries
from parts.calc.buying.reorder import Reorders, reorder_point
from parts.records.catalogue import Substitute
from parts.records.purchase_answers import LateOrder, ReorderLine
from parts.records.supply import Operation, Order
from parts.services.checks import findings
from tests.calc.purchase_site import at, kept, new, part, site
from tests.calc.small_snapshot import TODAY


def test_nothing_asked_for_or_nothing_to_wait_for_needs_no_stock() -> None:
    assert reorder_point(0.0, 100.0, 0.95) == 0
    assert reorder_point(5.0, 0.0, 0.95) == 0


@pytest.mark.parametrize(("mean", "point"), [(0.05, 0), (0.06, 1), (1.0, 3), (5.0, 9), (20.0, 28)])
def test_the_point_covers_a_lead_time_with_the_confidence(mean: float, point: int) -> None:
    # Poisson tables, 95 %
    assert reorder_point(mean, 365.25, 0.95) == point


def test_ordering_below_the_point_keeps_waits_as_rare_as_was_asked_for() -> None:
    # one for one from a stock of the point: nobody waits in a share of time of at least 0.9;
    # simulated by counting what is asked for in windows of one lead time
    rng = np.random.default_rng(11)
    point = reorder_point(4.0, 91.3125, 0.9)
    covered = rng.poisson(1.0, 100_000) <= point

    assert covered.mean() >= 0.9
    assert (rng.poisson(1.0, 100_000) <= point - 1).mean() < 0.9


def line(**files: Any) -> ReorderLine:
    files.setdefault("offers", [new(likely=73.05)])
    files.setdefault("parts", [part()])
    return Reorders(site([at("P", "A", failures_per_year=5.0)], **files)).line("A")


def test_no_lead_time_means_no_point() -> None:
    found = line(offers=[])

    assert (found.reorder_point, found.maximum, found.order_now) == (None, None, 0)
    assert "No lead time" in found.why


def test_a_part_below_its_point_is_ordered_up_to_it_in_what_is_sold() -> None:
    found = line(movements=[kept("A", 1)])  # 5 a year x 0.2 years = 1: P(N <= 2) = 0.92 >= 0.8
    in_tens = line(movements=[kept("A", 1)], offers=[new(likely=73.05, min_qty=10)])

    assert (found.reorder_point, found.maximum, found.below) == (2, 3, 2)
    assert (found.order_now, found.cost, found.supplier) == (1, 100.0, "S")
    assert (in_tens.order_now, in_tens.maximum) == (10, 12)


def test_a_part_at_its_point_is_not_ordered() -> None:
    found = line(movements=[kept("A", 2)])

    assert (found.below, found.order_now) == (None, 0)


def test_a_counted_order_counts_and_an_overdue_one_does_not() -> None:
    coming = Order(order="O", supplier="S", part="A", qty=1, ordered_on=TODAY, quoted_days=5.0)
    overdue = Order(order="O", supplier="S", part="A", qty=1, ordered_on=date(2026, 1, 1),
                    quoted_days=5.0)  # fmt: skip

    assert line(movements=[kept("A", 1)], orders=[coming]).order_now == 0
    assert line(movements=[kept("A", 1)], orders=[overdue]).order_now == 1


def test_the_site_s_own_limits_go_first() -> None:
    limited = [part(min_stock=4, max_stock=6)]
    found = line(movements=[kept("A", 3)], parts=limited)

    assert (found.reorder_point, found.below, found.order_now) == (2, 4, 3)
    assert line(movements=[kept("A", 1)], parts=[part(min_stock=1)]).below is None
    assert "ask for 2" in line(movements=[kept("A", 1)], parts=[part(min_stock=1)]).why


def test_a_pool_is_one_stock_and_is_ordered_where_it_is_cheaper() -> None:
    reorders = Reorders(site(
        [at("P", "A", failures_per_year=5.0)], parts=[part(), part("B")],
        offers=[new(likely=73.05), new("B", price=90.0, likely=73.05)],
        substitutes=[Substitute(part="A", substitute="B", both_ways=True)],
        movements=[kept("B", 1)],
    ))  # fmt: skip
    one, other = reorders.line("A"), reorders.line("B")

    assert (one.usable, one.reorder_point, one.pooled_with) == (1, 2, ("B",))
    assert (one.order_now, other.order_now) == (0, 1)
    assert "order that" in one.why


def test_a_finding_names_the_minimum_or_else_the_reorder_point() -> None:
    def found(**facts: Any) -> list[str]:
        exposed = site([at("P", "A", failures_per_year=5.0)], parts=[part(**facts)],
                       offers=[new(likely=73.05)], movements=[kept("A", 1)])  # fmt: skip
        rule = "below_reorder_point"
        return [each.text for each in findings(exposed.snapshot) if each.rule == rule]

    assert "reorder point of 2" in found()[0]
    assert "minimum of 3" in found(min_stock=3)[0]
    assert found(min_stock=1) == []


# Late orders


def late(**facts: Any) -> tuple[LateOrder, ...]:
    order = Order(order="O", supplier="S", part="A", qty=2, ordered_on=date(2026, 9, 1), **facts)
    return Enquiries(site([at("P", "A")], orders=[order])).late_orders()


def test_an_order_that_comes_as_promised_or_has_come_is_not_late() -> None:
    assert late(quoted_days=100.0) == ()
    assert late(quoted_days=10.0, received_on=date(2026, 10, 1)) == ()


def test_an_overdue_order_says_by_how_much() -> None:
    (found,) = late(due_on=TODAY - timedelta(days=5), quoted_days=60.0)

    assert (found.days_overdue, found.days_late) == (5, 25.0)
    assert found.record == "orders O/A"


def test_an_order_that_was_moved_is_late_before_it_is_overdue() -> None:
    (found,) = late(due_on=TODAY + timedelta(days=20), quoted_days=60.0)

    assert (found.days_overdue, found.days_late) == (0, 45.0)


def test_an_order_without_a_promise_is_named() -> None:
    (found,) = late()

    assert (found.due_on, found.sentence) == (None, "no date promised")


# Enquiries


def asked(**files: Any) -> list[tuple[str, str, str]]:
    exposed = site([at("P", "A")], **files)
    return [
        (each.supplier, row.about, row.record)
        for each in Enquiries(exposed).enquiries()
        for row in each.lines
    ]


def test_nobody_is_asked_about_a_part_that_nothing_uses() -> None:
    assert asked(parts=[part(), part("B")], offers=[new("B", quoted_on=date(2020, 1, 1))]) == []


def test_old_and_expired_quotations_and_missing_prices_are_asked_about() -> None:
    offers = [new(quoted_on=date(2025, 11, 24), price=None), new(supplier="T", valid_until=TODAY)]

    assert asked(offers=offers) == [
        ("S", "quotation", "offers S/A/new"),
        ("S", "price", "offers S/A/new"),
    ]


def test_an_only_source_is_told_once_and_a_repairer_is_none() -> None:
    offers = [new(), new(kind="used", price=300.0), new(kind="repair", supplier="T")]

    assert asked(offers=offers) == [("S", "only source", "offers S/A/new")]


def test_a_head_start_is_asked_about_where_it_brings_the_part_sooner() -> None:
    routes = [
        Operation(route="R", operation="drawing", likely=30.0, ahead=True),
        Operation(route="R", operation="cutting", likely=20.0, after="drawing"),
    ]
    made = new(kind="made", route="R", price=900.0, likely=None)
    sooner = new(supplier="T", likely=5.0)

    assert ("S", "head start", "routes R/drawing") in asked(routes=routes, offers=[made])
    assert asked(routes=routes, offers=[made, sooner]) == []
