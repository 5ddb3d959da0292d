"""Questions asked on the command line: fields that are promised, exit statuses, one answer."""

from __future__ import annotations

import pytest

from tests.cli.conftest import Say

POSITION_FIELDS = {
    "crane", "position", "part", "state", "lost_share", "restore_days", "expected_restore_days",
    "hands_on_days", "lost_days", "cost", "assumed", "decide", "replaced", "long_pole",
}  # fmt: skip
CRANE_FIELDS = {"crane", "unavailability", "lost_days_per_year", "cut_sets", "importance"}
WAY_FIELDS = {
    "part", "from", "kind", "supplier", "route", "qty", "days_mean", "days_confident", "price",
    "usable", "why_not",
}  # fmt: skip


def test_outage_has_the_promised_fields_in_rank_order(ask: Say) -> None:
    said = ask("outage", "--json")
    positions = said.document["positions"]
    lost = [each["lost_days"] for each in positions]

    assert said.status == 0
    assert said.document["today"] == "2026-11-25"
    assert all(set(each) >= POSITION_FIELDS for each in positions)
    assert all(set(each) >= CRANE_FIELDS for each in said.document["cranes"])
    assert lost == sorted(lost, key=lambda days: (days is not None, -(days or 0.0)))


def test_the_days_of_every_long_pole_add_up_to_the_restore_days(ask: Say) -> None:
    positions = ask("outage", "--json").document["positions"]

    for each in positions:
        if each["restore_days"] is not None:
            days = sum(step["days"] for step in each["long_pole"])
            assert days == pytest.approx(each["restore_days"], rel=1e-12)


def test_a_load_bearing_position_that_stops_less_than_the_crane_is_to_be_decided(ask: Say) -> None:
    positions = ask("outage", "--json").document["positions"]
    bearing = [each for each in positions if each["load_bearing"] and each["lost_share"] < 1]

    assert bearing
    assert all(each["decide"] for each in bearing)


def test_table_and_json_give_the_same_figures(ask: Say) -> None:
    positions = ask("outage", "--json", "--crane", "B2").document["positions"]
    lines = ask("outage", "--crane", "B2", "--all").out.splitlines()[1 : len(positions) + 1]

    for line, each in zip(lines, positions, strict=True):
        assert line.startswith(each["crane"])
        assert each["position"][:43] in line
        assert f"{each['restore_days']:.1f}" in line


def test_one_crane_gets_the_same_answers_alone_as_in_the_fleet(ask: Say) -> None:
    fleet = ask("outage", "--json").document["positions"]
    alone = ask("outage", "--json", "--crane", "A1").document

    assert alone["positions"] == [each for each in fleet if each["crane"] == "A1"]
    assert [each["crane"] for each in alone["cranes"]] == ["A1"]


def test_cut_sets_hold_single_positions_and_pairs(ask: Say) -> None:
    (crane,) = ask("outage", "--json", "--crane", "A1").document["cranes"]
    single = [sets for sets in crane["cut_sets"] if len(sets) == 1]

    assert ["hoist low-speed gear"] in single
    assert max(map(len, crane["cut_sets"])) == 2
    assert not any(one[0] in pair for one in single for pair in crane["cut_sets"] if pair != one)


def test_positions_that_fail_together_are_answered_by_crane(ask: Say) -> None:
    said = ask("outage", "--json", "--fail", "A1/hoist low-speed gear", "A2/hoist low-speed gear")
    together = said.document["together"]

    assert said.status == 0
    assert set(together) == {"A1", "A2"}
    for each in together.values():
        assert each["state"] == "down"
        assert each["functions_lost"]
    assert said.document["positions"]


def test_leadtime_tells_every_way_and_the_route(ask: Say) -> None:
    said = ask("leadtime", "GEAR-LS-A1", "--json")
    document = said.document

    assert said.status == 0
    assert all(set(way) >= WAY_FIELDS for way in document["ways"])
    assert any(way["why_not"] for way in document["ways"] if not way["usable"])
    operations = document["route"]["operations"]
    assert {"operation", "start", "finish", "slack", "critical"} <= set(operations[0])
    assert {"operation", "saves_days", "cost"} <= set(document["route"]["head_starts"][0])
    assert document["route"]["simulated_mean"] >= document["route"]["mean_critical_path"]


def test_explain_names_the_record_of_each_term(ask: Say) -> None:
    said = ask("explain", "A1/hoist low-speed gear", "--json")
    terms = said.document["terms"]

    assert said.status == 0
    assert any(term["record"].startswith("offers gear shop") for term in terms)
    assert said.document["outage"]["restore_days"] == pytest.approx(
        ask("outage", "--json").document["positions"][0]["restore_days"]
    )


def test_check_has_findings_on_the_demo_and_says_so_by_its_status(ask: Say) -> None:
    said = ask("check", "--json")
    fields = {"rule", "severity", "crane", "position", "part", "text", "source"}

    assert said.status == 1
    assert all(set(each) == fields for each in said.document["findings"])
    assert {each["severity"] for each in said.document["findings"]} == {
        "danger", "warning", "note",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("words", "said_so"),
    [
        (("outage", "--crane", "X9"), "no crane is called 'X9'"),
        (("outage", "--fail", "A1"), "no part or CRANE/POSITION is called 'A1'"),
        (("outage", "--fail", "D2/anything"), "no live crane is called 'D2'"),
        (("leadtime", "GEAR-LS-A"), "no part is called 'GEAR-LS-A'; did you mean"),
        (("leadtime", "gear-ls-a1"), "no part is called 'gear-ls-a1'; did you mean GEAR-LS-A1"),
        (("leadtime", "GEAR-LS-A1", "--qty", "99999999999"), "above 0 and below a billion"),
        (("leadtime", "GEAR-LS-A1", "--qty", "0"), "'0' is not a whole number above 0"),
        (("leadtime", "GEAR-LS-A1", "--qty", "1.5"), "'1.5' is not a whole number above 0"),
        (("explain", "nothing"), "no part or CRANE/POSITION is called 'nothing'"),
        (("explain", "\x1b]0;title\x07"), "no part or CRANE/POSITION is called"),
    ],
)
def test_wrong_use_gets_one_line_and_status_2(
    ask: Say, words: tuple[str, ...], said_so: str
) -> None:
    said = ask(*words)

    assert said.status == 2
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert said_so in said.err
    assert "\x1b" not in said.err


@pytest.mark.parametrize("words", [("frob",), ("--today", "2026-02-30", "check"), ("load",)])
def test_words_that_are_no_command_get_one_line_and_status_2(
    say: Say, words: tuple[str, ...]
) -> None:
    said = say(*words)

    assert said.status == 2
    assert said.err.count("\n") == 1
