"""What is typed and what it must find first, as a table; and any name in any disguise.

The site and its numbers are invented; what each text must find follows from what it is a spelling
of, and was written down by hand.
"""

from __future__ import annotations

import csv
import unicodedata
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.calc.finding.search import LONGEST, find
from parts.calc.finding.things import Label, Thing
from parts.records.find_answers import FindAnswer, Kind, Rank
from tests.calc.finding_site import finding_index

TABLE = Path(__file__).with_name("look_ups.csv")
INDEX = finding_index()
FIRST_FEW = 3
ODD = (
    "'; DROP TABLE part;--", "%", "_", "%' OR 1=1", ".*", "(", "[", "\\", "a\x00b", "\x00", "\n",
    "\x1b[2J", "\u202e", "-" * 500, "x" * 5_000, "7 " * 3_000, "\ufdfa" * 200, "\ud800", "e\u0301",
)  # fmt: skip


def found(text: str, most: int = 20) -> FindAnswer:
    return find(INDEX, text, most)


def look_ups() -> list[tuple[str, str, str, str]]:
    with TABLE.open(encoding="utf-8", newline="") as lines:
        return [(r["typed"], r["kind"], r["name"], r["why"]) for r in csv.DictReader(lines)]


@pytest.mark.parametrize(("typed", "kind", "name", "why"), look_ups())
def test_what_is_typed_finds_first_what_it_is_a_spelling_of(
    typed: str, kind: str, name: str, why: str
) -> None:
    hit = found(typed).hits[0]

    assert (hit.kind.value, hit.name, hit.why) == (kind, name, why)


# Nothing


@pytest.mark.parametrize("typed", ["", " ", "-", "%", "_", "\x00", ".*", "␀", "±", "\u0301"])
def test_marks_alone_find_nothing_and_nothing_is_tried(typed: str) -> None:
    assert found(typed) == FindAnswer(typed)


def test_what_nothing_is_called_finds_nothing_and_says_what_was_tried() -> None:
    answer = found("qqqq")

    assert (answer.hits, answer.total) == ((), 0)
    assert len(answer.tried) == 4


def test_a_short_text_is_not_guessed_from() -> None:
    answer = found("qq")

    assert answer.hits == ()
    assert not any("exchanged" in each for each in answer.tried)


def test_an_empty_site_finds_nothing() -> None:
    from parts.calc.finding.index import Index
    from parts.records.book import Book
    from parts.records.snapshot import snapshot_of
    from tests.calc.finding_site import TODAY

    assert find(Index(snapshot_of(Book(), TODAY)), "pinion", 20).total == 0


@pytest.mark.parametrize("typed", ["C1", "VH-26", "drive wheel 9"])
def test_what_was_taken_out_or_sits_on_a_retired_crane_is_not_found(typed: str) -> None:
    names = [hit.name for hit in found(typed).hits]

    assert not {"C1", "VH-26", "HM-9/drive wheel 9"} & set(names)


# Order


def test_a_number_as_written_comes_before_the_same_number_with_other_marks() -> None:
    assert [hit.name for hit in found("PIN 7").hits][:2] == ["LC-10", "PIN-7"]
    assert [hit.name for hit in found("PIN-7").hits][:2] == ["PIN-7", "LC-10"]


def test_exact_comes_before_begins_and_begins_before_contains() -> None:
    ranks = [hit.rank for hit in found("BRK-2").hits]
    order = list(Rank)

    assert ranks[:2] == [Rank.EXACT, Rank.BEGINS]
    assert ranks == sorted(ranks, key=order.index)


def test_every_word_must_be_held() -> None:
    assert [hit.name for hit in found("hoist pinion").hits] == ["HM-1/main hoist pinion"]
    assert found("hoist qqqq pinion").total == 0


def test_words_may_stand_in_different_names_of_one_thing() -> None:
    hit = found("whl wheel 5862").hits[0]

    assert hit.name == "WHL-4"
    assert hit.why == "description and number 5862 807 of wheel maker and own number"


