"""Long-run waits of positions: chains, choices and what each term of a wait rests on."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from parts.calc.failing.outages import FleetOutage
from parts.calc.waiting.backorders import chance_uncovered, mean_wait_days
from parts.calc.waiting.long_run import LongRun
from parts.records.catalogue import Companion, Part, Substitute
from parts.records.snapshot import Snapshot
from parts.records.stock import Movement
from parts.records.structure import Crane, Position
from parts.records.supply import Offer, Supplier
from tests.calc.small_snapshot import TODAY, snapshot_with

HANDS_ON = 0.5  # eight hours of a day of sixteen, the site's defaults


def stock(part: str, qty: int) -> Movement:
    return Movement(date=TODAY, part=part, qty=qty, kind="opening", store="S", key=part)


def offer(part: str, days: float) -> Offer:
    return Offer(supplier="S", part=part, kind="new", likely=days)


def site(parts: str, positions: list[Position], **files: Any) -> Snapshot:
    return snapshot_with(
        cranes=[Crane(crane=name) for name in sorted({row.crane for row in positions})],
        suppliers=[Supplier(supplier="S")],
        parts=[Part(part=name, default_lead_days=300.0) for name in parts],
        positions=positions,
        **files,
    )


def at(name: str, part: str | None, parent: str | None = None, crane: str = "C") -> Position:
    return Position(crane=crane, position=name, part=part, parent=parent)


def reckoned(
    snapshot: Snapshot, rates: list[float], planned: dict[str, float] | None = None
) -> LongRun:
    return LongRun(FleetOutage(snapshot), np.array(rates), planned or {})


def test_an_empty_site_has_no_waits() -> None:
    assert len(reckoned(site("A", []), []).restore_days) == 0


def test_a_position_without_part_is_not_known() -> None:
    found = reckoned(site("A", [at("P", None)]), [np.nan])

    assert np.isnan(found.restore_days).all()
    assert found.set_wait(0) is None


def test_a_lead_that_nobody_knows_is_not_known() -> None:
    snapshot = snapshot_with(
        cranes=[Crane(crane="C")],
        parts=[Part(part="A", default_lead_days=10.0), Part(part="B")],
        positions=[at("P", "A")],
        companions=[Companion(part="A", companion="B")],
    )
    found = reckoned(snapshot, [1.0])
    wait = found.set_wait(0)

    assert np.isnan(found.restore_days[0])
    assert wait is not None
    assert wait.waits_for.part == "B"


def test_a_part_waits_by_the_demand_of_all_its_positions() -> None:
    snapshot = site("A", [at("P", "A"), at("Q", "A")], offers=[offer("A", 90.0)],
                    movements=[stock("A", 1)])  # fmt: skip
    found = reckoned(snapshot, [0.5, 0.25], {"A": 1.25})

    expected = mean_wait_days({1: 2.0}, 1, 1, 90.0)
    assert found.wait_days == pytest.approx([expected, expected])
    assert found.restore_days == pytest.approx([expected + HANDS_ON] * 2)
    assert found.demand_per_year("A") == 2.0


def test_a_rate_that_is_not_known_counts_as_no_demand() -> None:
    snapshot = site("A", [at("P", "A"), at("Q", "A")], offers=[offer("A", 90.0)],
                    movements=[stock("A", 1)])  # fmt: skip
    found = reckoned(snapshot, [np.nan, np.nan])

    assert found.wait_days == pytest.approx([0.0, 0.0])


def test_the_member_with_the_longest_wait_of_its_own_is_named() -> None:
    snapshot = site(
        "ABD", [at("P", "A")], offers=[offer("A", 20.0), offer("B", 90.0), offer("D", 100.0)],
        companions=[Companion(part="A", companion="B", qty=2),
                    Companion(part="A", companion="D", chance=0.01)],
        movements=[stock("B", 1)],
    )  # fmt: skip
    wait = reckoned(snapshot, [1.0]).set_wait(0)

    assert wait is not None
    assert wait.waits_for.part == "B"
    assert [(term.part, term.needs) for term in wait.members] == [
        ("A", ((1, 1.0),)),
        ("B", ((2, 1.0),)),
        ("D", ((1, 0.01),)),
    ]
    assert wait.wait_days == pytest.approx(0.99 * 90.0 + 0.01 * 100.0)


def test_a_part_exchanged_in_pairs_takes_two() -> None:
    snapshot = site("A", [at("P", "A")], offers=[offer("A", 60.0)], movements=[stock("A", 3)],
                    companions=[Companion(part="A", companion="A")])  # fmt: skip
    found = reckoned(snapshot, [1.5])

    assert found.wait_days[0] == pytest.approx(mean_wait_days({2: 1.5}, 2, 3, 60.0))
    assert found.demand_per_year("A") == 3.0


def test_pooled_parts_add_their_rates_and_stock() -> None:
    snapshot = site(
        "AB", [at("P", "A"), at("Q", "B")], offers=[offer("A", 60.0), offer("B", 80.0)],
        movements=[stock("A", 1), stock("B", 1)],
        substitutes=[Substitute(part="A", substitute="B", both_ways=True, extra_hours=99.0)],
    )  # fmt: skip
    found = reckoned(snapshot, [1.0, 2.0])

    assert found.wait_days == pytest.approx([mean_wait_days({1: 3.0}, 1, 2, 60.0)] * 2)


def test_what_cannot_be_bought_again_covers_the_first_uses_only() -> None:
    snapshot = site("A", [at("P", "A")], movements=[stock("A", 2)])
    found = reckoned(snapshot, [0.2])
    wait = found.set_wait(0)

    assert wait is not None
    assert wait.assumed
    assert wait.members[0].horizon is not None
    assert found.wait_days[0] == pytest.approx(300.0 * chance_uncovered({1: 0.2}, 2, 15.0))


GEARBOX = [at("BOX", "B"), at("GEAR", "G", "BOX"), at("SEAL", "S", "BOX")]


def test_an_assembly_with_an_assumed_lead_does_not_count_whatever_its_stock() -> None:
    snapshot = site("BGS", GEARBOX, movements=[stock("B", 9)], offers=[offer("G", 200.0)])
    found = reckoned(snapshot, [np.nan, 0.1, 0.1])

    assert found.replaced.tolist() == [0, 1, 2]
    assert found.wait_days[1] == 200.0


def test_an_assembly_whose_companion_is_assumed_does_not_count() -> None:
    snapshot = site("BGSK", GEARBOX, offers=[offer("B", 5.0), offer("G", 200.0), offer("S", 200.0)],
                    companions=[Companion(part="B", companion="K", chance=0.1)],
                    movements=[stock("K", 9)])  # fmt: skip

    assert reckoned(snapshot, [0.0, 0.1, 0.1]).replaced.tolist() == [0, 1, 2]


def test_failures_restored_through_an_assembly_are_demand_on_it() -> None:
    snapshot = site("BGS", GEARBOX, movements=[stock("B", 1), stock("S", 50)],
                    offers=[offer("B", 120.0), offer("G", 200.0), offer("S", 10.0)])  # fmt: skip
    found = reckoned(snapshot, [np.nan, 1.0, 2.0])

    assert found.replaced.tolist() == [0, 0, 2]  # the seal is in the store, the gear is not
    assert found.demand_per_year("B") == 1.0
    assert found.demand_per_year("G") == 1.0  # the removed gearbox is rebuilt
    assert found.wait_days[1] == pytest.approx(mean_wait_days({1: 1.0}, 1, 1, 120.0))
    assert found.wait_days[1] > 0.0  # one gearbox on the shelf would not serve for ever


def test_ties_go_to_the_part() -> None:
    snapshot = site("BGS", GEARBOX, offers=[offer(part, 60.0) for part in "BGS"])

    assert reckoned(snapshot, [np.nan, 1.0, 2.0]).replaced.tolist() == [0, 1, 2]


def test_where_the_choice_flips_the_waits_of_the_tenth_stand() -> None:
    # with nothing drawn on it the gearbox is quicker; with the gear's failures it is slower
    snapshot = site("BGS", GEARBOX, movements=[stock("B", 1), stock("S", 50)],
                    offers=[offer("B", 120.0), offer("G", 20.0), offer("S", 1.0)])  # fmt: skip
    found = reckoned(snapshot, [np.nan, 2.0, 0.0])

    assert found.replaced[1] == 1  # odd choices take the gearbox, even ones the gear
    assert found.demand_per_year("B") == 2.0
    assert found.restore_days[1] == 20.0 + HANDS_ON
    assert found.restore_days[0] == pytest.approx(mean_wait_days({1: 2.0}, 1, 1, 120.0) + HANDS_ON)


def test_a_retired_crane_asks_for_nothing() -> None:
    positions = [at("P", "A", crane="C"), at("P", "A", crane="D")]
    snapshot = snapshot_with(
        cranes=[Crane(crane="C"), Crane(crane="D", retire_on=TODAY)],
        suppliers=[Supplier(supplier="S")],
        parts=[Part(part="A")],
        positions=positions,
        offers=[offer("A", 90.0)],
        movements=[stock("A", 1)],
    )
    found = reckoned(snapshot, [1.0, 50.0])

    assert found.demand_per_year("A") == 1.0
    assert np.isnan(found.restore_days[1])
