"""What is drawn: the needs of a crane, the fleet by systems, promised and real days, ages and
lives, each on a few records whose answer is worked by hand."""

from __future__ import annotations

import math
from datetime import date

import pytest

from parts.calc.likelihoods.weibull import age_failed_before
from parts.calc.needs.graphs import NeedsGraph
from parts.records.catalogue import Part
from parts.records.picture_answers import (
    AgeAnswer,
    Effect,
    HeatAnswer,
    NeedKind,
    NeedLine,
    Stand,
    SupplierDays,
)
from parts.records.snapshot import Snapshot
from parts.records.states import State
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Offer, Order, Supplier
from parts.services import outages, pictures, risks
from tests.calc.small_snapshot import snapshot_with

DEAD, WEAKER, ON, FAILED = Effect.DEAD, Effect.WEAKER, Effect.CARRIES_ON, Effect.FAILED


def crane_with_drives() -> Snapshot:
    """Travel needs a drive group, 1 of 2; each drive is an assembly of motor and brake, and both
    need the feed. The hook hangs on nothing but hoisting, the plate on no function."""
    drives = [
        position
        for n in (1, 2)
        for position in (
            Position(crane="C", position=f"drive {n}"),
            Position(crane="C", position=f"motor {n}", parent=f"drive {n}", part="MOT"),
            Position(crane="C", position=f"brake {n}", parent=f"drive {n}", part="BRK"),
        )
    ]
    return snapshot_with(
        cranes=[Crane(crane="C", down_cost_per_day=1000.0)],
        functions=[
            Function(crane="C", function="hoisting", lost_share=1.0),
            Function(crane="C", function="travel", lost_share=0.6),
        ],
        parts=[Part(part="MOT"), Part(part="BRK"), Part(part="HOOK"), Part(part="FEED")],
        positions=[
            *drives,
            Position(crane="C", position="feed", part="FEED"),
            Position(crane="C", position="hook", part="HOOK", load_bearing=True),
            Position(crane="C", position="plate"),
        ],
        needs=[
            Need(crane="C", item="hoisting", needs="hook"),
            Need(crane="C", item="hoisting", needs="feed"),
            Need(crane="C", item="travel", needs="drive 1", group="drives", at_least=1),
            Need(crane="C", item="travel", needs="drive 2", group="drives", at_least=1),
            Need(crane="C", item="travel", needs="feed"),
        ],
    )


def graph_of(snapshot: Snapshot, crane: str = "C") -> NeedsGraph:
    return pictures.needs_graph(outages.outage(snapshot), crane)


def drawn(lines: tuple[NeedLine, ...]) -> list[str]:
    return ["  " * line.depth + line.name + (" again" if line.again else "") for line in lines]


# Needs of a crane


def test_a_crane_without_positions_has_no_lines_and_nothing_fails() -> None:
    graph = graph_of(snapshot_with(cranes=[Crane(crane="C")]))

    assert graph.lines == ()
    assert graph.when_failed([]).state is State.IN_SERVICE


def test_each_need_stands_once_below_what_needs_it_and_what_nothing_needs_comes_last() -> None:
    graph = graph_of(crane_with_drives())

    assert drawn(graph.lines) == [
        "hoisting",
        "  feed",
        "  hook",
        "travel",
        "  feed",
        "  drives",
        "    drive 1",
        "      brake 1",
        "      motor 1",
        "    drive 2",
        "      brake 2",
        "      motor 2",
        "plate",
    ]
    group = graph.lines[5]
    assert (group.kind, group.at_least, group.members) == (NeedKind.GROUP, 1, 2)
    assert [line.name for line in graph.lines if line.kind is NeedKind.ASSEMBLY] == [
        "drive 1",
        "drive 2",
    ]


