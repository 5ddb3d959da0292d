"""`whatif`: promised fields, today beside then in words, what is refused, and nothing written."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import TODAY, Say

FIELDS = {
    *("question", "now", "then", "changed", "changes", "outages", "working_periods", "notes"),
}  # fmt: skip
QUESTIONS = [
    ("--fail", "C1/drive"),
    ("--fail", "C1/drive", "C1/drive"),
    ("--close", "S1"),
    ("--quote", "S1", "P1", "9"),
    ("--hours-factor", "2"),
    ("--km", "0.5"),
    ("--spare", "P1"),
    ("--spare", "P1", "2"),
    ("--upgrade", "U1"),
    ("--retire", "C1"),
]


@pytest.fixture
def database(book: Path, say: Say, tmp_path: Path) -> Path:
    """The small book with a rate, an offer, an upgrade and a working period: 0.5 failures a year
    of 31 days at 1000 a day; 400 of 800 full-load hours are left."""
    files = {
        "site": "key,value\ncurrency,EUR\n",
        "positions": "crane,position,part,exchange_hours,failures_per_year\nC1,drive,P1,16,0.5\n",
        "suppliers": "supplier\nS1\n",
        "offers": "supplier,part,likely,unit_price\nS1,P1,30,400\n",
        "upgrades": "upgrade,title,cost\nU1,calmer drive,900\n",
        "upgrade_effects": "upgrade,crane,position,new_part,failures_factor\nU1,C1,drive,,0.5\n",
        "duty": "crane,mechanism,group,hours_per_year,km,hours_used\nC1,hoist,M4,200,0.5,800\n",
    }
    for name, text in files.items():
        (book / f"{name}.csv").write_text(text, encoding="utf-8")
    path = tmp_path / "site.db"
    assert say("load", book, "--db", path).status == 0
    return path


@pytest.fixture
def whatif(say: Say, database: Path) -> Say:
    def give(*words: str) -> object:
        return say("whatif", *words, "--db", database, "--today", TODAY)

    return give  # type: ignore[return-value]


@pytest.mark.parametrize("words", QUESTIONS)
def test_every_question_has_the_promised_fields_and_writes_nothing(
    whatif: Say, database: Path, words: tuple[str, ...]
) -> None:
    before, files = database.read_bytes(), sorted(database.parent.iterdir())
    said = whatif(*words, "--json")

    assert said.status == 0
    assert set(said.document) == FIELDS
    assert said.document["now"] == {
        "lost_days_per_year": 15.5,
        "cost_per_year": 15500.0,
        "unknown_positions": 0,
    }
    assert whatif(*words).out.startswith("What if ")
    assert database.read_bytes() == before
    assert sorted(database.parent.iterdir()) == files


@pytest.mark.parametrize(
    ("words", "days"),
    [
        (("--quote", "S1", "P1", "9"), 5.0),  # 0.5 x (9 + 1)
        (("--upgrade", "U1"), 7.75),  # 0.25 x 31
        (("--retire", "C1"), 0.0),
        (("--close", "S1"), 15.5),  # the usual 30 days of the part are left
        (("--km", "0.5"), 15.5),
        (("--hours-factor", "2"), 15.5),
    ],
)
def test_the_figures_of_then_are_those_worked_by_hand(
    whatif: Say, words: tuple[str, ...], days: float
) -> None:
    then = whatif(*words, "--json").document["then"]

    assert then["lost_days_per_year"] == pytest.approx(days)
    assert then["cost_per_year"] == pytest.approx(1000.0 * days)


def test_a_failure_stands_beside_the_crane_in_service(whatif: Say) -> None:
    found = whatif("--fail", "C1/drive")
    outage = whatif("--fail", "C1/drive", "--json").document["outages"]["C1"]

    assert found.out.splitlines()[3].split() == [
        *("C1", "in", "service", "down,", "restored", "in", "31.0", "days"),
    ]  # fmt: skip
    assert (outage["restore_days"], outage["lost_days"], outage["cost"]) == (31, 31, 31000)


def test_today_and_then_stand_side_by_side(whatif: Say) -> None:
    lines = whatif("--spare", "P1", "1").out.splitlines()

    assert lines[0] == "What if 1 of P1 more is bought?"
    assert lines[2].split() == ["now", "then"]
    assert lines[3].split()[:4] == ["lost", "days", "a", "year"]
    assert lines[3].split()[4] == "15.5"
    row = next(line.split() for line in lines if line.startswith("C1 "))
    assert row[:6] == ["C1", "drive", "P1", "31.0", "1.0", "15.50"]
    assert "Nothing was saved" in lines[-2]
    assert "no permission to run" in lines[-1]


def test_working_periods_that_end_on_another_day_are_listed(whatif: Say) -> None:
    said = whatif("--hours-factor", "2")

    # four years at 100 full-load hours a year, then two
    assert "C1     hoist      2030-11-25  2028-11-24" in said.out
    assert "No position would stand longer or shorter" in said.out


@pytest.mark.parametrize(
    ("words", "why"),
    [
        ((), "one of the arguments"),
        (("--retire", "C1", "--close", "S1"), "not allowed with"),
        (("--retire", "C9"), "no crane is called 'C9'"),
        (("--close", "S9"), "no supplier is called 'S9'"),
        (("--quote", "S1", "P9", "3"), "no part is called 'P9'"),
        (("--quote", "S1", "P1", "soon"), "--quote: 'soon'"),
        (("--quote", "S1", "P1", "-1"), "--quote: '-1' is negative"),
        (("--quote", "S1", "P1"), "expected 3 arguments"),
        (("--spare", "P1", "1.5"), "units are whole"),
        (("--spare", "P1", "0"), "units are whole"),
        (("--spare", "P1", "1", "2"), "--spare: '1 2'"),
        (("--upgrade", "U9"), "no upgrade is called 'U9'"),
        (("--hours-factor", "0"), "above 0"),
        (("--hours-factor", "nan"), "nan"),
        (("--km", "1.5"), "at most 1"),
        (("--fail", "C1/dirve"), "did you mean drive"),
        (("--fail", "C1"), "no part or CRANE/POSITION"),
    ],
)
def test_what_cannot_be_asked_is_refused_in_one_line(
    whatif: Say, words: tuple[str, ...], why: str
) -> None:
    said = whatif(*words)

    assert (said.status, said.out) == (2, "")
    assert why in said.err
    assert len(said.err.splitlines()) == 1


def test_a_site_without_a_live_crane_has_nothing_to_answer(
    say: Say, book: Path, tmp_path: Path
) -> None:
    (book / "cranes.csv").write_text("crane,retire_on\nC1,2020-01-01\n", encoding="utf-8")
    say("load", book, "--db", tmp_path / "bare.db")
    said = say("whatif", "--hours-factor", "2", "--db", tmp_path / "bare.db", "--today", TODAY)

    assert said.status == 1
    assert "No position would stand longer or shorter" in said.out


def test_a_hostile_name_is_told_literally(say: Say, book: Path, tmp_path: Path) -> None:
    text = "supplier,name\n[/x]\u202e,x\n"
    (book / "suppliers.csv").write_text(text, encoding="utf-8")
    say("load", book, "--db", tmp_path / "h.db")
    said = say("whatif", "--close", "[/x]\u202e", "--db", tmp_path / "h.db", "--today", TODAY)

    assert "\u202e" not in said.out + said.err
    assert "[/x]" in said.out + said.err


def test_on_the_demo_site_a_closing_supplier_lengthens_the_long_pole(ask: Say) -> None:
    said = ask("whatif", "--close", "gear shop east", "--json").document
    worst = said["changes"][0]

    assert (worst["crane"], worst["position"]) == ("A1", "hoist low-speed gear")
    assert worst["more_days"] > 0
    assert said["then"]["cost_per_year"] > said["now"]["cost_per_year"]
