"""The demo site tells the stories that it promises, and comes out the same every time.

Everything in the demo is invented, so there is no outside source here: the stories of
data/README.md are checked against the book and against the answers of 2026-11-25.
"""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Mapping
from pathlib import Path

import make_demo
import pytest
from demo import ROOT

from parts.calc.failing.outages import FleetOutage
from parts.calc.ranking.exposures import Exposures
from parts.exchange.merge import merge
from parts.exchange.reader import read_site_book
from parts.exchange.rules import faults_of
from parts.exchange.writer import write_site_book
from parts.records.answers import PositionOutage
from parts.records.book import Book
from parts.records.risk_answers import LikelyAnswer, PartOutlook, PartRisk
from parts.records.snapshot import Snapshot, snapshot_of
from parts.records.states import State
from parts.services import checks, lead_times, outages, risks

DATA = ROOT / "data"
TODAY = datetime.date(2026, 11, 25)


@pytest.fixture(scope="module")
def book() -> Book:
    return read_site_book(DATA / "demo").book


@pytest.fixture(scope="module")
def snapshot(book: Book) -> Snapshot:
    return snapshot_of(book, TODAY)


@pytest.fixture(scope="module")
def fleet(snapshot: Snapshot) -> FleetOutage:
    return outages.outage(snapshot)


@pytest.fixture(scope="module")
def exposures(snapshot: Snapshot, fleet: FleetOutage) -> Exposures:
    return risks.exposures(snapshot, fleet)


@pytest.fixture(scope="module")
def likely(exposures: Exposures) -> LikelyAnswer:
    return risks.likely(exposures)


@pytest.fixture(scope="module")
def outlooks(likely: LikelyAnswer) -> Mapping[str, PartOutlook]:
    return {part.part: part for part in likely.parts}


@pytest.fixture(scope="module")
def ranking(exposures: Exposures) -> tuple[PartRisk, ...]:
    return risks.risks(exposures)


def place_of(ranking: tuple[PartRisk, ...], part: str) -> int:
    return [line.part for line in ranking].index(part)


def line_of(ranking: tuple[PartRisk, ...], part: str) -> PartRisk:
    return ranking[place_of(ranking, part)]


def at(fleet: FleetOutage, crane: str, position: str) -> PositionOutage:
    return fleet.row(fleet.rank_of(crane, position))


def steps(outage: PositionOutage) -> str:
    return "\n".join(step.step for step in outage.long_pole)


def files(folder: Path) -> dict[str, bytes]:
    return {
        file.relative_to(folder).as_posix(): file.read_bytes() for file in folder.rglob("*.csv")
    }


def test_the_script_writes_the_committed_files_again_byte_for_byte(tmp_path: Path) -> None:
    assert make_demo.main([str(tmp_path)]) == 0

    assert files(tmp_path) == files(DATA)


def test_the_class_defaults_are_the_demo_sites_classes() -> None:
    assert (DATA / "classes.csv").read_bytes() == (DATA / "demo" / "classes.csv").read_bytes()


def test_the_book_has_no_fault() -> None:
    merged = merge(Book(), read_site_book(DATA / "demo"))

    assert [fault.sentence() for fault in faults_of(merged)] == []


def test_the_files_are_in_the_form_in_which_a_book_is_saved(book: Book, tmp_path: Path) -> None:
    write_site_book(book, tmp_path / "saved")

    assert files(tmp_path / "saved") == files(DATA / "demo")


def test_it_says_that_it_is_invented(book: Book) -> None:
    readme = (DATA / "README.md").read_text(encoding="utf-8")

    assert all("invented" in (crane.name or "") for crane in book["cranes"])
    assert "This site is invented" in readme


def test_every_oddity_of_the_findings_is_explained_in_the_readme(
    snapshot: Snapshot, fleet: FleetOutage
) -> None:
    readme = (DATA / "README.md").read_text(encoding="utf-8")
    found = {f.part for f in checks.findings(snapshot, fleet) if f.rule not in UNNAMED}

    assert [part for part in sorted(filter(None, found)) if part not in readme] == []


# findings of many lines, explained together; and those of parts named by their position
UNNAMED = ("old_quote", "closed_supplier", "not_needed", "unapproved_only_source", "no_way",
           "open_failure", "overdue_order")  # fmt: skip


