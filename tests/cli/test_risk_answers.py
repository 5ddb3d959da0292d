"""Risks, likelihood and outages on the command line: promised fields, sums, one answer for all."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from parts.records.shares import percent
from tests.cli.conftest import TODAY, Said, Say

Document = dict[str, Any]
NUMBER = (int, float)
MAYBE_NUMBER = (int, float, type(None))
MAYBE_TEXT = (str, type(None))
BASES = {"position", "weibull", "own", "class", "stated", None}

RISK_FIELDS = {
    "part": str, "supply_score": NUMBER, "drivers": dict, "failures_next_year": MAYBE_NUMBER,
    "exposure_days": MAYBE_NUMBER, "exposure_cost": MAYBE_NUMBER, "waits_for": MAYBE_TEXT,
    "worst_crane": MAYBE_TEXT, "worst_lost_days": MAYBE_NUMBER, "top10_share": NUMBER,
}  # fmt: skip
LIKELY_POSITION_FIELDS = {
    "crane": str, "position": str, "failures_next_year": MAYBE_NUMBER, "basis": MAYBE_TEXT,
}  # fmt: skip
LIKELY_PART_FIELDS = {
    "part": str, "rate_mean": MAYBE_NUMBER, "rate_low": MAYBE_NUMBER, "rate_high": MAYBE_NUMBER,
    "demand_class": MAYBE_TEXT, "demand_per_year": MAYBE_NUMBER, "obtainable": dict,
    "jump_year": (int, type(None)), "life": (dict, type(None)),
}  # fmt: skip
LIFE_FIELDS = {
    "shape": NUMBER, "scale": NUMBER, "shape_low": MAYBE_NUMBER, "shape_high": MAYBE_NUMBER,
    "scale_low": MAYBE_NUMBER, "scale_high": MAYBE_NUMBER, "basis": str, "failures": int,
    "censored": int,
}  # fmt: skip
DUTY_FIELDS = {
    "crane": str, "mechanism": str, "km": MAYBE_NUMBER, "used_hours": MAYBE_NUMBER,
    "group_hours": MAYBE_NUMBER, "used_share": MAYBE_NUMBER, "runs_out_on": MAYBE_TEXT,
}  # fmt: skip
OUTAGE_FIELDS = {
    "crane": str, "position": str, "part": MAYBE_TEXT, "state": str, "lost_share": NUMBER,
    "restore_days": MAYBE_NUMBER, "expected_restore_days": MAYBE_NUMBER,
    "hands_on_days": MAYBE_NUMBER, "lost_days": MAYBE_NUMBER, "cost": MAYBE_NUMBER,
    "assumed": bool, "decide": MAYBE_TEXT, "replaced": str, "long_pole": list,
}  # fmt: skip
CRANE_FIELDS = {
    "crane": str, "unavailability": MAYBE_NUMBER, "lost_days_per_year": MAYBE_NUMBER,
    "cut_sets": list, "importance": list,
}  # fmt: skip
IMPORTANCE_FIELDS = {
    "position": str, "birnbaum": NUMBER, "criticality": NUMBER, "fussell_vesely": NUMBER,
}  # fmt: skip


def assert_fields(row: Document, fields: dict[str, Any]) -> None:
    for name, kinds in fields.items():
        assert name in row, name
        assert isinstance(row[name], kinds), f"{name} is {row[name]!r}"
        if kinds in (NUMBER, MAYBE_NUMBER):
            assert not isinstance(row[name], bool), name


# The demo site does not change, so a question about it is put once.
ANSWERS: dict[tuple[str, ...], Said] = {}


@pytest.fixture
def ask(say: Say, demo_database: Path) -> Say:
    def give(*words: str) -> Said:
        if words not in ANSWERS:
            ANSWERS[words] = say(*words, "--db", demo_database, "--today", TODAY)
        return ANSWERS[words]

    return give


@pytest.fixture
def risks(ask: Say) -> list[Document]:
    found: list[Document] = ask("risks", "--json").document["parts"]
    return found


@pytest.fixture
def likely(ask: Say) -> Document:
    found: Document = ask("likely", "--json").document
    return found


@pytest.fixture
def outage(ask: Say) -> Document:
    found: Document = ask("outage", "--json").document
    return found


# Fields -----------------------------------------------------------------------------------------


def test_risks_have_their_fields(risks: list[Document]) -> None:
    assert risks
    for row in risks:
        assert_fields(row, RISK_FIELDS)
        assert set(row["drivers"]) == {"age", "sources", "lead_time"}
        assert all(value is None or 0 <= value <= 100 for value in row["drivers"].values())
        assert 0 <= row["top10_share"] <= 1
        assert 0 <= row["supply_score"] <= 100


def test_likely_has_its_fields(likely: Document) -> None:
    assert set(likely) >= {"positions", "parts", "duty"}
    for row in likely["positions"]:
        assert_fields(row, LIKELY_POSITION_FIELDS)
        assert row["basis"] in BASES
    for row in likely["parts"]:
        assert_fields(row, LIKELY_PART_FIELDS)
        assert set(row["obtainable"]) == {"1", "3", "5", "10"}
        if row["life"] is not None:
            assert_fields(row["life"], LIFE_FIELDS)
    for row in likely["duty"]:
        assert_fields(row, DUTY_FIELDS)
    assert likely["duty"]


def test_outage_has_its_fields(outage: Document) -> None:
    assert outage["today"] == TODAY
    for row in outage["positions"]:
        assert_fields(row, OUTAGE_FIELDS)
        assert row["state"] in {"down", "reduced", "in_service"}
    for crane in outage["cranes"]:
        assert_fields(crane, CRANE_FIELDS)
        for each in crane["importance"]:
            assert_fields(each, IMPORTANCE_FIELDS)


def test_every_position_on_the_outage_list_is_on_the_likely_list(
    likely: Document, outage: Document
) -> None:
    assert {(row["crane"], row["position"]) for row in likely["positions"]} == {
        (row["crane"], row["position"]) for row in outage["positions"]
    }


# Order ------------------------------------------------------------------------------------------


def test_risks_stand_by_money_then_days_then_part_with_the_unknown_at_the_head(
    risks: list[Document],
) -> None:
    keys = [
        (
            row["exposure_days"] is not None,
            -(row["exposure_cost"] or 0.0),
            -(row["exposure_days"] or 0.0),
            row["part"],
        )
        for row in risks
    ]

    assert keys == sorted(keys)
    assert not keys[0][0]


def test_by_supply_the_worst_score_comes_first(ask: Say, risks: list[Document]) -> None:
    by_supply = ask("risks", "--by", "supply", "--json").document["parts"]
    scores = [row["supply_score"] for row in by_supply]

    assert scores == sorted(scores, reverse=True)
    assert {row["part"] for row in by_supply} == {row["part"] for row in risks}


def test_the_top_is_the_head_of_the_whole(ask: Say, risks: list[Document]) -> None:
    assert ask("risks", "--json", "--top", "7").document["parts"] == risks[:7]


@pytest.mark.parametrize("by", ["exposure", "supply"])
def test_ten_parts_are_among_the_first_ten_in_every_draw(ask: Say, by: str) -> None:
    rows = ask("risks", "--json", "--by", by).document["parts"]

    assert math.fsum(row["top10_share"] for row in rows) == pytest.approx(min(10, len(rows)))


def test_the_same_question_gets_the_same_answer(ask: Say, say: Say, demo_database: Path) -> None:
    again = say("risks", "--json", "--db", demo_database, "--today", TODAY)

    assert again.out == ask("risks", "--json").out


# Sums -------------------------------------------------------------------------------------------


def test_the_exposure_of_a_part_is_that_of_its_positions(
    risks: list[Document], likely: Document, outage: Document
) -> None:
    for row in risks:
        for rows in (likely["positions"], outage["positions"]):
            mine = [each for each in rows if each["part"] == row["part"]]
            for figure in ("failures_next_year", "exposure_days", "exposure_cost"):
                known = [each[figure] for each in mine if each[figure] is not None]
                total = math.fsum(known) if known else None
                assert row[figure] == (None if total is None else pytest.approx(total)), row["part"]


def test_exposure_is_failures_times_days_times_weight(outage: Document) -> None:
    for row in outage["positions"]:
        if row["failures_next_year"] is None or row["expected_restore_days"] is None:
            assert row["exposure_days"] in (None, 0.0)
            continue
        days = row["failures_next_year"] * row["expected_restore_days"] * row["weight"]
        assert row["exposure_days"] == pytest.approx(days)


def test_no_crane_loses_more_than_a_year_in_a_year_nor_more_than_its_positions(
    outage: Document,
) -> None:
    for crane in outage["cranes"]:
        mine = [row for row in outage["positions"] if row["crane"] == crane["crane"]]
        linear = math.fsum(row["exposure_days"] or 0.0 for row in mine)

        assert 0 < crane["lost_days_per_year"] < 365.25
        share = linear / 365.25
        assert crane["lost_days_per_year"] == pytest.approx(365.25 * share / (1 + share))


def test_unavailability_and_importances_are_chances(outage: Document) -> None:
    for crane in outage["cranes"]:
        if crane["unavailability"] is None:
            continue
        assert 0 <= crane["unavailability"] < 1
        for each in crane["importance"]:
            for figure in ("birnbaum", "criticality", "fussell_vesely"):
                assert 0 <= each[figure] <= 1 + 1e-9, each["position"]
            assert each["criticality"] <= each["fussell_vesely"] + 1e-9, each["position"]


def test_every_cut_set_names_positions_of_its_crane(outage: Document) -> None:
    for crane in outage["cranes"]:
        names = {row["position"] for row in outage["positions"] if row["crane"] == crane["crane"]}
        for cut in crane["cut_sets"]:
            assert 1 <= len(cut) <= 2
            assert names.issuperset(cut)


def test_a_score_is_the_weighted_sum_of_its_drivers(risks: list[Document]) -> None:
    weights = {"age": 0.30, "sources": 0.35, "lead_time": 0.35}  # as in the demo's scores
    for row in risks:
        known = {name: value for name, value in row["drivers"].items() if value is not None}
        whole = sum(weights[name] for name in known)
        score = sum(weights[name] * value for name, value in known.items()) / whole
        assert row["supply_score"] == pytest.approx(score), row["part"]


def test_the_worst_crane_is_that_of_the_longest_outage(
    risks: list[Document], outage: Document
) -> None:
    for row in risks:
        mine = [each for each in outage["positions"] if each["part"] == row["part"]]
        lost = [each["lost_days"] for each in mine if each["lost_days"] is not None]
        if len(lost) < len(mine):
            continue
        assert row["worst_lost_days"] == pytest.approx(max(lost)), row["part"]
        cranes = {e["crane"] for e in mine if e["lost_days"] == row["worst_lost_days"]}
        assert row["worst_crane"] in cranes


def test_what_a_position_waits_for_is_a_part_that_its_exchange_takes(likely: Document) -> None:
    parts = {row["part"] for row in likely["parts"]}
    for row in likely["positions"]:
        if row["waits_for"] is not None:
            assert row["expected_restore_days"] is not None or row["waits_for"] in parts


def test_the_chance_to_have_a_part_never_grows_with_the_years(likely: Document) -> None:
    for row in likely["parts"]:
        chances = [row["obtainable"][years] for years in ("1", "3", "5", "10")]
        if None not in chances:
            assert chances == sorted(chances, reverse=True), row["part"]
            assert all(0 <= chance <= 1 for chance in chances), row["part"]


def test_limits_hold_what_they_are_limits_of(likely: Document) -> None:
    fitted = [row["life"] for row in likely["parts"] if row["life"] and row["life"]["failures"]]

    assert fitted
    for row in likely["parts"]:
        if row["rate_low"] is not None:
            assert row["rate_low"] <= row["rate_mean"] <= row["rate_high"], row["part"]
    for life in fitted:
        assert life["scale_low"] < life["scale"] < life["scale_high"]


# The small book, whose figures anybody can check ------------------------------------------------


def loaded(say: Say, book: Path, tmp_path: Path) -> Path:
    database = tmp_path / "small.db"
    assert say("load", book, "--db", database).status == 0
    return database


def test_a_part_of_which_no_rate_is_known_is_shown_as_not_known(
    say: Say, book: Path, tmp_path: Path
) -> None:
    database = loaded(say, book, tmp_path)
    said = say("risks", "--db", database, "--today", TODAY)
    (row,) = say("risks", "--json", "--db", database, "--today", TODAY).document["parts"]

    assert said.status == 0
    assert row["exposure_days"] is None
    assert row["failures_next_year"] is None
    assert "not known" in said.out


def test_a_stated_rate_gives_days_and_money(say: Say, book: Path, tmp_path: Path) -> None:
    # 0.5 failures x (30 assumed + 1 of work) = 15.5 days at 1000; R = 15.5 / 365.25
    (book / "parts.csv").write_text("part,default_lead_days,failures_per_year\nP1,30,0.5\n")
    database = loaded(say, book, tmp_path)
    (row,) = say("risks", "--json", "--db", database, "--today", TODAY).document["parts"]
    (crane,) = say("outage", "--json", "--db", database, "--today", TODAY).document["cranes"]
    (place,) = say("likely", "--json", "--db", database, "--today", TODAY).document["positions"]

    assert row["exposure_days"] == pytest.approx(15.5)
    assert row["exposure_cost"] == pytest.approx(15_500)
    assert row["worst_crane"] == "C1"
    assert row["worst_lost_days"] == pytest.approx(31)
    assert row["waits_for"] == "P1"
    assert place["basis"] == "stated"
    assert crane["lost_days_per_year"] == pytest.approx(365.25 * 15.5 / (365.25 + 15.5))
    assert crane["unavailability"] == pytest.approx(15.5 / (365.25 + 15.5))
    assert crane["cut_sets"] == [["drive"]]


@pytest.mark.parametrize("command", ["risks", "likely"])
def test_a_site_without_a_live_crane_has_nothing_to_answer(
    say: Say, book: Path, tmp_path: Path, command: str
) -> None:
    (book / "cranes.csv").write_text("crane,retire_on\nC1,2020-01-01\n")
    database = loaded(say, book, tmp_path)
    said = say(command, "--db", database, "--today", TODAY, "--json")

    assert said.status == 1
    assert said.document["parts" if command == "risks" else "positions"] == []


@pytest.mark.parametrize(
    "words",
    [
        ("risks", "--by", "money"),
        ("risks", "--top", "0"),
        ("risks", "--top", "-3"),
        ("risks", "--top", "1.5"),
        ("risks", "GEAR-LS-A1"),
        ("likely", "--top", "3"),
        ("outage", "--order", "0"),
        ("outage", "--order", "two"),
        ("explain",),
        ("explain", "A1/no such place"),
        ("explain", "NO-SUCH-PART"),
    ],
)
def test_wrong_use_gets_one_line_and_status_2(ask: Say, words: tuple[str, ...]) -> None:
    said = ask(*words)

    assert said.status == 2
    assert said.out == ""
    assert said.err.strip()
    assert said.err.count("\n") == 1


# Tables -----------------------------------------------------------------------------------------


def test_the_risk_table_gives_the_figures_of_the_document(ask: Say, risks: list[Document]) -> None:
    lines = ask("risks", "--all").out.splitlines()
    for row in risks:
        (line,) = [line for line in lines if line.split()[:1] == [row["part"]] and ": " not in line]
        if row["exposure_days"] is None:
            assert "not known" in line
            continue
        assert f"{row['exposure_days']:,.1f}" in line, row["part"]
        assert f"{row['exposure_cost']:,.0f}" in line, row["part"]
        assert f"{row['supply_score']:.3g}" in line, row["part"]
        assert (row["waits_for"] or "") in line, row["part"]
        assert f"({percent(row['top10_share'])}" in line, row["part"]


def test_the_likely_table_gives_the_figures_of_the_document(ask: Say, likely: Document) -> None:
    lines = ask("likely", "--all").out.splitlines()
    for row in likely["positions"]:
        wanted = [
            line
            for line in lines
            if line.startswith(row["crane"]) and row["position"][:20] in line
            and line.rstrip().endswith(row["basis"] or "nothing known")
        ]  # fmt: skip
        figure = row["failures_next_year"]
        text = "not known" if figure is None else f"{figure:.3g}"
        assert any(text in line for line in wanted), row["position"]


def test_a_rank_that_is_not_firm_says_so(ask: Say, risks: list[Document]) -> None:
    loose = [row for row in risks[:20] if 0.1 < row["top10_share"] < 0.9]
    lines = ask("risks").out.splitlines()

    assert loose
    for row in loose:
        assert any(line.startswith(row["part"]) and "not firm" in line for line in lines)


# Explanations -----------------------------------------------------------------------------------


def values(terms: list[Document]) -> str:
    return "\n".join(term["value"] for term in terms)


def test_an_explained_position_shows_every_figure_of_its_risk(ask: Say, outage: Document) -> None:
    worst = sorted(outage["positions"], key=lambda row: -(row["exposure_cost"] or 0.0))[:6]
    for row in worst:
        document = ask("explain", f"{row['crane']}/{row['position']}", "--json").document
        said = values(document["terms"])

        assert document["outage"] == row
        assert f"{row['failures_next_year']:.3g} in the coming year" in said
        assert f"{row['expected_restore_days']:.1f} days" in said
        assert f"{row['weight']:.3g}" in said
        assert f"{row['exposure_days']:.3g} lost days a year" in said
        assert f"{row['exposure_cost']:,.0f} a year" in said


RISK_TERMS = ("failures next year", "kept", "the set waits", "restore in the long run",
              "share of work", "exposure")  # fmt: skip


def test_each_term_of_a_risk_names_its_record(ask: Say, risks: list[Document]) -> None:
    for subject in ("A1/hoist low-speed gear", "B2/cab ventilation", risks[1]["part"]):
        terms = ask("explain", subject, "--json").document["terms"]
        of_risk = [term for term in terms if term["name"].startswith(RISK_TERMS)]

        assert of_risk
        assert [term["name"] for term in of_risk if not term["record"]] == []


def test_records_that_terms_name_are_in_the_book(
    ask: Say, say: Say, demo_database: Path, tmp_path: Path
) -> None:
    book = tmp_path / "book"
    assert say("save", book, "--db", demo_database).status == 0
    files = {path.stem for path in book.iterdir()}
    for subject in ("A1/hoist low-speed gear", "GEAR-LS-A1", "HDR-A"):
        for term in ask("explain", subject, "--json").document["terms"]:
            if term["record"]:
                assert term["record"].split(" ")[0] in files, term


def test_an_explained_part_shows_its_scores_rate_and_demand(
    ask: Say, risks: list[Document], likely: Document
) -> None:
    outlooks = {row["part"]: row for row in likely["parts"]}
    for row in risks[1:5]:
        terms = ask("explain", row["part"], "--json").document["terms"]
        said, outlook = values(terms), outlooks[row["part"]]

        assert f"{row['supply_score']:.0f} of 100" in said
        for value in row["drivers"].values():
            if value is not None:
                assert f"{value:.0f} of 100" in said
        if outlook["rate_mean"] is not None:
            assert f"{outlook['rate_mean']:.3g} a year and unit" in said
        assert f"{outlook['demand_per_year']:.3g} a year in all" in said


def test_an_explained_part_shows_every_figure_of_its_line_in_the_ranking(
    ask: Say, risks: list[Document]
) -> None:
    for row in risks[1:5]:
        said = values(ask("explain", row["part"], "--json").document["terms"])

        assert f"{row['failures_next_year']:.3g}" in said, row["part"]
        assert f"{row['exposure_days']:.3g} lost days a year" in said, row["part"]
        assert f"{row['exposure_cost']:,.0f}" in said, row["part"]
        assert f"{row['worst_lost_days']:.1f}" in said, row["part"]
        assert f"{percent(row['top10_share'])}" in said, row["part"]
