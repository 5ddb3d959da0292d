"""A workbook's typed cells: only what cannot have lost anything is taken.

Cell types: ECMA-376 part 1, 18.18.11 (ST_CellType). Fifteen digits: Excel's specification of the
precision of numbers.
"""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from parts.exchange.workbook import book_of
from parts.exchange.workbook_cells import NUMBER, text_of
from parts.exchange.workbook_child import messages
from parts.records.fields import Column, Kind
from parts.records.structure import Crane

LEAST: dict[str, list[list[Any]]] = {
    "cranes": [["crane"], ["C1"]],
    "positions": [["crane", "position"], ["C1", "K1"]],
}


def workbook(place: Path, sheets: dict[str, list[list[Any]]], **hidden: str) -> Path:
    made = openpyxl.Workbook()
    made.remove(made.active)
    for name, rows in sheets.items():
        sheet = made.create_sheet(name)
        sheet.sheet_state = hidden.get(name, "visible")
        for row in rows:
            sheet.append(row)
    made.save(place)
    return place


def read(place: Path, **sheets: list[list[Any]]) -> Any:
    path = workbook(place / "book.xlsx", {**LEAST, **sheets})
    return book_of(path, messages(path.read_bytes()))


def reasons(place: Path, **sheets: list[list[Any]]) -> list[str]:
    return [fault.sentence() for fault in read(place, **sheets).faults]


@pytest.mark.parametrize(
    ("column", "cell", "value"),
    [
        ("part", 4711, "4711"),
        ("part", 4711.0, "4711"),
        ("part", -5, "-5"),
        ("description", 3.5, "3.5"),
        ("part", 123456789012345, "123456789012345"),
        ("part", "00123", "00123"),
        ("unit_cost", 5, 5.0),
        ("unit_cost", "5.5", 5.5),
        ("min_stock", 5.0, 5),
        ("introduced", datetime.date(2020, 2, 29), datetime.date(2020, 2, 29)),
        ("introduced", datetime.datetime(2020, 2, 29), datetime.date(2020, 2, 29)),  # noqa: DTZ001
        ("introduced", "2020-02-29", datetime.date(2020, 2, 29)),
        ("drawing", "yes", True),
        ("description", " two\nlines ", "two\nlines"),
    ],
)
def test_a_cell_is_taken_as_what_it_says(
    tmp_path: Path, column: str, cell: Any, value: Any
) -> None:
    rows = [["part", column], ["P1", cell]] if column != "part" else [["part"], [cell]]
    found = read(tmp_path, parts=rows)

    assert found.faults == []
    assert getattr(found.book["parts"][0], column) == value


@pytest.mark.parametrize(
    ("column", "cell", "reason"),
    [
        ("unit_cost", "=1+1", "'=1+1' is a formula; put its value in the cell"),
        ("description", "=A1", "'=A1' is a formula; put its value in the cell"),
        ("unit_cost", "#DIV/0!", "'#DIV/0!' is an error of the spreadsheet"),
        ("drawing", True, "'TRUE' is a truth value; write yes or no"),
        ("unit_cost", False, "'FALSE' is a truth value; write yes or no"),
        (
            "introduced",
            datetime.datetime(2020, 1, 1, 12, 30),  # noqa: DTZ001 - a workbook's have no zone
            "'2020-01-01 12:30:00' has a time of day; write YYYY-MM-DD",
        ),
        ("introduced", datetime.time(12), "'12:00:00' has a time of day; write YYYY-MM-DD"),
        ("introduced", 43831, "'43831' is a number, not a date; write YYYY-MM-DD"),
        (
            "description",
            datetime.date(2026, 4, 3),
            "'2026-04-03' is a date that the spreadsheet made; make the cell text",
        ),
        (
            "unit_cost",
            datetime.date(2026, 4, 3),
            "'2026-04-03' is a date that the spreadsheet made; make the cell text",
        ),
        (
            "description",
            123 * 10**15,
            "'1.23e+17' is a number too long for a spreadsheet; make the cell text",
        ),
        (
            "description",
            1234567890123456,
            "'1234567890123456' is a number too long for a spreadsheet; make the cell text",
        ),
        ("min_stock", 2.5, "'2.5' is not a whole number"),
        ("unit_cost", -2, "'-2' is negative"),
        ("unit_cost", "abc", "'abc' is not a number"),
    ],
)
def test_a_cell_that_may_have_lost_something_is_refused(
    tmp_path: Path, column: str, cell: Any, reason: str
) -> None:
    assert reasons(tmp_path, parts=[["part", column], ["P1", cell]]) == [
        f"book.xlsx sheet parts row 2 column {column}: {reason}"
    ]


def test_a_seventeenth_digit_is_kept_in_a_number_and_refused_in_a_text() -> None:
    cell = [NUMBER, "0.30000000000000004"]

    assert text_of(cell, Column("unit_cost", Kind.NUMBER)) == "0.30000000000000004"
    with pytest.raises(ValueError, match="is a number too long for a spreadsheet"):
        text_of(cell, Column("part", Kind.TEXT))


def test_a_date_cell_is_taken_for_a_setting_and_for_a_reading(tmp_path: Path) -> None:
    found = read(
        tmp_path,
        parts=[["part"]],
        site=[["key", "value"], ["records_from", datetime.date(2020, 1, 1)]],
    )

    assert found.faults == []
    assert found.book["site"][0].value == "2020-01-01"


def test_rows_and_gaps_are_numbered_as_the_spreadsheet_does(tmp_path: Path) -> None:
    rows: list[list[Any]] = [["part", "unit_cost"], ["P1", 1], [], [None, None], ["P2", "x"]]

    assert reasons(tmp_path, parts=rows) == [
        "book.xlsx sheet parts row 5 column unit_cost: 'x' is not a number"
    ]


def test_empty_cells_at_the_end_of_a_row_are_blanks(tmp_path: Path) -> None:
    found = read(tmp_path, parts=[["part"]], cranes=[["crane", "name", "bay"], ["C1"]])

    assert found.faults == []
    assert found.book["cranes"] == [Crane(crane="C1")]


def test_unknown_sheets_are_refused_also_when_hidden(tmp_path: Path) -> None:
    sheets = {**LEAST, "parts": [["part"]], "Parts": [["part"]], "prices": [["x"]], "costs": []}
    path = workbook(tmp_path / "b.xlsx", sheets, prices="hidden", costs="veryHidden")
    found = [fault.sentence() for fault in book_of(path, messages(path.read_bytes())).faults]

    assert found[-2:] == [
        "prices: is not a sheet of a site book",
        "costs: is not a sheet of a site book",
    ]
    assert len(found) == 3  # openpyxl calls the second sheet Parts1


def test_a_missing_sheet_and_an_empty_one_are_named(tmp_path: Path) -> None:
    path = workbook(tmp_path / "b.xlsx", {"cranes": [], "parts": [["part"]]})
    found = [fault.sentence() for fault in book_of(path, messages(path.read_bytes())).faults]

    assert sorted(found) == [
        "b.xlsx sheet cranes: is empty; it needs a row with the names of its columns",
        "b.xlsx sheet positions: is missing; every site book has it",
    ]
