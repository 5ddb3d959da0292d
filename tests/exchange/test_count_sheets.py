"""A sheet to count by as a file: what passes through a spreadsheet, and what is refused of it."""

from __future__ import annotations

import csv
import io
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.exchange.count_sheets import (
    UnusableSheet,
    defused,
    read_count_sheet,
    sheet_bytes,
    tolerance_of,
)
from parts.records.count_answers import CountSheet, SheetLine, Tolerance

HEADER = "sheet,part,description,store,bin,after,counted,tolerance,unit_cost,note\n"


def read(folder: Path, text: str | bytes) -> list[SheetLine]:
    path = folder / "sheet.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return [line for _, line in read_count_sheet(path)]


def refused(folder: Path, text: str | bytes) -> str:
    with pytest.raises(UnusableSheet) as refusal:
        read(folder, text)
    return str(refusal.value)


def test_a_sheet_that_is_not_there_or_no_file_is_refused(tmp_path: Path) -> None:
    for path in (tmp_path / "none.csv", tmp_path):
        with pytest.raises(UnusableSheet, match=r"nothing of .* was booked"):
            read_count_sheet(path)


@pytest.mark.parametrize(
    ("cells", "told"),
    [
        ("S,P1,,,,1,,,,", "nothing in its column counted"),
        ("S,P1,,,,1,1.5,,,", "column counted: '1.5' is not a whole number"),
        ("S,P1,,,,1,-1,,,", "column counted: '-1' is negative"),
        ("S,P1,,,,1,1e3,,,", "'1e3' is not a whole number"),
        ("S,P1,,,,1,１２,,,", "'１２' is not a whole number"),
        ("S,P1,,,,1,²,,,", "'²' is not a whole number"),
        ("S,P1,,,,1,1_0,,,", "'1_0' is not a whole number"),
        ("S,P1,,,,1,NaN,,,", "'NaN' is not a whole number"),
        ("S,P1,,,,1,2000000000,,,", "is above"),
        ("S,P1,,,,,1,,,", "column after: must not be blank"),
        ("S,,,,,1,1,,,", "column part: must not be blank"),
        ("S,P1,,,,1,1,many,,", "'many' is neither whole units nor a share"),
        ("S,P1,,,,1,1,101 %,,", "is not between 0 and 100 %"),
        ("S,P1,,,,1,1,-1 %,,", "is not between 0 and 100 %"),
        ("S,=P1,,,,1,1,,,", "'=P1' begins like a formula"),
        ("S,P1,,@x,,1,1,,,", "column store: '@x' begins like a formula"),
        ("S,P1,,,,1,1,,,+1+2", "column note: '+1+2' begins like a formula"),
        ("S,P1,,,,1,1,,,\x1b[2J", "control character U+001B"),
        ("S,P1,,,,1,1,,-3,", "'-3' is negative"),
        ("S,P1,,,,1,1,,,\nS,P1,,,,1,2,,,", "row 3 column part: 'P1' stands in row 2 too"),
        ("S,P1,,,,1,1,,,\nT,P2,,,,1,2,,,", "row 3 column sheet: 'T' is another sheet"),
        ("S,P1,,,,1,1,,", "has 9 cells where the header has 10"),
        ('S,"P1,,,,1,1,,,', "is not closed"),
    ],
)
def test_a_cell_that_cannot_be_right_is_told_with_its_place(
    tmp_path: Path, cells: str, told: str
) -> None:
    assert told in refused(tmp_path, f"{HEADER}{cells}\n")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "is empty"),
        (HEADER, "nothing in its column counted"),
        (HEADER.replace(",", ";"), "not separated by commas"),
        (HEADER.replace("counted", "found") + "S,P1,,,,1,1,,,\n", "'found' is not a column"),
        (HEADER.replace("part", "sheet") + "S,P1,,,,1,1,,,\n", "stands here twice"),
        (HEADER.encode("utf-16"), "is UTF-16"),
        ("sheet,part\nSüd,P\n".encode("cp1252"), "is not UTF-8"),
    ],
)
def test_a_file_that_is_no_sheet_says_what_it_is(
    tmp_path: Path, text: str | bytes, told: str
) -> None:
    assert told in refused(tmp_path, text)


def test_many_faults_are_the_first_and_how_many_more(tmp_path: Path) -> None:
    rows = "".join(f"S,P{n},,,,1,x,,,\n" for n in range(5))

    told = refused(tmp_path, HEADER + rows)

    assert told.startswith("sheet.csv row 2 column counted: 'x'")
    assert told.endswith(" and 4 more; nothing of sheet.csv was booked")


@pytest.mark.parametrize(
    ("cell", "tolerance"),
    [
        (None, Tolerance()),
        ("0", Tolerance()),
        ("6", Tolerance(units=6)),
        ("5 %", Tolerance(share=0.05)),
        ("2.5%", Tolerance(share=0.025)),
    ],
)
def test_a_tolerance_is_read(cell: str | None, tolerance: Tolerance) -> None:
    assert tolerance_of(cell) == tolerance


LETTERS = st.sampled_from("=+-@'＝＠|!;,\"") | st.characters(exclude_categories=["C"])
NAMES = st.text(LETTERS, min_size=1, max_size=12).map(str.strip).filter(bool)


@given(NAMES, NAMES)
def test_any_name_comes_back_and_none_begins_like_a_formula(
    tmp_path_factory: pytest.TempPathFactory, part: str, store: str
) -> None:
    line = SheetLine(sheet="S", part=part, store=store, after=3)
    sheet = CountSheet(sheet="S", printed_on=date(2026, 11, 25), store=None, lines=(line,))
    (_, cells) = csv.reader(io.StringIO(sheet_bytes(sheet).decode("utf-8-sig"), newline=""))
    assert not any(cell[:1] in "=+-@\t\r\n＝＋－＠" for cell in cells if cell)

    cells[6] = "0"
    text = io.StringIO(newline="")
    csv.writer(text).writerow(cells)
    (back,) = read(tmp_path_factory.mktemp("sheet"), HEADER + text.getvalue())

    assert (back.part, back.store, back.counted) == (part, store, 0)


@pytest.mark.parametrize("name", ["-K1", "=H1+S2", "@x", "+5 V", "'tis", "＝x"])
def test_what_looks_like_a_formula_stands_behind_an_apostrophe(name: str) -> None:
    assert defused(name) == f"'{name}"


@pytest.mark.parametrize("name", ["", None, "0004711", "K-1", "a=b"])
def test_what_does_not_stays_as_it_is(name: str | None) -> None:
    assert defused(name) == (name or "")
