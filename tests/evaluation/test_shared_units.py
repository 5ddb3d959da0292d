"""A unit goes once: small sites in which one part is wanted in several roles, worked by hand.

Every exchange takes 16 hours = 1 day. Days are those of the offers; nobody has a record of being
late, so they are not corrected.
"""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from parts.records.book import Book
from parts.records.catalogue import Companion, Part, Substitute
from parts.records.snapshot import Snapshot, snapshot_of
from parts.records.stock import Movement
from parts.records.structure import Crane, Position
from parts.records.supply import Offer, Operation, Order, Supplier
from parts.services.lead_times import lead_time
from parts.services.outages import outage, together

TODAY = date(2026, 11, 25)


class Site:
    """A book that is filled in a few words."""

    def __init__(self, *parts: str, defaults: dict[str, float] | None = None) -> None:
        self.book = Book()
        self.book["suppliers"].append(Supplier(supplier="S"))
        for part in parts:
            days = (defaults or {}).get(part)
            self.book["parts"].append(Part(part=part, default_lead_days=days))

    def crane(self, crane: str, cost: float = 0.0, **positions: str | tuple[str, str]) -> None:
        """`hook="HOOK"`, or `hook=("HOOK", "block")` inside the assembly `block`."""
        self.book["cranes"].append(Crane(crane=crane, down_cost_per_day=cost))
        for name, held in positions.items():
            part, parent = (held, None) if isinstance(held, str) else held
            self.book["positions"].append(
                Position(
                    crane=crane,
                    position=name,
                    part=part or None,
                    parent=parent,
                    exchange_hours=16.0,
                )
            )

    def stock(self, **parts: int) -> None:
        for part, qty in parts.items():
            self.moved(part, qty, "opening", 1)

    def moved(self, part: str, qty: int, kind: str, day: int, **facts: Any) -> None:
        facts.setdefault("key", f"m{len(self.book['movements'])}")
        row = Movement(date=date(2026, 1, day), part=part, qty=qty, kind=kind, **facts)
        self.book["movements"].append(row)

    def new(self, **parts: float) -> None:
        for part, days in parts.items():
            self.book["offers"].append(Offer(supplier="S", part=part, likely=days))

    def order(self, part: str, qty: int, due_on: date) -> None:
        row = Order(
            order="O", supplier="S", part=part, qty=qty, ordered_on=date(2026, 1, 1), due_on=due_on
        )
        self.book["orders"].append(row)

    def companion(self, part: str, companion: str, qty: int = 1) -> None:
        self.book["companions"].append(Companion(part=part, companion=companion, qty=qty))

    def substitute(
        self, part: str, substitute: str, hours: float = 0.0, both: bool = False
    ) -> None:
        self.book["substitutes"].append(
            Substitute(part=part, substitute=substitute, extra_hours=hours, both_ways=both)
        )

    def seen(self) -> Snapshot:
        return snapshot_of(self.book, TODAY)


def alone(site: Site, crane: str, position: str) -> float | None:
    """The restore of one position, asked alone and as a set of one."""
    fleet = outage(site.seen())
    days = fleet.row(fleet.rank_of(crane, position)).restore_days
    (one,) = together(site.seen(), [(crane, position)])

    assert one.restore_days == days
    return days


def failing(site: Site, *positions: str) -> dict[str, float | None]:
    keys = [(name.split("/")[0], name.split("/")[1]) for name in positions]
    return {crane.crane: crane.restore_days for crane in together(site.seen(), keys)}


def test_a_unit_taken_as_companion_is_not_there_as_a_substitute() -> None:
    # GEAR 0; SEAL, the one in stock, 0; RING new 60, or a second SEAL new 30: 30 + 1.
    site = Site("GEAR", "SEAL", "RING")
    site.crane("K", gear="GEAR")
    site.stock(GEAR=1, SEAL=1)
    site.new(SEAL=30, RING=60)
    site.companion("GEAR", "SEAL")
    site.companion("GEAR", "RING")
    site.substitute("RING", "SEAL")

    assert alone(site, "K", "gear") == pytest.approx(31)


