"""A site book as one workbook: a sheet a file, text cells for text, numbers only for numbers.

Knows xlsxwriter. Invariant: no cell is a formula, and the same rows give the same bytes.
"""

from __future__ import annotations

import datetime
import io
from pathlib import Path
from typing import Any

from parts.errors import UnwritableBook
from parts.records.book import BookFile
from parts.records.cells import written
from parts.records.fields import Column, Kind
from parts.records.shown import shown

MOST_ROWS = 1_000_000

_NUMBERS = (Kind.NUMBER, Kind.WHOLE)
# A workbook names the day it was made; a fixed one keeps equal books equal.
_MADE = datetime.datetime(2000, 1, 1)  # noqa: DTZ001 - a workbook's dates have no zone


def new_workbook(content: io.BytesIO) -> Any:
    """A workbook that is written sheet by sheet, row by row; equal cells give equal bytes."""
    import xlsxwriter

    workbook = xlsxwriter.Workbook(content, {"constant_memory": True})
    workbook.set_properties({"created": _MADE})
    return workbook


def workbook_bytes(tables: list[tuple[BookFile, list[Any]]], target: Path) -> bytes:
    """The bytes of the workbook; `target` is named where it would hold too much."""
    content = io.BytesIO()
    workbook = new_workbook(content)
    for book_file, rows in tables:
        if len(rows) > MOST_ROWS:
            why = f"{book_file.name} has more than {MOST_ROWS:,} rows; save to a folder instead"
            raise UnwritableBook(shown(str(target)), why)
        _write_sheet(workbook.add_worksheet(book_file.name), book_file, rows)
    workbook.close()
    return content.getvalue()


def _write_sheet(sheet: Any, file: BookFile, rows: list[Any]) -> None:
    for index, name in enumerate(file.header):
        sheet.write_string(0, index, name)
    columns = list(enumerate(file.columns))
    for line, row in enumerate(rows, start=1):
        for index, column in columns:
            value = getattr(row, column.name)
            if value is not None and value != "":
                _write_cell(sheet, line, index, column, value)


def _write_cell(sheet: Any, line: int, index: int, column: Column, value: Any) -> None:
    if column.kind in _NUMBERS and float(f"{value:.16G}") == value:
        done = sheet.write_number(line, index, value)
    else:  # also a number that needs a seventeenth digit, which a number cell would lose
        done = sheet.write_string(line, index, written(value))
    if done != 0:
        raise AssertionError(f"{column.name} in row {line + 1} was not written ({done})")