def test_it_is_as_large_as_it_has_to_be(book: Book) -> None:
    sizes = {name: len(rows) for name, rows in book.rows.items()}

    assert sizes["cranes"] == 8
    assert sizes["positions"] >= 600
    assert sizes["parts"] >= 300
    assert sizes["classes"] >= 40
    assert len({operation.route for operation in book["routes"]}) >= 40
    assert sizes["failures"] >= 150
    assert sizes["orders"] >= 120
    assert sizes["movements"] >= 600
    assert all(sizes.values()), "a file of the book is empty"


def test_assemblies_are_up_to_three_levels_deep(book: Book) -> None:
    parent = {(p.crane, p.position): p.parent for p in book["positions"]}

    def depth(crane: str, position: str) -> int:
        above = parent[crane, position]
        return 1 if above is None else 1 + depth(crane, above)

    assert max(depth(*place) for place in parent) == 3


def test_routes_have_four_to_fifteen_operations(book: Book) -> None:
    lengths = Counter(operation.route for operation in book["routes"]).values()

    assert min(lengths) >= 4
    assert max(lengths) == 16


def test_every_class_says_where_its_figures_come_from(book: Book) -> None:
    assert [row.part_class for row in book["classes"] if not row.source] == []


def test_every_kind_of_movement_is_there(book: Book) -> None:
    kinds = {movement.kind for movement in book["movements"]}

    assert kinds == {"opening", "receipt", "issue", "return", "count", "scrap", "transfer",
                     "care", "reversal"}  # fmt: skip


def test_suppliers_keep_their_word_to_different_degrees(book: Book) -> None:
    ratios: dict[str, list[float]] = {}
    for order in book["orders"]:
        if order.received_on and order.quoted_days:
            actual = (order.received_on - order.ordered_on).days
            ratios.setdefault(order.supplier, []).append(actual / order.quoted_days)
    means = {supplier: sum(found) / len(found) for supplier, found in ratios.items()}

    assert means["gear shop north"] > 1.15
    assert means["rope house"] < 1.05


def test_a_gear_without_a_drawing_on_the_oldest_busy_crane_heads_the_list(
    fleet: FleetOutage, book: Book
) -> None:
    first = fleet.row(0)
    route = [op for op in book["routes"] if op.route == "gear for GEAR-LS-A1"]

    assert (first.crane, first.position) == ("A1", "hoist low-speed gear")
    assert first.restore_days is not None
    assert not first.assumed
    assert "measure" in steps(first)
    assert not any(operation.done for operation in route)


def test_the_mirrored_gear_of_the_twin_has_its_drawing_done_and_is_weeks_sooner(
    fleet: FleetOutage, book: Book
) -> None:
    right, left = at(fleet, "A1", "hoist low-speed gear"), at(fleet, "A2", "hoist low-speed gear")
    done = [op.operation for op in book["routes"] if op.route.endswith("GEAR-LS-A2") and op.done]

    assert done == ["approval", "drawing", "measure", "resolve geometry"]
    assert "measure" not in steps(left)
    assert right.restore_days is not None
    assert left.restore_days is not None
    assert right.restore_days - left.restore_days > 14


def test_what_has_no_known_way_costs_nothing_and_stands_at_the_end(fleet: FleetOutage) -> None:
    rows = [fleet.row(rank) for rank in range(len(fleet))]
    unknown = [row for row in rows if row.restore_days is None]

    assert [(row.crane, row.lost_share) for row in unknown] == [("B1", 0), ("C1", 0)]


@pytest.mark.parametrize(
    ("crane", "position"),
    [("A1", "hoist brake 1 lining"), ("A1", "hoist line contactor"), ("D1", "=H1-K1 contacts")],
)
def test_what_fails_often_but_lies_in_store_ranks_low(
    fleet: FleetOutage, crane: str, position: str
) -> None:
    assert fleet.rank_of(crane, position) > len(fleet) / 2


