"""`longpole find` on the demo site, whose numbers are invented: what is typed, what comes first."""

from __future__ import annotations

import pytest

from tests.cli.conftest import Say


@pytest.mark.parametrize(
    ("typed", "kind", "name", "why"),
    [
        ("5862 807", "part", "ANTI-1", "number 5862 807 of maker"),
        ("5862807", "part", "ANTI-1", "number 5862 807 of maker"),
        ("586-2807", "part", "ANTI-1", "number 5862 807 of maker"),
        ("axl 79644", "part", "AXL-B-A", "number AXL79644 of electric counter"),
        ("5682807", "part", "ANTI-1", "perhaps number 5862 807 of maker, one slip apart"),
        ("a1", "crane", "A1", "tag"),
        ("b1/main hoist rope", "position", "B1/main hoist rope", "crane and position"),
        ("gearshop east", "supplier", "gear shop east", "supplier"),
        ("b23", "bin", "B23", "bin"),
        ("vh25", "serial number", "VH-25", "serial number"),
        ("v2017-2", "order", "V2017-002", "order number, but for zeros"),
    ],
)
def test_what_is_typed_comes_first(ask: Say, typed: str, kind: str, name: str, why: str) -> None:
    said = ask("find", typed, "--json")
    hit = said.document["hits"][0]

    assert said.status == 0
    assert (hit["kind"], hit["name"], hit["why"]) == (kind, name, why)


def test_each_own_number_of_the_demo_finds_its_part_first_without_marks(ask: Say) -> None:
    parts = {row["part"] for row in ask("risks", "--json").document["parts"]}
    named = sorted(parts)[::40]
    found = [
        ask("find", part.lower().replace("-", " "), "--json").document["hits"][0] for part in named
    ]

    assert len(named) > 3
    assert [hit["name"] for hit in found] == named
    assert {hit["rank"] for hit in found} == {"exact"}


def test_words_need_no_quotes_and_the_table_says_why(ask: Say) -> None:
    lines = ask("find", "main", "hoist", "rope").out.splitlines()

    assert lines[0].split() == ["what", "name", "description", "found", "by"]
    assert any(line.startswith("position  B1/main hoist rope ") for line in lines)
    assert lines[1].endswith("description")


def test_only_the_first_are_listed_unless_all_are_asked_for(ask: Say) -> None:
    few, every = ask("find", "brake"), ask("find", "brake", "--all")

    assert "more (--all shows them)" in few.out
    assert "more" not in every.out.splitlines()[-1]
    assert len(every.out.splitlines()) > len(few.out.splitlines())


def test_a_guess_says_that_it_is_one(ask: Say) -> None:
    assert "Guesses: compare every letter and digit" in ask("find", "5682807").out


@pytest.mark.parametrize("typed", ["qqqqqq", "'; DROP TABLE part;--", "%", "_", ".*"])
def test_what_nothing_is_called_ends_with_status_one(ask: Say, typed: str) -> None:
    said = ask("find", typed)

    assert said.status == 1
    assert said.out.startswith("Nothing of that name was found.")
    assert said.err == ""


def test_a_long_text_is_cut_and_said_to_be(ask: Say) -> None:
    assert "only the first 200 characters were looked for" in ask("find", "q" * 5_000).out


def test_find_without_a_text_is_wrong_use(ask: Say) -> None:
    assert ask("find").status == 2