def test_a_guess_is_made_only_where_nothing_else_is_found() -> None:
    ranks = {hit.rank for typed, *_ in look_ups() for hit in found(typed).hits[1:]}
    mixed = [
        typed
        for typed, *_ in look_ups()
        if len({hit.rank is Rank.NEAR for hit in found(typed).hits}) > 1
    ]

    assert Rank.CONTAINS in ranks
    assert mixed == []


def test_no_more_hits_are_listed_than_asked_for_but_all_are_counted() -> None:
    answer = found("e", most=3)

    assert len(answer.hits) == 3
    assert answer.total == found("e", most=1_000).total > 3


# Where a hit leads


def test_each_kind_names_the_place_that_it_opens() -> None:
    hits = {hit.kind: hit.opens for typed, *_ in look_ups() for hit in found(typed).hits[:1]}

    assert set(hits) == set(Kind)
    assert hits[Kind.PART].part is not None
    assert hits[Kind.ORDER].part == "WHL-4"
    assert hits[Kind.SERIAL].part == "WHL-4"
    assert (hits[Kind.BIN].store, hits[Kind.BIN].bin) == ("main store", "B-03")
    assert hits[Kind.POSITION].position is not None


# Anything typed


@pytest.mark.parametrize("typed", ODD)
def test_odd_texts_are_literal_and_bounded(typed: str) -> None:
    answer = found(typed)

    assert len(answer.text) <= len(typed)
    assert any("characters" in each for each in answer.tried) == (len(typed) > LONGEST)


@given(st.text(st.characters(codec=None, exclude_categories=())))
def test_no_text_breaks_the_search(typed: str) -> None:
    answer = found(typed, most=1_000)

    assert len(answer.hits) == answer.total
    assert all(hit.why for hit in answer.hits)


def padded(text: str) -> str:
    """Return the text with zeros before each run of digits."""
    return "".join(
        f"00{c}" if c.isdigit() and not text[:at][-1:].isdigit() else c for at, c in enumerate(text)
    )


def is_no_accent(character: str) -> bool:
    return not unicodedata.combining(character)


DISGUISES: tuple[Callable[[str], str], ...] = (
    str.upper,
    str.lower,
    lambda text: text.replace("-", "").replace(".", "").replace("/", ""),
    lambda text: text.replace("-", "/").replace(" ", "-"),
    lambda text: text.replace("-", " ").replace("_", " "),
    lambda text: text.replace(" ", ""),
    lambda text: f"  {text}\t",
    lambda text: unicodedata.normalize("NFD", text),
    lambda text: "".join(filter(is_no_accent, unicodedata.normalize("NFD", text))),
    lambda text: "".join(chr(ord(c) + 0xFEE0) if "!" <= c <= "~" else c for c in text),
    padded,
)
NAMED = [(thing, label) for thing in INDEX.things for label in thing.labels]


@given(st.sampled_from(NAMED), st.lists(st.sampled_from(DISGUISES), max_size=4))
def test_any_name_in_any_disguise_is_found_among_the_first_few(
    named: tuple[Thing, Label], disguises: list[Callable[[str], str]]
) -> None:
    thing, label = named
    typed = label.text
    for disguise in disguises:
        typed = disguise(typed)
    names = [(hit.kind, hit.name) for hit in found(typed).hits[:FIRST_FEW]]

    assert (thing.kind, thing.name) in names


@given(st.sampled_from([each for each in NAMED if each[1].is_number]), st.data())
def test_a_number_with_one_slip_is_guessed_unless_something_is_called_so(
    named: tuple[Thing, Label], data: st.DataObject
) -> None:
    thing, label = named
    at = data.draw(st.integers(0, len(label.text) - 1))
    slips = (
        label.text[:at] + label.text[at + 1 :],
        label.text[:at] + "9" + label.text[at:],
        label.text[:at] + "9" + label.text[at + 1 :],
        label.text[:at] + label.text[at : at + 2][::-1] + label.text[at + 2 :],
    )
    typed = data.draw(st.sampled_from(slips))
    hits = found(typed).hits
    names = {hit.name for hit in hits}
    long_enough = sum(map(str.isalnum, typed)) >= 4

    assert not long_enough or thing.name in names or hits[0].rank is not Rank.NEAR
