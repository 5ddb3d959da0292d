"""One file of a site book, whatever it was kept in: a header and numbered rows to records.

Knows the columns from the records alone. Cells come as text, or from a workbook as a typed cell
that `workbook_cells` turns to text. Invariant: every cell that cannot be right is a fault; no row
ends the reading of its file.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from parts.exchange.places import Origin, Progress, ReadBook, Refused, quoted
from parts.exchange.workbook_cells import text_of
from parts.records.answers import Fault
from parts.records.book import BookFile
from parts.records.cells import FORBIDDEN, LONGEST_TEXT, reader_of
from parts.records.fields import Column

Cell = Any  # a str, or a typed cell of a workbook

ROWS_BETWEEN_REPORTS = 10_000


@dataclass(slots=True)
class TableReader:
    """Reads the rows of one file into a ReadBook. `hostile` = some cell may hold controls."""

    file: BookFile
    where: str
    into: ReadBook
    hostile: bool = True
    progress: Progress | None = None

    def fault(self, row: int | None, column: str | None, value: str, reason: str) -> None:
        self.into.faults.append(
            Fault(self.where, row, column, value[:LONGEST_TEXT], reason, self.file.name)
        )

    def read(self, rows: Iterable[tuple[int, Sequence[Cell]]]) -> None:
        """Read all rows; the first that is not blank is the header."""
        numbered = ((row, cells) for row, cells in rows if any(map(_filled, cells)))
        header = next(iter(numbered), None)
        if header is None:
            self.into.incomplete.add(self.file.name)
            self.fault(None, None, "", "is empty; it needs a row with the names of its columns")
            return
        plan = self._plan(*header)
        if plan is not None:
            self._read_rows(numbered, plan, len(header[1]))

    def _plan(self, row: int, cells: Sequence[Cell]) -> dict[int, Column] | None:
        """Which cell of a row belongs to which column."""
        names = [_plain(cell).strip() for cell in cells]
        if len(names) == 1 and any(mark in names[0] for mark in ";\t"):
            self.into.incomplete.add(self.file.name)
            self.fault(row, None, names[0], "the columns are not separated by commas")
            return None
        by_name = {column.name.rstrip("_"): column for column in self.file.columns}
        plan: dict[int, Column] = {}
        taken: dict[str, str] = {}
        for index, name in enumerate(names):
            meant = name.casefold()
            column = by_name.get(meant)
            if not name:
                self.fault(row, None, "", f"column {index + 1} has no name")
            elif column is not None and meant in taken:
                self._twice(row, name, taken[meant])
            elif column is None:
                known = ", ".join(by_name)
                reason = f"{quoted(name)} is not a column of {self.file.name}; it has {known}"
                self.fault(row, None, name, reason)
            else:
                if name != meant:
                    self.fault(row, None, name, f"{quoted(name)} is written {meant} here")
                plan[index], taken[meant] = column, name
        self._missing(row, plan)
        return plan

    def _twice(self, row: int, name: str, first: str) -> None:
        also = "" if name == first else f", also as {quoted(first)}"
        self.fault(row, None, name, f"the column {quoted(name)} stands here twice{also}")

    def _missing(self, row: int, plan: dict[int, Column]) -> None:
        present = {column.name for column in plan.values()}
        for column in self.file.columns:
            if column.required and column.name not in present:
                name = column.name.rstrip("_")
                self.fault(row, None, name, f"the column {quoted(name)} is missing")
                if column.name in self.file.key:
                    self.into.incomplete.add(self.file.name)

    def _read_rows(
        self, rows: Iterable[tuple[int, Sequence[Cell]]], plan: dict[int, Column], width: int
    ) -> None:
        steps = [(i, c.name, c.required, reader_of(c), c) for i, c in plan.items()]
        defaults = {column.name: column.default for column in self.file.columns}
        required = {column.name for column in self.file.columns if column.required}
        absent = required - {column.name for column in plan.values()}
        hostile, progress = self.hostile, self.progress
        for row, cells in rows:
            values, bad = defaults.copy(), set(absent)
            for index, name, must_be, read, column in steps:
                if index >= len(cells):
                    bad.add(name)
                    continue
                cell = cells[index]
                try:
                    if type(cell) is not str:
                        cell = text_of(cell, column)
                    if hostile or len(cell) > LONGEST_TEXT:
                        cell = _checked(cell)
                    cell = cell.strip()
                    if cell:
                        values[name] = read(cell)
                    elif must_be:
                        raise _Blank
                except ValueError as wrong:
                    bad.add(name)
                    self._bad_cell(row, column, cell, wrong)
            if len(cells) != width:
                self.fault(row, None, "", f"has {len(cells)} cells where the header has {width}")
            self._keep(row, values, bad, not bad and len(cells) == width)
            if progress is not None and row % ROWS_BETWEEN_REPORTS == 0:
                progress(self.file.name, row)

    def _keep(self, row: int, values: dict[str, Any], bad: set[str], good: bool) -> None:
        name, origin = self.file.name, Origin(self.where, row)
        if good:
            self.into.book[name].append(self.file.record(**values))
            self.into.origins[name].append(origin)
        else:
            record = self.file.record(**(values | dict.fromkeys(bad)))
            self.into.refused[name].append(Refused(record, origin, frozenset(bad)))

    def _bad_cell(self, row: int, column: Column, cell: Cell, wrong: ValueError) -> None:
        value = _plain(cell).strip()
        reason = str(wrong) if isinstance(wrong, _Blank) else f"{quoted(value)} {wrong}"
        self.fault(row, column.name.rstrip("_"), value, reason)


class _Blank(ValueError):
    def __str__(self) -> str:
        return "must not be blank"


def _filled(cell: Cell) -> bool:
    return bool(cell.strip() if type(cell) is str else cell)


def _plain(cell: Cell) -> str:
    """The text of any cell, for a header or a sentence."""
    if isinstance(cell, str):
        return cell
    return "" if cell is None else str(cell[1])


def _checked(text: str) -> str:
    """A text that a record may hold."""
    found = FORBIDDEN.search(text)
    if found:
        code = ord(found.group())
        raise ValueError(f"holds the control character U+{code:04X}")
    if len(text) > LONGEST_TEXT:
        raise ValueError(f"is longer than {LONGEST_TEXT:,} characters")
    return text
