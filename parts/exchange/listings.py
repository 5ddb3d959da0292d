"""A list as it is shown, written as a file for a spreadsheet: commas for .csv, tabs for all else.

Knows no records: cells are the texts of the screen. Invariant: no cell is taken for a formula, and
no line break or tab of a text breaks a row; the file is there whole or not at all.
"""

from __future__ import annotations

import csv
import io
import os
import re
from collections.abc import Iterable, Sequence
from pathlib import Path

from parts.exchange.count_sheets import defused
from parts.exchange.whole_files import temporary_of, write_new, write_whole
from parts.records.shown import shown

_FIGURE = re.compile(r"[+-]?[\d.,]*%?")


def write_listing(
    target: Path, titles: Sequence[str], rows: Iterable[Sequence[str]], *, replace: bool
) -> int:
    """Write a list and return its rows; FileExistsError where it is there and may not go."""
    text = io.StringIO()
    dialect = "excel" if target.suffix.casefold() == ".csv" else "excel-tab"
    writer = csv.writer(text, dialect, lineterminator="\r\n")
    lines = [[_cell(cell) for cell in row] for row in (titles, *rows)]
    writer.writerows(lines)
    content = text.getvalue().encode("utf-8-sig")  # the mark makes a spreadsheet read UTF-8
    if replace and target.is_file():
        temporary = temporary_of(target)
        try:
            write_whole(temporary, content)
            os.replace(temporary, target)
        finally:
            temporary.unlink(missing_ok=True)
    else:
        write_new(target, content)
    return len(lines) - 1


def _cell(text: str) -> str:
    plain = shown(text).strip()
    return plain if _FIGURE.fullmatch(plain) else defused(plain)