def test_an_assembly_that_two_functions_need_is_unfolded_where_it_is_met_first() -> None:
    snapshot = snapshot_with(
        cranes=[Crane(crane="C")],
        functions=[
            Function(crane="C", function="a", lost_share=0.5),
            Function(crane="C", function="b", lost_share=0.5),
        ],
        positions=[
            Position(crane="C", position="box"),
            Position(crane="C", position="card", parent="box"),
        ],
        needs=[
            Need(crane="C", item="a", needs="box"),
            Need(crane="C", item="b", needs="box"),
        ],
    )

    assert drawn(graph_of(snapshot).lines) == ["a", "  box", "    card", "b", "  box again"]


def test_one_of_two_drives_leaves_travel_weaker_and_both_kill_it() -> None:
    graph = graph_of(crane_with_drives())
    one, both = graph.when_failed(["motor 1"]), graph.when_failed(["motor 1", "brake 2"])

    assert one.effects["motor 1"] is FAILED
    assert one.effects["brake 1"] is ON
    assert (one.effects["drive 1"], one.effects["drive 2"]) == (DEAD, ON)
    assert (one.functions_dead, one.functions_weaker) == ((), ("travel",))
    assert (one.assemblies_dead, one.lost_share, one.state) == (("drive 1",), 0.0, State.IN_SERVICE)
    assert both.functions_dead == ("travel",)
    assert both.functions_weaker == ()
    assert both.lost_share == pytest.approx(0.6)
    assert both.state is State.REDUCED


def test_a_failed_assembly_takes_all_that_is_inside() -> None:
    found = graph_of(crane_with_drives()).when_failed(["drive 1"]).effects

    assert (found["drive 1"], found["motor 1"], found["brake 1"]) == (FAILED, DEAD, DEAD)
    assert found["motor 2"] is ON


def test_lost_shares_multiply_and_a_dead_function_with_share_one_stops_the_crane() -> None:
    found = graph_of(crane_with_drives()).when_failed(["feed"])

    assert found.functions_dead == ("hoisting", "travel")
    assert (found.lost_share, found.state) == (1.0, State.DOWN)


def test_who_decides_is_told_where_a_load_bearing_twin_is_out() -> None:
    snapshot = snapshot_with(
        cranes=[Crane(crane="C")],
        functions=[Function(crane="C", function="holding", lost_share=1.0)],
        positions=[Position(crane="C", position=f"brake {n}", load_bearing=True) for n in (1, 2)],
        needs=[
            Need(crane="C", item="holding", needs=f"brake {n}", group="brakes", at_least=1)
            for n in (1, 2)
        ],
    )
    graph = graph_of(snapshot)
    one, both = graph.when_failed(["brake 1"]), graph.when_failed(["brake 1", "brake 2"])

    assert "for a qualified person to decide" in (one.decide or "")
    assert (both.decide, both.state) == (None, State.DOWN)
    assert graph.when_failed([]).decide is None


def test_the_graph_agrees_with_the_ranking_for_every_single_failure() -> None:
    fleet = outages.outage(crane_with_drives())
    graph = pictures.needs_graph(fleet, "C")
    ranked = [fleet.row(rank) for rank in range(len(fleet))]

    assert len(ranked) == 7
    for outage in ranked:
        found = graph.when_failed([outage.position])
        assert found.lost_share == pytest.approx(outage.lost_share)
        assert found.functions_dead == outage.functions_lost


def test_a_chain_of_ten_thousand_needs_is_walked_without_recursion() -> None:
    names = [f"p{n:05}" for n in range(10_000)]
    snapshot = snapshot_with(
        cranes=[Crane(crane="C")],
        functions=[Function(crane="C", function="f", lost_share=1.0)],
        positions=[Position(crane="C", position=name) for name in names],
        needs=[
            Need(crane="C", item=item, needs=needs)
            for item, needs in zip(["f", *names], names, strict=False)
        ],
    )
    graph = graph_of(snapshot)

    assert graph.lines[-1].depth == 10_000
    assert graph.when_failed([names[-1]]).functions_dead == ("f",)


# The fleet by systems


