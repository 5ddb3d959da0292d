"""How parts are kept up in the long run: the rules case by case."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from parts.calc.failing.fleet import Fleet
from parts.calc.getting.supply import Supplies
from parts.calc.getting.ways import Market
from parts.calc.waiting.horizons import Horizon, Horizons
from parts.calc.waiting.restocking import Restock, Restocking
from parts.records.catalogue import Companion, Part, Substitute
from parts.records.site import Setting
from parts.records.snapshot import Snapshot
from parts.records.stock import Movement, Reservation
from parts.records.structure import Crane, Position
from parts.records.supply import Offer, Operation, Order, Supplier
from tests.calc.small_snapshot import TODAY, snapshot_with


def kept(snapshot: Snapshot, part: str) -> Restock:
    supplies = Supplies(snapshot, Market(snapshot))
    return Restocking(snapshot, supplies, Fleet(snapshot)).of(part)


def offer(part: str, days: float, kind: str = "new", **more: Any) -> Offer:
    return Offer(supplier="S", part=part, kind=kind, likely=days, **more)


def site_with(
    *, parts: str = "AB", default: float | None = None, positions: Any = (), **files: Any
) -> Snapshot:
    return snapshot_with(
        cranes=[Crane(crane="C")],
        suppliers=[Supplier(supplier="S")],
        parts=[Part(part=name, default_lead_days=default) for name in parts],
        positions=list(positions),
        **files,
    )


def at(name: str, part: str, **more: Any) -> Position:
    return Position(crane="C", position=name, part=part, **more)


def test_a_part_without_any_way_has_no_lead() -> None:
    found = kept(site_with(), "A")

    assert (found.lead_days, found.stock, found.assumed, found.way) == (None, 0, True, None)


def test_the_default_is_taken_only_where_nothing_can_be_bought_or_made() -> None:
    site = site_with(default=5.0, offers=[offer("A", 90.0)])

    assert (kept(site, "A").lead_days, kept(site, "A").assumed) == (90.0, False)
    assert (kept(site, "B").lead_days, kept(site, "B").assumed) == (5.0, True)


def test_the_fastest_usable_way_sets_the_lead_and_stock_does_not() -> None:
    site = site_with(
        offers=[offer("A", 90.0), offer("A", 40.0, "used"), offer("A", 20.0, "repair")],
        movements=[Movement(date=TODAY, part="A", qty=3, kind="opening", store="S", key="1")],
    )

    assert (kept(site, "A").lead_days, kept(site, "A").stock) == (40.0, 3)


def test_a_repair_counts_where_the_part_sits_in_a_position() -> None:
    site = site_with(
        positions=[at("P", "A")], offers=[offer("A", 90.0), offer("A", 20.0, "repair")]
    )

    assert kept(site, "A").lead_days == 20.0


@pytest.mark.parametrize(("part", "days"), [("A", 90.0), ("B", 40.0)])
def test_what_bears_load_somewhere_takes_no_unapproved_way(part: str, days: float) -> None:
    site = site_with(
        positions=[at("P", "A", load_bearing=True), at("Q", "B")],
        offers=[offer(name, lead, kind) for name in "AB" for lead, kind in
                [(90.0, "new"), (40.0, "used")]],
    )  # fmt: skip

    assert kept(site, part).lead_days == days


def test_stock_less_reservations_and_orders_not_overdue_are_kept() -> None:
    site = site_with(
        movements=[Movement(date=TODAY, part="A", qty=5, kind="opening", store="S", key="1")],
        reservations=[Reservation(part="A", qty=2, for_="job")],
        orders=[
            Order(order="1", supplier="S", part="A", qty=4, ordered_on=date(2026, 11, 1),
                  due_on=date(2027, 1, 1)),
            Order(order="2", supplier="S", part="A", qty=7, ordered_on=date(2026, 1, 1),
                  due_on=date(2026, 2, 1)),
        ],
    )  # fmt: skip

    assert kept(site, "A").stock == 3 + 4


def test_a_finished_blank_serves_one_unit_and_the_long_run_takes_the_full_route() -> None:
    site = site_with(
        routes=[
            Operation(route="R", operation="blank", likely=60.0, ahead=True, ahead_lasts=False,
                      done=True),
            Operation(route="R", operation="cut", likely=10.0, after="blank"),
        ],
        offers=[Offer(supplier="S", part="A", kind="made", route="R")],
    )  # fmt: skip

    assert kept(site, "A").lead_days == 70.0


@pytest.mark.parametrize(
    ("approval", "bears", "pooled"),
    [(None, False, True), (None, True, False), ("engineer 12", True, True)],
)
def test_parts_that_stand_in_both_ways_are_one_pool(
    approval: str | None, bears: bool, pooled: bool
) -> None:
    site = site_with(
        parts="ABC",
        positions=[at("P", "A", load_bearing=bears)],
        substitutes=[
            Substitute(part="A", substitute="B", both_ways=True, approval=approval),
            Substitute(part="B", substitute="C", both_ways=True),
        ],
        offers=[offer("A", 90.0), offer("B", 60.0), offer("C", 75.0)],
        movements=[
            Movement(date=TODAY, part=part, qty=2, kind="opening", store="S", key=part)
            for part in "ABC"
        ],
    )
    found = kept(site, "A")

    assert found.parts == (("A", "B", "C") if pooled else ("A",))
    assert (found.stock, found.lead_days) == ((6, 60.0) if pooled else (2, 90.0))
    assert kept(site, "C").parts == (("A", "B", "C") if pooled else ("B", "C"))


def test_one_way_substitutes_stay_apart() -> None:
    site = site_with(substitutes=[Substitute(part="A", substitute="B")], offers=[offer("B", 9.0)])

    assert kept(site, "A").lead_days is None


def horizon(part: str, *cranes: Crane, settings: Any = ()) -> Horizon:
    snapshot = snapshot_with(
        site=list(settings),
        cranes=list(cranes),
        parts=[Part(part="A"), Part(part="B")],
        positions=[Position(crane=row.crane, position="P", part="A") for row in cranes],
        companions=[Companion(part="A", companion="B", chance=0.2)],
    )
    return Horizons(snapshot, Fleet(snapshot)).of([part])


def test_a_part_is_asked_for_until_its_last_crane_goes() -> None:
    soon = Crane(crane="C", retire_on=date(2028, 11, 25))
    late = Crane(crane="D", retire_on=date(2056, 11, 25))
    gone = Crane(crane="E", retire_on=date(2026, 1, 1))

    assert horizon("A", soon, gone).years == pytest.approx(2.0, abs=0.01)
    assert horizon("B", soon, late).years == pytest.approx(30.0, abs=0.01)
    assert not horizon("B", soon, late).assumed


def test_a_crane_without_a_date_counts_for_the_site_s_horizon() -> None:
    soon = Crane(crane="C", retire_on=date(2028, 11, 25))

    assert horizon("A", soon, Crane(crane="D")) == Horizon(15.0, True)
    assert horizon("A", Crane(crane="D"), settings=[Setting(key="horizon_years", value="8")]) == (
        Horizon(8.0, True)
    )
    assert horizon("A") == Horizon(15.0, True)
