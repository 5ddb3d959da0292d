"""A blind sheet to count by: written as CSV for a spreadsheet, read back when it is filled in.

A sheet passes through spreadsheets and other hands. Text that one of them would take for a formula
is written behind an apostrophe (the advice of OWASP's page on CSV injection, from memory) and that
apostrophe alone is taken off again; what begins like a formula without it is refused. Invariant:
a sheet is read whole or not at all, and says of each cell that cannot be right where it stands.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from parts.errors import LongpoleError
from parts.exchange.csv_table import read_csv
from parts.exchange.places import ReadBook, quoted
from parts.exchange.whole_files import write_new
from parts.records.answers import Fault
from parts.records.book import BookFile
from parts.records.cells import short
from parts.records.count_answers import CountSheet, SheetLine, Tolerance
from parts.records.fields import amount, text, whole
from parts.records.settings import plain_number
from parts.records.shown import shown

_LIKE_A_FORMULA = re.compile("[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20]")
_KEPT_AS_TEXT = "'"
_MOST_COUNTED = 1_000_000_000


class UnusableSheet(LongpoleError):
    def __init__(self, where: str, faults: list[str]) -> None:
        more = f" and {len(faults) - 1} more" if len(faults) > 1 else ""
        super().__init__(f"{faults[0]}{more}; nothing of {where} was booked")


class UnwritableSheet(LongpoleError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(f"no sheet was written to {where} ({why})")


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One row of a sheet as its cells are read; the columns stand in the order of the file."""

    sheet: str = text(required=True)
    part: str = text(required=True)
    description: str | None = text()
    store: str | None = text()
    bin: str | None = text()
    after: int = whole(required=True, lowest=0)
    counted: int | None = whole(lowest=0, highest=_MOST_COUNTED)
    tolerance: str | None = text()
    unit_cost: float | None = amount()
    note: str | None = text()


SHEET = BookFile("count sheet", SheetRow, ("part", "store"))


def write_count_sheet(sheet: CountSheet, target: Path) -> None:
    """Write a sheet to a file that is not there yet: one that was filled in is never lost."""
    try:
        write_new(target, sheet_bytes(sheet))
    except FileExistsError:
        raise UnwritableSheet(shown(str(target)), "there is a file of that name") from None
    except OSError as wrong:
        raise UnwritableSheet(shown(str(target)), wrong.strerror or str(wrong)) from None


def sheet_bytes(sheet: CountSheet) -> bytes:
    """The sheet as CSV, every cell in quotes; `counted`, `tolerance` and `note` are left empty."""
    lines = io.StringIO(newline="")
    writer = csv.writer(lines, lineterminator="\n", quoting=csv.QUOTE_ALL)
    writer.writerow(SHEET.header)
    for line in sheet.lines:
        cost = "" if line.unit_cost is None else short(line.unit_cost)
        texts = (line.part, line.description, line.store, line.bin)
        after = str(line.after)
        writer.writerow([line.sheet, *map(defused, texts), after, "", "", cost, ""])
    return lines.getvalue().encode("utf-8-sig")  # the mark makes a spreadsheet read UTF-8


def defused(cell: str | None) -> str:
    """A text that no spreadsheet takes for a formula."""
    if not cell:
        return ""
    risky = _LIKE_A_FORMULA.match(cell) or cell.startswith(_KEPT_AS_TEXT)
    return f"{_KEPT_AS_TEXT}{cell}" if risky else cell


def read_count_sheet(source: Path) -> list[tuple[int, SheetLine]]:
    """The rows of a sheet that was filled in, each with its number as a spreadsheet shows it.

    Raises:
        UnusableSheet: with the first thing that cannot be right, and how many more there are.
    """
    read = ReadBook()
    for table in (read.book.rows, read.origins, read.refused):
        table[SHEET.name] = []
    read_csv(source, SHEET, read)
    faults = [fault.sentence() for fault in read.faults]
    found = []
    for row, origin in zip(read.book[SHEET.name], read.origins[SHEET.name], strict=True):
        line, wrong = _line_of(row)
        faults += (Fault(origin.where, origin.row, *each).sentence() for each in wrong)
        found.append((origin.row, line))
    where = shown(source.name)
    faults += _across_rows(found, where)
    if not faults and all(line.counted is None for _, line in found):
        faults.append(f"{where} has nothing in its column counted")
    if faults:
        raise UnusableSheet(where, faults)
    return found


def _line_of(row: SheetRow) -> tuple[SheetLine, list[tuple[str, str, str]]]:
    """A row with its texts as they are in the database, and what is wrong with it."""
    wrong: list[tuple[str, str, str]] = []
    texts = {name: _undefused(name, getattr(row, name), wrong) for name in ("part", "store", "bin")}
    tolerance = Tolerance()
    try:
        tolerance = tolerance_of(row.tolerance)
    except ValueError as why:
        wrong.append(("tolerance", row.tolerance or "", f"{quoted(row.tolerance)} {why}"))
    for name in ("sheet", "note"):
        _undefused(name, getattr(row, name), wrong)
    line = SheetLine(
        sheet=row.sheet,
        part=texts["part"] or "",
        store=texts["store"],
        bin=texts["bin"],
        after=row.after,
        counted=row.counted,
        tolerance=tolerance,
        unit_cost=row.unit_cost,
        note=row.note,
    )
    return line, wrong


def _undefused(name: str, cell: str | None, wrong: list[tuple[str, str, str]]) -> str | None:
    if cell is None:
        return None
    if _LIKE_A_FORMULA.match(cell):
        why = "begins like a formula; leave the cells as they were printed"
        wrong.append((name, cell, f"{quoted(cell)} {why}"))
    behind = cell.removeprefix(_KEPT_AS_TEXT)
    kept_as_text = behind != cell and (_LIKE_A_FORMULA.match(behind) or behind.startswith("'"))
    return behind if kept_as_text else cell


def tolerance_of(cell: str | None) -> Tolerance:
    """`3` units, or `5 %` of the book; blank = none. ValueError says what it is not."""
    if cell is None:
        return Tolerance()
    if cell.endswith("%"):
        percent = plain_number(cell.removesuffix("%").strip())
        if not 0.0 <= percent <= 100.0:
            raise ValueError("is not between 0 and 100 %")
        return Tolerance(share=percent / 100.0)
    if not (cell.isascii() and cell.isdigit() and len(cell) < 10):
        raise ValueError("is neither whole units nor a share such as 5 %")
    return Tolerance(units=int(cell))


def _across_rows(rows: list[tuple[int, SheetLine]], where: str) -> Iterator[str]:
    """What only shows when rows stand beside each other."""
    first: dict[tuple[str, str | None], int] = {}
    for number, line in rows:
        if line.sheet != rows[0][1].sheet:
            yield f"{where} row {number} column sheet: {quoted(line.sheet)} is another sheet"
        before = first.setdefault((line.part, line.store), number)
        if before != number:
            twice = f"{quoted(line.part)} stands in row {before} too"
            yield f"{where} row {number} column part: {twice}"
