"""`compare`: promised fields, sums, what is refused, and one small site in words."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import TODAY, Say

FIELDS = {"years", "discount_rate", "budget", "options", "chosen", "spent", "npv_cost"}
OPTION_FIELDS = {
    "option", "kind", "capital", "exposure_cost_per_year", "npv_cost", "equal_annual_cost",
}  # fmt: skip
KINDS = {"as_is", "upgrade", "combination", "spares"}


@pytest.fixture
def database(book: Path, say: Say, tmp_path: Path) -> Path:
    """The small book with a rate, an offer and two upgrades: 0.5 x 31 days x 1000 a year; one
    upgrade halves the failures, the other costs more than it could ever save."""
    files = {
        "site": "key,value\ncurrency,EUR\ndiscount_rate,0.1\nholding_rate,0\n",
        "positions": "crane,position,part,exchange_hours,failures_per_year\nC1,drive,P1,16,0.5\n",
        "suppliers": "supplier\nS1\n",
        "offers": "supplier,part,likely,unit_price\nS1,P1,30,400\n",
        "upgrades": "upgrade,title,cost,lead_days,down_days,life_years\n"
        "U1,calmer drive,900,0,0,20\nU2,golden drive,900000,0,0,\n",
        "upgrade_effects": "upgrade,crane,position,new_part,failures_factor\n"
        "U1,C1,drive,,0.5\nU2,C1,drive,,0.1\n",
    }
    for name, text in files.items():
        (book / f"{name}.csv").write_text(text, encoding="utf-8")
    path = tmp_path / "site.db"
    assert say("load", book, "--db", path).status == 0
    return path


@pytest.fixture
def compare(say: Say, database: Path) -> Say:
    def give(*words: str) -> object:
        return say("compare", *words, "--db", database, "--today", TODAY)

    return give  # type: ignore[return-value]


# JSON -------------------------------------------------------------------------------------------


def test_the_promised_fields_are_there(compare: Say) -> None:
    said = compare("--budget", "2000", "--years", "3", "--json")
    document = said.document

    assert said.status == 0
    assert set(document) >= FIELDS
    assert (document["years"], document["discount_rate"], document["budget"]) == (3, 0.1, 2000.0)
    for option in document["options"]:
        assert set(option) >= OPTION_FIELDS
        assert option["kind"] in KINDS
    assert document["options"][0]["option"] == "as_is"
    assert {row["option"] for row in document["options"]} == {
        "as_is", "spares", "U1", "U1+spares", "U2",
    }  # fmt: skip


def test_leaving_all_as_it_is_costs_its_exposure_each_year(compare: Say) -> None:
    as_is = compare("--years", "3", "--json").document["options"][0]

    assert as_is["exposure_cost_per_year"] == pytest.approx(0.5 * 31 * 1000)
    assert as_is["equal_annual_cost"] == pytest.approx(0.5 * 31 * 1000)
    assert as_is["npv_cost"] == pytest.approx(15_500 * (1 / 1.1 + 1 / 1.21 + 1 / 1.331))


def test_the_choice_is_an_option_with_its_money(compare: Say) -> None:
    document = compare("--budget", "2000", "--json").document
    chosen = next(row for row in document["options"]
                  if row["option"] == "+".join(document["chosen"]))  # fmt: skip

    assert document["spent"] == chosen["capital"] <= 2000
    assert document["npv_cost"] == chosen["npv_cost"]
    assert document["npv_cost"] == min(
        row["npv_cost"] for row in document["options"] if row["within_budget"]
    )
    assert chosen["npv_cost"] == pytest.approx(
        sum(chosen[f"npv_{what}"] for what in ("exposure", "purchases", "down", "keeping"))
    )
    assert all(line["order_by"] == TODAY for line in chosen["lines"])


def test_without_a_budget_it_is_null_and_there_are_no_spares(compare: Say) -> None:
    document = compare("--json").document

    assert document["budget"] is None
    assert [row["option"] for row in document["options"]] == ["as_is", "U1", "U2"]
    assert (document["chosen"], document["years"]) == (["U1"], 15)


# Words ------------------------------------------------------------------------------------------


def test_the_choice_is_one_sentence_and_all_choices_a_table(compare: Say) -> None:
    said = compare("--years", "3")
    first, _, _, header, *rows = said.out.splitlines()

    assert said.status == 0
    assert first == (
        "Over 3 years at 10.0 % a year, the choice that costs least is U1: 20,173 EUR in all, "
        "8,112 a year, 900 of it now. Leaving all as it is costs 38,546 EUR, 15,500 a year."
    )
    assert header.split()[0] == "option"
    assert rows[0].startswith("as_is")
    assert rows[1].endswith("calmer drive")
    assert "note: U2: no life is recorded: taken to last through all the years" in said.out
    assert "no permission to run" in said.out


def test_what_is_over_the_budget_says_so_and_what_to_order_is_listed(compare: Say) -> None:
    said = compare("--budget", "2000", "--years", "3")

    assert "within 2,000 EUR" in said.out
    assert "over the budget: golden drive" in said.out
    assert "In order of purchase" in said.out


def test_the_horizon_of_the_site_is_named_where_no_years_are_given(compare: Say) -> None:
    assert "Over 15 years (the site's horizon)" in compare().out


# Nothing, nonsense ------------------------------------------------------------------------------


def test_a_site_without_upgrades_and_no_budget_is_told_what_leaving_all_as_it_is_costs(
    say: Say, book: Path, tmp_path: Path
) -> None:
    say("load", book, "--db", tmp_path / "bare.db")
    said = say("compare", "--db", tmp_path / "bare.db", "--today", TODAY, "--json")

    assert said.status == 0
    (row,) = said.document["options"]
    assert row["option"] == "as_is"
    assert row["equal_annual_cost"] == pytest.approx(row["exposure_cost_per_year"])
    assert said.document["chosen"] == ["as_is"]


@pytest.mark.parametrize(
    "words", [("--budget", "-1"), ("--budget", "nan"), ("--budget", "1e5"), ("--years", "0"),
              ("--years", "1.5"), ("--years", "999999999"), ("--years", "x")]
)  # fmt: skip
def test_nonsense_is_refused_in_one_line(compare: Say, words: tuple[str, str]) -> None:
    said = compare(*words)

    assert (said.status, said.out) == (2, "")
    assert len(said.err.splitlines()) == 1


# The demo ---------------------------------------------------------------------------------------


def test_on_the_demo_site_every_upgrade_is_weighed(ask: Say) -> None:
    document = ask("compare", "--years", "10", "--json").document
    single = {row["option"]: row for row in document["options"] if row["kind"] == "upgrade"}
    risks = ask("risks", "--json").document["parts"]

    assert set(single) == {f"U{number}" for number in range(1, 9)}
    assert document["options"][0]["equal_annual_cost"] == pytest.approx(
        sum(row["exposure_cost"] or 0.0 for row in risks)
    )
    assert not any({"U4", "U7"} <= set(row["upgrades"]) for row in document["options"])
    assert not any({"U6", "U7"} <= set(row["upgrades"]) for row in document["options"])
    assert len(document["options"]) > len(single) + 1
