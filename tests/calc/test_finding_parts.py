"""The pieces that a search is made of: spellings, lines, near words, and what lies where.

A slip is the restricted Damerau distance 1 (F. J. Damerau, Communications of the ACM 7, 1964: one
letter wrong, missing, extra, or a transposition); here it is also told by trying every slip.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.calc.finding.folding import loose_words_of, spellings, words_of
from parts.calc.finding.lines import lines_of
from parts.calc.finding.lying import held_on, serials_on
from parts.calc.finding.near import LEAST_LETTERS, NearWords
from parts.records.shown import searchable
from parts.records.snapshot import Snapshot
from parts.records.stock import Movement
from tests.calc.finding_site import BEFORE, finding_site

FEW_LETTERS = st.text("abö1", min_size=1, max_size=7)


# Spellings


@pytest.mark.parametrize("text", ["", "--", "%", "\x00", "␀", "\u0301"])
def test_a_text_without_letters_or_digits_has_no_spelling(text: str) -> None:
    assert spellings(text) == ()
    assert words_of(text) == loose_words_of(text) == ()


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("0042-17", "42 17"),
        ("V2017-001", "v2017-1"),
        ("V2017-001", "V2017001"),
        ("Ö-7", "o7"),
        ("Œ-7", "OE 7"),
        ("strasse 5", "STRASSE-05"),
        ("Straße 5", "strasse 5"),
        ("Łódź", "lodz"),
        ("m²", "M2"),
    ],
)
def test_two_ways_to_write_a_number_share_a_spelling(one: str, other: str) -> None:
    assert set(spellings(one)) & set(spellings(other))


@pytest.mark.parametrize(
    ("one", "other"), [("10", "1"), ("100-1", "1-1"), ("A-0", "A"), ("が", "か")]
)
def test_what_is_another_number_shares_none(one: str, other: str) -> None:
    assert not set(spellings(one)) & set(spellings(other))


def test_a_word_keeps_its_marks_together_unless_it_is_taken_loosely() -> None:
    assert words_of("low-speed gear") == ("lowspeed", "gear")
    assert loose_words_of("low-speed gear/007") == ("low", "speed", "gear", "007")


@given(st.text(st.characters(codec="ascii")))
def test_plain_words_are_the_same_by_either_way(text: str) -> None:
    assert words_of(text) == tuple(filter(None, map(searchable, text.split())))


# Lines


@given(st.lists(st.text("ab ö", max_size=9), max_size=9), st.text("abö", min_size=1, max_size=4))
def test_a_piece_is_found_in_just_the_lines_that_hold_it(texts: list[str], piece: str) -> None:
    lines = [f" {' '.join(text.split())} " for text in texts]
    held = lines_of(map(str.split, texts)).holding(piece)

    assert held.anywhere.tolist() == [piece in line for line in lines]
    assert held.as_begin.tolist() == [f" {piece}" in line for line in lines]


def test_no_piece_is_found_across_two_lines() -> None:
    assert not lines_of([["ab"], ["cd"]]).holding("b  c").anywhere.any()


# Near words


def slips_of(word: str) -> set[str]:
    """Return all that one slip makes of a word, with the letters that the tests use."""
    cuts = range(len(word) + 1)
    missing = {word[:at] + word[at + 1 :] for at in cuts[:-1]}
    extra = {word[:at] + letter + word[at:] for at in cuts for letter in "abö1"}
    wrong = {word[:at] + letter + word[at + 1 :] for at in cuts[:-1] for letter in "abö1"}
    exchanged = {word[:at] + word[at : at + 2][::-1] + word[at + 2 :] for at in cuts[:-2]}
    return missing | extra | wrong | exchanged | {word}


@given(st.lists(FEW_LETTERS, max_size=30), FEW_LETTERS)
def test_near_words_are_those_that_one_slip_makes(words: list[str], word: str) -> None:
    near = NearWords(words).near(word)
    expected = sorted(set(words) & slips_of(word)) if len(word) >= LEAST_LETTERS else []

    assert [each for each in near if each != word] == [each for each in expected if each != word]


@pytest.mark.parametrize("typed", ["brkae", "brke", "brakee", "brale", "rbake"])
def test_each_kind_of_slip_is_near(typed: str) -> None:
    assert NearWords(["brake", "gear", "bracket"]).near(typed) == ("brake",)


@pytest.mark.parametrize("typed", ["brk", "brkea", "", "ekarb"])
def test_two_slips_and_short_words_are_not(typed: str) -> None:
    assert NearWords(["brake"]).near(typed) == ()


# What lies where


def with_movements(*rows: Movement) -> Snapshot:
    return replace(finding_site(), movements=rows)


def movement(qty: int, kind: str, bin_name: str | None, key: str, **more: str) -> Movement:
    return Movement(
        date=BEFORE, part="PIN-7", qty=qty, kind=kind, store="main store", bin=bin_name, key=key,
        **more,  # type: ignore[arg-type]
    )  # fmt: skip


def bins(snapshot: Snapshot) -> list[tuple[str | None, int]]:
    return [(held.bin, held.qty) for held in held_on(snapshot)]


def test_nothing_lies_on_a_site_without_movements() -> None:
    assert held_on(with_movements()) == ()
    assert serials_on(with_movements()) == ()


def test_where_every_movement_names_its_bin_each_bin_is_counted() -> None:
    moved = with_movements(
        movement(5, "opening", "A1", "m1"),
        movement(3, "receipt", "B2", "m2"),
        movement(-5, "issue", "A1", "m3"),
    )

    assert bins(moved) == [("B2", 3)]


def test_where_an_issue_names_none_the_rest_lies_in_the_bin_named_last() -> None:
    moved = with_movements(
        movement(5, "opening", "A1", "m1"),
        movement(3, "receipt", "B2", "m2"),
        movement(-4, "issue", None, "m3"),
    )

    assert bins(moved) == [("B2", 4)]


def test_what_was_undone_lies_nowhere() -> None:
    moved = with_movements(
        movement(5, "receipt", "A1", "m1", serial="S-1"),
        movement(-5, "reversal", None, "m2", reverses="m1"),
    )

    assert bins(moved) == []
    assert serials_on(moved) == ()


def test_a_unit_with_a_number_is_there_until_it_is_issued() -> None:
    assert [(unit.part, unit.serial, unit.store) for unit in serials_on(finding_site())] == [
        ("WHL-4", "VH-25", "main store")
    ]


def test_quantities_by_bin_add_up_to_the_book_stock() -> None:
    by_part: dict[str, int] = {}
    for held in held_on(finding_site()):
        by_part[held.part] = by_part.get(held.part, 0) + held.qty

    assert by_part == {"PIN-7": 2, "WHL-4": 1, "SEAL_3": 3}
    for part in by_part:
        lying = tuple(held for held in held_on(finding_site()) if held.part == part)
        assert held_on(finding_site(), part) == lying
