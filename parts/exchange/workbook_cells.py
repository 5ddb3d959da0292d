"""A typed cell of a workbook, as the text that would stand in its place in a CSV file.

The child process sends a cell as its text, as None, or as a pair of a mark and a text. Only what
cannot have lost anything on its way into the spreadsheet is accepted.
"""

from __future__ import annotations

import math
from typing import Any

from parts.records.cells import short
from parts.records.fields import Column, Kind

NUMBER, DAY, MOMENT, TRUTH, FORMULA, ERROR = "n", "d", "t", "b", "f", "e"

DIGITS_OF_A_SPREADSHEET = 15


def text_of(cell: Any, column: Column) -> str:
    """The cell's text; ValueError says why there is none that can be trusted."""
    if cell is None:
        return ""
    mark, text = cell
    if mark == NUMBER:
        return _number(text, column)
    if mark == DAY and (column.kind is Kind.DAY or column.name == "value"):
        return str(text)
    raise ValueError(_WHY_NOT[mark])


def _number(text: str, column: Column) -> str:
    plain = short(float(text)) if not text.lstrip("-").isdigit() else text
    if column.kind is Kind.DAY:
        raise ValueError("is a number, not a date; write YYYY-MM-DD")
    if column.kind is not Kind.TEXT:
        return plain
    # also zeros at its end count: a spreadsheet puts them where it has dropped digits
    digits = plain.replace(".", "").lstrip("-0")
    if not math.isfinite(float(text)) or len(digits) > DIGITS_OF_A_SPREADSHEET:
        raise ValueError("is a number too long for a spreadsheet; make the cell text")
    return plain


_WHY_NOT = {
    DAY: "is a date that the spreadsheet made; make the cell text",
    MOMENT: "has a time of day; write YYYY-MM-DD",
    TRUTH: "is a truth value; write yes or no",
    FORMULA: "is a formula; put its value in the cell",
    ERROR: "is an error of the spreadsheet",
}