def test_one_substitute_for_two_companions_takes_two_units() -> None:
    # SEAL and RING come new in 60 and 50; JOINT stands in for both, one in stock, the next in 40.
    site = Site("GEAR", "SEAL", "RING", "JOINT")
    site.crane("K", gear="GEAR")
    site.stock(GEAR=1, JOINT=1)
    site.new(SEAL=60, RING=50, JOINT=40)
    site.companion("GEAR", "SEAL")
    site.companion("GEAR", "RING")
    site.substitute("SEAL", "JOINT")
    site.substitute("RING", "JOINT")

    assert alone(site, "K", "gear") == pytest.approx(41)


def test_a_fitted_substitute_is_not_there_for_its_companion() -> None:
    # GEAR new 53: 54. WHEEL, the one in stock, with its RING new 49, which WHEEL could stand in
    # for, but there is no second one: 50.
    site = Site("GEAR", "WHEEL", "RING")
    site.crane("K", gear="GEAR")
    site.stock(WHEEL=1)
    site.new(GEAR=53, RING=49)
    site.companion("WHEEL", "RING")
    site.substitute("GEAR", "WHEEL")
    site.substitute("RING", "WHEEL")

    assert alone(site, "K", "gear") == pytest.approx(50)


def test_extra_hours_of_a_substitute_count_once_in_an_exchange() -> None:
    # Two seals by two joints: 16 hours and 8 more, once: 1.5.
    site = Site("GEAR", "SEAL", "JOINT")
    site.crane("K", gear="GEAR")
    site.stock(GEAR=1, JOINT=2)
    site.new(SEAL=60)
    site.companion("GEAR", "SEAL", qty=2)
    site.substitute("SEAL", "JOINT", hours=8)

    assert alone(site, "K", "gear") == pytest.approx(1.5)


def test_a_blank_that_an_offer_takes_is_not_there_for_the_default() -> None:
    # Route: blank 30 (done, gone with the first), turning 20. K1 is dear and its position bears no
    # load: made in 20. K2's bears load and the offer is not approved: assumed by the same route,
    # whose blank is gone: 50.
    site = Site()
    site.book["parts"].append(Part(part="SHAFT", default_route="R"))
    site.book["routes"].append(
        Operation(route="R", operation="blank", likely=30, ahead=True, ahead_lasts=False, done=True)
    )
    site.book["routes"].append(Operation(route="R", operation="turning", after="blank", likely=20))
    site.book["offers"].append(Offer(supplier="S", part="SHAFT", kind="made", route="R"))
    site.crane("K1", cost=100, shaft="SHAFT")
    site.book["cranes"].append(Crane(crane="K2"))
    site.book["positions"].append(
        Position(crane="K2", position="shaft", part="SHAFT", exchange_hours=16.0, load_bearing=True)
    )

    days = failing(site, "K1/shaft", "K2/shaft")

    assert days == {"K1": pytest.approx(21), "K2": pytest.approx(51)}


def test_the_dear_crane_gets_the_part_itself() -> None:
    # One GEAR, one WHEEL that takes 8 hours more: 1 and 1.5. Both cranes exchange the box; on
    # K2, the dear one, two positions wait for it.
    site = Site("GEAR", "WHEEL", "FAR")
    site.crane("K2", cost=100, box="GEAR", inside=("FAR", "box"))
    site.crane("K1", cost=10, box="GEAR", inside=("FAR", "box"))
    site.stock(GEAR=1, WHEEL=1)
    site.new(FAR=200)
    site.substitute("GEAR", "WHEEL", hours=8)

    days = failing(site, "K2/inside", "K2/box", "K1/inside")

    assert days == {"K2": pytest.approx(1), "K1": pytest.approx(1.5)}


def test_a_part_wanted_as_itself_comes_before_its_use_as_a_substitute() -> None:
    # Two SEALs in stock, the next in 30. K1 exchanges a SEAL and its RING (new 60, or by a SEAL),
    # K2 a GEAR that takes a SEAL along. K1's seal and K2's seal first: K1's RING waits 30.
    site = Site("GEAR", "SEAL", "RING")
    site.crane("K1", cost=100, seal="SEAL")
    site.crane("K2", cost=10, gear="GEAR")
    site.stock(GEAR=1, SEAL=2)
    site.new(SEAL=30, RING=60)
    site.companion("SEAL", "RING")
    site.companion("GEAR", "SEAL")
    site.substitute("RING", "SEAL")

    days = failing(site, "K1/seal", "K2/gear")

    assert days == {"K1": pytest.approx(31), "K2": pytest.approx(1)}