def test_linings_and_contactors_are_among_what_fails_most(book: Book) -> None:
    failed = Counter((failure.part or "").split("-")[0] for failure in book["failures"])
    usual = sorted(failed.values())[len(failed) // 2]

    assert failed["LIN"] == max(failed.values())
    assert failed["CON"] > usual


def test_a_gear_is_restored_through_the_complete_reducer_in_stock(fleet: FleetOutage) -> None:
    gear = at(fleet, "B1", "main hoist low-speed gear")

    assert (gear.replaced, gear.fitted) == ("main hoist reducer", "RED-BM")
    assert gear.restore_days is not None
    assert gear.restore_days < 5


def test_a_sealed_stage_is_restored_through_the_whole_hoist(fleet: FleetOutage) -> None:
    stage = at(fleet, "C1", "hoist gear stage")

    assert (stage.replaced, stage.fitted, stage.assumed) == ("packaged hoist", "PKG-8", False)


def test_an_approved_substitute_serves_and_an_unapproved_one_does_not(fleet: FleetOutage) -> None:
    rope, sheave = at(fleet, "B2", "east hoist rope"), at(fleet, "A1", "hoist upper sheave 1")

    assert rope.load_bearing
    assert rope.fitted == "ROPE-P-ALT"
    assert rope.restore_days is not None
    assert rope.restore_days < 2
    assert sheave.load_bearing
    assert sheave.fitted == "SHV-A"
    assert sheave.restore_days is not None
    assert sheave.restore_days > 14


def test_an_overdue_order_is_not_counted_and_one_due_soon_is(fleet: FleetOutage) -> None:
    motor, bar = at(fleet, "B1", "aux hoist motor"), at(fleet, "A1", "conductor bar 1")

    assert "V2026-A" not in steps(motor)
    assert "V2026-B" in steps(bar)


def test_a_companion_is_the_long_pole(fleet: FleetOutage) -> None:
    rope, wheel = at(fleet, "B1", "main hoist rope"), at(fleet, "A1", "bridge drive wheel 1")

    assert "SOCK-BM" in rope.long_pole[0].step
    assert "2 x WHD-A" in wheel.long_pole[0].step


def test_one_of_a_pair_of_drives_suffices(fleet: FleetOutage) -> None:
    drive, radio = at(fleet, "A1", "trolley drive 1"), at(fleet, "A1", "radio set")

    assert drive.state is State.REDUCED
    assert radio.state is State.IN_SERVICE


def test_a_twin_brake_is_never_plainly_in_service(fleet: FleetOutage) -> None:
    brake = at(fleet, "B2", "east drum brake")

    assert brake.state is State.IN_SERVICE
    assert brake.decide


def test_two_brakes_hold_the_load_one_by_one_but_both_must_release(book: Book) -> None:
    brakes = {"hoist brake 1", "hoist brake 2"}
    holding = [
        need for need in book["needs"]
        if (need.crane, need.item) == ("A1", "load holding") and need.needs in brakes
    ]  # fmt: skip
    above = {p.parent for p in book["positions"] if p.crane == "A1" and p.position in brakes}

    assert [need.at_least for need in holding] == [1, 1]
    assert above == {"hoist machinery"}


def test_the_retired_crane_serves_as_donor_and_is_in_no_list(fleet: FleetOutage) -> None:
    contactor = at(fleet, "D1", "=H1-K1")

    assert "D2/" in steps(contactor)
    assert "D2" not in {fleet.row(rank).crane for rank in range(len(fleet))}


def test_the_drives_can_be_ordered_for_ninety_days_more(snapshot: Snapshot) -> None:
    ends = {
        notice.part: notice.last_buy_on
        for notice in sorted(snapshot.notices, key=lambda n: n.notice_on)
        if notice.kind == "discontinuance"
    }
    ways = lead_times.lead_time(snapshot, "TDR-G2").ways

    assert ends["HDR-G2"] == TODAY + datetime.timedelta(days=90)
    assert any(way.usable and way.kind == "new" for way in ways), "the later notice holds"


def test_each_promised_finding_is_there(snapshot: Snapshot, fleet: FleetOutage) -> None:
    rules = {finding.rule for finding in checks.findings(snapshot, fleet)}

    assert rules >= {
        "three_conductor_feed", "wheel_harder_than_rail", "duty_exceeded", "km_or_k",
        "unapproved_only_source", "unknown_part", "no_way", "past_shelf_life",
        "shelf_life_undated", "care_due", "below_reorder_point", "not_reordered", "old_quote",
        "closed_supplier", "overdue_order", "same_part", "not_needed", "function_needs_nothing",
        "open_failure",
    }  # fmt: skip


@pytest.mark.parametrize("day", ["2026-06-05", "2027-03-01", "2030-01-01"])
def test_the_same_gear_heads_the_list_on_other_days(book: Book, day: str) -> None:
    fleet = outages.outage(snapshot_of(book, datetime.date.fromisoformat(day)))

    assert fleet.row(0).part == "GEAR-LS-A1"


# How likely, and how much it matters -------------------------------------------------------------


@pytest.mark.parametrize(
    ("part", "shape", "scale"),
    [
        ("LIN-315", (2, 3), (2.3, 3.2)),
        ("LIN-250", (2, 3), (2.3, 3.2)),
        ("LIN-D", (2, 3), (2.3, 3.2)),
        ("TIP-150", (1.5, 2.5), (4.5, 6)),
        ("TIP-100", (1.5, 2.5), (4.5, 6)),
    ],
)
def test_what_wears_has_a_plausible_fitted_life_with_limits(
    outlooks: Mapping[str, PartOutlook],
    part: str,
    shape: tuple[float, float],
    scale: tuple[float, float],
) -> None:
    life = outlooks[part].life

    assert life is not None
    assert (life.source, life.basis) == ("fitted", "years")
    assert life.failures >= 5
    assert shape[0] <= life.shape <= shape[1]
    assert scale[0] <= life.scale <= scale[1]
    assert life.shape_low is not None
    assert life.shape_high is not None
    assert life.shape_low < life.shape < life.shape_high
    assert life.scale_low is not None
    assert life.scale_high is not None
    assert life.scale_low < life.scale < life.scale_high


def test_a_life_in_hours_is_fitted_with_limits_too(
    outlooks: Mapping[str, PartOutlook],
) -> None:
    life = outlooks["BSH-250"].life

    assert life is not None
    assert (life.source, life.basis) == ("fitted", "hours")
    assert life.scale_low is not None
    assert life.scale_high is not None


def test_no_unit_is_older_than_its_crane(book: Book) -> None:
    born = {crane.crane: crane.commissioned for crane in book["cranes"]}
    early = [p for p in book["positions"] if p.installed and p.installed < born[p.crane]]

    assert early == []


def test_meters_and_ages_in_hours_agree_with_the_hours_a_year(book: Book) -> None:
    since = {(p.crane, p.position): p.installed for p in book["positions"]}
    for row in sorted(book["failures"], key=lambda row: row.failed_on):
        if row.restored_on:
            since[row.crane, row.position] = row.restored_on
    born = {(p.crane, p.position): p.installed for p in book["positions"]}
    mechanisms = {(row.crane, row.mechanism): row.hours_per_year for row in book["duty"]}
    readings = [
        (o.crane, o.position, float(o.value), (o.date - since[o.crane, o.position]).days)
        for o in book["observations"] if o.what == "hours_meter"
    ] + [
        (f.crane, f.position, f.age_hours, (f.failed_on - born[f.crane, f.position]).days)
        for f in book["failures"] if f.age_hours
    ]  # fmt: skip

    assert len(readings) >= 6
    for crane, position, hours, days in readings:
        mechanism = next(m for c, m in mechanisms if c == crane and position.startswith(m))
        assert hours == pytest.approx(mechanisms[crane, mechanism] * days / 365.25, rel=0.03)


def test_a_crane_runs_the_hours_of_its_busiest_hoist(book: Book) -> None:
    hours = {c.crane: c.hours_per_year for c in book["cranes"] if c.hours_per_year}
    busiest = {
        crane: max(row.hours_per_year for row in book["duty"] if row.crane == crane)
        for crane in hours
    }

    assert hours == busiest


def test_what_is_used_most_is_what_wears_and_what_is_poured(likely: LikelyAnswer) -> None:
    most = sorted(likely.parts, key=lambda part: -part.demand_per_year)[:10]
    kinds = {part.part.split("-")[0] for part in most}

    assert kinds <= {"LUB", "OIL", "KIT", "LAMP", "LIN", "COL", "BAT", "TIP", "CON", "ROPE"}
    assert {"LIN", "COL", "LAMP"} <= kinds
    assert most[0].demand_per_year < 20


def test_what_fails_most_is_what_wears(likely: LikelyAnswer) -> None:
    known = [row for row in likely.positions if row.failures_next_year is not None]
    most = sorted(known, key=lambda row: -(row.failures_next_year or 0))[:20]

    assert {(row.part or "").split("-")[0] for row in most} <= {"LIN", "TIP", "BAT"}
    assert all((row.failures_next_year or 0) < 1 for row in most)


def test_no_crane_fails_more_than_a_few_times_a_year(likely: LikelyAnswer) -> None:
    failures = dict.fromkeys((row.crane for row in likely.positions), 0.0)
    for row in likely.positions:
        failures[row.crane] += row.failures_next_year or 0

    assert all(1 < each < 6 for each in failures.values())


@pytest.mark.parametrize("crane", ["A1", "A2", "B1", "B2"])
def test_two_old_sister_drives_are_a_pair_of_which_neither_alone_stops_the_crane(
    exposures: Exposures, fleet: FleetOutage, crane: str
) -> None:
    pair = ("bridge travel drive 1", "bridge travel drive 2")
    states = {at(fleet, crane, position).state for position in pair}

    assert pair in risks.crane_risk(exposures, crane).cut_sets
    assert State.DOWN not in states


def test_a_part_in_stock_ranks_below_its_twin_that_is_not(
    ranking: tuple[PartRisk, ...], book: Book
) -> None:
    classes = {part.part: part.part_class for part in book["parts"]}
    stocked, bare = line_of(ranking, "SEAL-BM"), line_of(ranking, "SEAL-BA")

    assert classes["SEAL-BM"] == classes["SEAL-BA"]
    assert stocked.failures_next_year == pytest.approx(bare.failures_next_year)
    assert place_of(ranking, "SEAL-BA") < place_of(ranking, "SEAL-BM")
    assert place_of(ranking, "CON-115") < place_of(ranking, "CON-63-X")


def test_a_gear_that_hardly_ever_fails_ranks_high(ranking: tuple[PartRisk, ...]) -> None:
    gear = line_of(ranking, "GEAR-LS-A1")

    assert place_of(ranking, "GEAR-LS-A1") < 10
    assert gear.failures_next_year is not None
    assert gear.failures_next_year < 0.05


@pytest.mark.parametrize("part", ["LIN-315", "LIN-250", "CON-63-X", "COL-4", "TIP-150", "BUM-80"])
def test_what_fails_often_but_lies_in_store_has_little_exposure(
    ranking: tuple[PartRisk, ...], part: str
) -> None:
    line, gear = line_of(ranking, part), line_of(ranking, "GEAR-LS-A1")

    assert (line.failures_next_year or 0) > 10 * (gear.failures_next_year or 0)
    assert (line.exposure_cost or 0) < (gear.exposure_cost or 0) / 5


def test_the_first_known_rank_is_firm_and_one_near_the_edge_is_not(
    ranking: tuple[PartRisk, ...],
) -> None:
    known = [line for line in ranking if line.exposure_cost is not None]
    shares = [line.top10_share for line in known]

    assert known[0].part == "HDR-A"
    assert shares[0] > 0.9
    assert any(0.2 < share < 0.8 for share in shares[7:12])


def test_nothing_known_of_its_rate_stands_at_the_head(ranking: tuple[PartRisk, ...]) -> None:
    first = ranking[0]

    assert first.part == "FAN-2"
    assert first.exposure_cost is None
    assert first.failures_next_year is None
    assert first.unknown_positions == ("B2/cab ventilation",)


def test_a_drive_after_its_last_orders_takes_longer_within_ten_years(
    outlooks: Mapping[str, PartOutlook],
) -> None:
    drive = outlooks["HDR-G2"]

    assert drive.closes_on == TODAY + datetime.timedelta(days=90)
    assert drive.obtainable[1] == 0.0
    assert drive.jump_year is not None
    assert TODAY.year < drive.jump_year <= TODAY.year + 10


def test_use_is_smooth_intermittent_and_lumpy(outlooks: Mapping[str, PartOutlook]) -> None:
    classes = {part: outlook.demand_class for part, outlook in outlooks.items()}

    assert classes["LIN-315"] == "intermittent"
    assert classes["COL-4"] == "lumpy"
    assert classes["LUB-1"] == "smooth"


def test_one_hoist_is_used_up_and_another_will_be_in_some_years(exposures: Exposures) -> None:
    periods = {(row.crane, row.mechanism): row for row in risks.duty(exposures)}
    busy, later = periods["A1", "hoist"], periods["B2", "east hoist"]

    assert busy.km == pytest.approx(0.2267, abs=0.0001)
    assert busy.used_share == pytest.approx(2.31, abs=0.01)
    assert busy.runs_out_on is not None
    assert busy.runs_out_on.year == 2010
    assert later.runs_out_on is not None
    assert 2028 <= later.runs_out_on.year <= 2032


def test_no_crane_loses_more_than_two_months_a_year(exposures: Exposures, book: Book) -> None:
    live = [crane.crane for crane in book["cranes"] if crane.crane != "D2"]
    lost = [risks.crane_risk(exposures, crane, 1).lost_days_per_year for crane in live]

    assert all(days is not None and days < 60 for days in lost)
