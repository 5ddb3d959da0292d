"""Nothing that a terminal obeys gets past the gate, and clean text is left alone.

Control functions: ECMA-48. Categories and bidirectional controls: Unicode Standard, ch. 4 and
UAX #9. Normalisation: UAX #15. Trojan-source order marks: CVE-2021-42574.
"""

from __future__ import annotations

import unicodedata
from time import perf_counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.records.shown import MARKS_PER_BASE, folded, searchable, shown

ANY_TEXT = st.text(st.characters(codec=None, exclude_categories=()))


def test_an_empty_text_stays_empty() -> None:
    assert shown("") == ""
    assert folded("") == ""
    assert searchable("") == ""


@pytest.mark.parametrize(
    "clean",
    [
        "bolt [/x] M8",
        "[red]A[/red]",
        "50\\[Hz]",
        "größe",
        "Ω 10 µF ²",
        "ブレーキ",
        "тормоз",
        "👍🏽",
        "a\u00a0b",
    ],
)
def test_a_clean_text_comes_back_as_it_is(clean: str) -> None:
    assert shown(clean) == clean


@pytest.mark.parametrize(
    ("hostile", "expected"),
    [
        ("a\x1b[2Jb", "a␛[2Jb"),
        ("\x1b]52;c;cHduZWQ=\x1b\\", "␛]52;c;cHduZWQ=␛\\"),
        ("\x1b]0;title\x07", "␛]0;title␇"),
        ("\x9b2J", "<U+009B>2J"),
        ("\x9d0;t\x9c", "<U+009D>0;t<U+009C>"),
        ("\u202egnp.exe", "<U+202E>gnp.exe"),
        ("\u2066a\u2069", "<U+2066>a<U+2069>"),
        ("a\u200bb\ufeffc", "a<U+200B>b<U+FEFF>c"),
        ("soft\xadhyphen", "soft<U+00AD>hyphen"),
        ("a\x00b\x08c\x7f", "a␀b␈c␡"),
        ("line\u2028para\u2029", "line<U+2028>para<U+2029>"),
        ("\ud800", "<U+D800>"),
        ("\ue000", "<U+E000>"),
        ("\U000e0041", "<U+E0041>"),
        ("\u0378", "<U+0378>"),
    ],
)
def test_what_a_terminal_would_obey_or_hide_is_written_visibly(hostile: str, expected: str) -> None:
    assert shown(hostile) == expected


def test_tab_and_line_ends_become_one_blank_each() -> None:
    assert shown("a\tb\r\nc\rd\ne") == "a b c d e"


def test_a_field_of_several_lines_keeps_its_line_feeds() -> None:
    assert shown("a\r\nb\tc\nd\x1b", newline=True) == "a\nb c\nd␛"


def test_joiners_that_scripts_are_spelt_with_stay() -> None:
    farsi, family = "می\u200cخواهم", "👩\u200d👧"

    assert shown(farsi) == farsi
    assert shown(family) == family


def test_a_pile_of_marks_is_cut_to_what_scripts_need() -> None:
    piled = "a" + "\u0301" * 50 + "b\u0301"

    assert shown(piled) == "a" + "\u0301" * MARKS_PER_BASE + "b\u0301"


def test_a_pile_of_joiners_is_cut_as_well() -> None:
    assert len(shown("a" + "\u200d" * 50)) == 1 + MARKS_PER_BASE


@given(ANY_TEXT)
def test_no_text_gets_a_control_through(text: str) -> None:
    categories = {unicodedata.category(c) for c in shown(text) if c not in "\u200c\u200d"}

    assert not categories & {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


@given(ANY_TEXT)
def test_showing_twice_changes_nothing_more(text: str) -> None:
    once = shown(text)

    assert shown(once) == once


@given(ANY_TEXT)
def test_folding_twice_changes_nothing_more(text: str) -> None:
    once = folded(text)

    assert folded(once) == once


@pytest.mark.parametrize(
    "other",
    ["ab-12", " AB-12 ", "ＡＢ－１２", "AB\u200b-12", "A\xadB-12", "AB-12\x00", "\ufeffAB-12"],
)
def test_spellings_of_one_number_fold_to_one_key(other: str) -> None:
    assert folded(other) == folded("AB-12")


def test_blanks_of_any_kind_collapse() -> None:
    assert folded("brake\u3000 \t disc\u00a0 left") == "brake disc left"


def test_sharp_s_and_case_meet() -> None:
    assert folded("GRÖSSE") == folded("Größe") == folded("gro\u0308ße")


def test_a_letter_that_only_looks_alike_stays_apart() -> None:
    cyrillic_a = "\u0410B-12"

    assert folded(cyrillic_a) != folded("AB-12")


@pytest.mark.parametrize("spelling", ["47-11", "47 11", "47.11", "47/11", "47–11", "47_11", "4711"])
def test_separators_do_not_hide_a_number_from_a_search(spelling: str) -> None:
    assert searchable(spelling) == "4711"


def test_clean_text_is_passed_at_the_speed_of_a_list() -> None:
    texts = [f"brake disc {n} 315x30" for n in range(100_000)]
    started = perf_counter()
    for text in texts:
        shown(text)

    assert perf_counter() - started < 0.5  # about 0.02 s on an idle machine