def two_cranes() -> Snapshot:
    """A crane that costs 1000 a lost day and one whose cost nobody knows; a part comes in 10 days
    and goes in within one."""
    rows = [("C", "hook", 0.2), ("C", "motor", 0.1), ("C", "lamp", None), ("D", "hook", 0.4)]
    return snapshot_with(
        cranes=[Crane(crane="C", down_cost_per_day=1000.0), Crane(crane="D")],
        functions=[
            *(Function(crane=each, function="hoisting", lost_share=1.0) for each in "CD"),
            Function(crane="C", function="light", lost_share=0.1),
            Function(crane="C", function="travel", lost_share=0.5),
        ],
        parts=[Part(part="P", part_class="hooks"), Part(part="Q")],
        suppliers=[Supplier(supplier="S")],
        offers=[Offer(supplier="S", part="P", likely=10.0)],
        positions=[
            Position(
                crane=crane,
                position=position,
                part="Q" if position == "lamp" else "P",
                exchange_hours=16.0,
                failures_per_year=rate,
            )
            for crane, position, rate in rows
        ],
        needs=[
            *(Need(crane=each, item="hoisting", needs="hook") for each in "CD"),
            Need(crane="C", item="hoisting", needs="motor"),
            Need(crane="C", item="travel", needs="motor"),
            Need(crane="C", item="light", needs="lamp"),
        ],
    )


def heat_of(snapshot: Snapshot, by: pictures.By, unit: pictures.Unit) -> HeatAnswer:
    return pictures.heat(risks.exposures(snapshot), by, unit)


def test_a_fleet_without_cranes_has_no_heat() -> None:
    found = heat_of(snapshot_with(), "function", "money")

    assert (found.systems, found.rows, found.most, found.notes) == ((), (), 0.0, ())


def test_a_position_counts_in_the_nearest_function_only() -> None:
    found = heat_of(two_cranes(), "function", "days")
    c = dict(zip(found.systems, found.rows[1].cells, strict=True))

    # 0.2 x 11 and 0.1 x 11 days on C, 0.4 x 11 on D; the motor's nearest is travel
    assert found.systems == ("hoisting", "travel", "light")
    assert [row.crane for row in found.rows] == ["D", "C"]
    assert [cell and cell.value for cell in found.rows[0].cells] == [pytest.approx(4.4), None, None]
    assert c["hoisting"] is not None
    assert c["travel"] is not None
    assert c["light"] is not None
    assert c["hoisting"].value == pytest.approx(2.2)
    assert c["travel"].value == pytest.approx(1.1)
    assert (c["light"].value, c["light"].unknown, c["light"].worst) == (None, 1, "lamp")
    assert found.most == pytest.approx(4.4)
    assert sum(row.value or 0.0 for row in found.rows) == pytest.approx(7.7)


def test_a_crane_whose_cost_nobody_knows_has_no_money_rather_than_none() -> None:
    found = heat_of(two_cranes(), "function", "money")
    c, d = found.rows

    assert (c.crane, d.crane) == ("C", "D")
    assert c.value == pytest.approx(3300.0)
    assert (d.value, d.unknown) == (None, 1)


def test_by_class_a_part_without_one_is_named_so() -> None:
    found = heat_of(two_cranes(), "class", "days")

    assert found.systems == ("hooks", "class not recorded")
    assert found.rows[1].cells[0] is not None
    assert found.rows[1].cells[0].positions == 2


# Promised and real days


def order(name: str, supplier: str, took: int | None, quoted: float = 10.0) -> Order:
    ordered_on = date(2026, 1, 1)
    received_on = None if took is None else date.fromordinal(ordered_on.toordinal() + took)
    return Order(
        order=name,
        supplier=supplier,
        part="P",
        qty=1,
        ordered_on=ordered_on,
        quoted_days=quoted,
        due_on=date(2026, 1, 11),
        received_on=received_on,
    )