def test_a_position_that_nothing_restores_does_not_spoil_the_others() -> None:
    # ODD, which takes a WHEEL along, comes from nowhere, so nobody exchanges it and the WHEEL is
    # free. The gear is assumed in 200 days; the WHEEL stands in: 1.
    site = Site("ODD", "GEAR", "WHEEL", defaults={"GEAR": 200})
    site.crane("K1", cost=100, odd="ODD")
    site.crane("K2", cost=10, gear="GEAR")
    site.stock(WHEEL=1)
    site.companion("ODD", "WHEEL")
    site.substitute("GEAR", "WHEEL")

    assert failing(site, "K1/odd", "K2/gear") == {"K1": None, "K2": pytest.approx(1)}


def test_the_set_is_restored_so_that_its_longest_is_least() -> None:
    # The box is the only way for what sits inside it, and an assumed box does not count: it takes
    # the WHEEL in stock: 1. The pump's companion BOX may then only be assumed, 80: 81.
    site = Site("BOX", "WHEEL", "PUMP", defaults={"BOX": 80})
    site.crane("K", a_box="BOX", inside=("", "a_box"), pump="PUMP")
    site.stock(WHEEL=1, PUMP=1)
    site.companion("PUMP", "BOX")
    site.substitute("BOX", "WHEEL", hours=8)

    assert failing(site, "K/inside", "K/pump") == {"K": pytest.approx(81)}


def test_two_sets_that_share_a_part_are_served_so_that_the_longest_is_least() -> None:
    # WHEEL (2 in stock, new 20) takes two PINIONs along; three PINIONs come in 10 days. PINION
    # takes two RINGs along, new in 91, for which PINION or WHEEL stands in. The wheel 10 + 1; the
    # pinion 10, its rings by the second wheel and a new one: 20 + 1. With a RING for the wheel,
    # or PINIONs for the rings, somebody would wait 91.
    site = Site("WHEEL", "PINION", "RING")
    site.crane("K", wheel="WHEEL", pinion="PINION")
    site.stock(WHEEL=2)
    site.new(WHEEL=20, RING=91)
    site.order("PINION", 3, date(2026, 12, 5))
    site.companion("WHEEL", "PINION", qty=2)
    site.companion("PINION", "RING", qty=2)
    site.substitute("WHEEL", "RING", both=True)
    site.substitute("RING", "PINION")

    assert failing(site, "K/wheel", "K/pinion") == {"K": pytest.approx(21)}


def test_usable_stock_is_never_more_than_what_lies_there() -> None:
    # 2 in quarantine and 1 usable came in, all 3 went out, 2 came in; then the receipt of the 2 in
    # quarantine is undone: 2 + 1 - 3 + 2 - 2 = 0.
    site = Site("SEAL")
    site.crane("K", seal="SEAL")
    site.moved("SEAL", 2, "receipt", 1, condition="quarantine", key="wrong receipt")
    site.moved("SEAL", 1, "receipt", 2)
    site.moved("SEAL", -3, "issue", 3, condition="quarantine")
    site.moved("SEAL", 2, "receipt", 4)
    site.moved("SEAL", -2, "reversal", 5, reverses="wrong receipt")

    assert [way.qty for way in lead_time(site.seen(), "SEAL").ways if way.kind == "stock"] in (
        [],
        [0],
    )


def test_what_is_undone_on_its_own_day_leaves_no_trace() -> None:
    # 1 expiring in 2027 and 1 in 2028; issue and undo on one day; the issue after it takes 2027.
    # In November 2027 the one left is the one of 2028.
    site = Site("SEAL")
    site.crane("K", seal="SEAL")
    site.moved("SEAL", 1, "opening", 1, expires_on=date(2027, 6, 30))
    site.moved("SEAL", 1, "opening", 1, expires_on=date(2028, 6, 30))
    site.moved("SEAL", -2, "issue", 5, key="mistake")
    site.moved("SEAL", 2, "reversal", 5, reverses="mistake")
    site.moved("SEAL", -1, "issue", 5)
    later = snapshot_of(site.book, date(2027, 11, 25))

    assert [way.qty for way in lead_time(later, "SEAL").ways if way.kind == "stock"] == [1]