def test_suppliers_tell_median_range_factor_and_what_is_overdue() -> None:
    snapshot = snapshot_with(
        suppliers=[Supplier(supplier=name) for name in ("late", "new", "on time")],
        parts=[Part(part="P")],
        orders=[
            order("1", "late", 12),
            order("2", "late", 20),
            order("3", "late", 15),
            order("4", "on time", 10),
            order("5", "new", None),
        ],
    )
    found: dict[str, SupplierDays] = {
        each.supplier: each for each in pictures.promised_and_real(snapshot)
    }

    # pooled log = mean of the four logs x 4/14, the supplier's own mean counts 3/6
    logs = [math.log(ratio) for ratio in (1.2, 2.0, 1.5, 1.0)]
    pooled = sum(logs) / 14
    assert list(found) == ["late", "on time", "new"]
    late = found["late"]
    assert (late.ratio, late.quoted_days, late.actual_days, late.late) == (1.5, 10.0, 15.0, 3)
    assert late.factor == pytest.approx(math.exp(sum(logs[:3]) / 3 / 2 + pooled / 2))
    assert (found["on time"].ratio, found["on time"].late) == (1.0, 0)
    assert (found["new"].ratio, found["new"].overdue) == (None, 1)
    assert found["new"].factor == pytest.approx(math.exp(pooled))


def test_an_order_of_which_the_quotation_is_not_known_teaches_nothing() -> None:
    snapshot = snapshot_with(
        suppliers=[Supplier(supplier="S")], orders=[order("1", "S", 12, quoted=0.0)]
    )

    assert [each.deliveries for each in pictures.promised_and_real(snapshot)] == [()]


# Ages and lives


def test_the_ages_that_a_share_fails_before_are_those_of_the_distribution() -> None:
    # F(t) = 1 - exp(-(t/scale)^shape): put in, it must give the share back
    for shape in (0.5, 1.0, 3.0):
        for share in (0.1, 0.5, 0.9):
            age = age_failed_before(share, shape, 8.0)

            assert 1.0 - math.exp(-((age / 8.0) ** shape)) == pytest.approx(share)


def site_with_ages() -> Snapshot:
    """A part with shape 1, scale 10: mean 10, 10 % before 1.054, 90 % before 23.03 years; and one
    of which only the rate is known."""
    installed = {"young": 2022, "old": 2011, "oldest": 1996, "unknown": None}
    places = [
        Position(
            crane="C",
            position=name,
            part="P",
            installed=None if year is None else date(year, 11, 25),
        )
        for name, year in installed.items()
    ]
    return snapshot_with(
        cranes=[Crane(crane="C")],
        parts=[
            Part(part="P", life_basis="years", life_shape=1.0, life_scale=10.0),
            Part(part="Q", failures_per_year=0.1),
        ],
        positions=[
            *places,
            Position(crane="C", position="rate only", part="Q", installed=date(2000, 1, 1)),
        ],
    )


def test_ages_stand_within_beyond_the_mean_beyond_the_range_or_are_not_known() -> None:
    exposed = risks.exposures(site_with_ages())
    answer = pictures.ages(exposed)
    found: dict[str, AgeAnswer] = {each.position: each for each in answer.ages}

    assert list(found) == ["oldest", "old", "young", "rate only", "unknown"]
    assert [each.stand for each in found.values()] == [
        Stand.BEYOND_RANGE,
        Stand.BEYOND_MEAN,
        Stand.WITHIN,
        Stand.NOT_KNOWN,
        Stand.NOT_KNOWN,
    ]
    oldest = found["oldest"]
    assert oldest.age == pytest.approx(30.0, abs=0.01)
    assert oldest.mean == pytest.approx(10.0)
    assert oldest.low == pytest.approx(1.0536, abs=1e-4)
    assert oldest.high == pytest.approx(23.026, abs=1e-3)
    assert found["rate only"].mean is None
    assert (answer.counts[Stand.NOT_KNOWN], answer.by_half_lives) == (2, (1, 0, 0, 1, 1))
    assert answer.widest == pytest.approx(3.0, abs=0.01)
    assert len(pictures.ages(exposed, "Q").ages) == 1
