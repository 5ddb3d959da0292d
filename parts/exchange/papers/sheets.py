"""The documents as one workbook, a sheet each: figures are numbers, days are dates, text is text.

Invariant: no cell is a formula, nothing is cut, and the same documents give the same bytes.
"""

from __future__ import annotations

import datetime
import io
import math
from itertools import chain
from typing import Any

from parts.errors import LongpoleError
from parts.exchange.workbook_writer import new_workbook
from parts.records.cautions import IN_FULL, IN_SHORT
from parts.records.copies import ABOUT_THE_SEAL
from parts.records.papers import Cell, Form, Paper, Report, Row
from parts.records.shown import shown

_FORMATS: dict[Form, str] = {
    "text": "General", "day": "yyyy-mm-dd", "whole": "#,##0", "figure": "0.0##", "days": "#,##0.0",
    "money": "#,##0", "price": "#,##0.00", "share": "0%", "by hand": "General",
}  # fmt: skip
_A4 = 9
_NARROWEST, _WIDEST = 8, 48
_LINE, _HIGHEST, _LOOSELY = 15, 400, 1.15
"""Points that a line is high and a row may be; how much more room than its letters a text that
wraps takes."""
_FIRST_DAY = datetime.date(1901, 1, 1)
"""A sheet counts its days from 1900 and counts a day too many in that year."""


class TooMuchForASheet(LongpoleError):
    def __init__(self, title: str) -> None:
        super().__init__(f"a sheet cannot hold all of {title}; name a file that ends in .html")


def sheets_bytes(report: Report) -> bytes:
    """The workbook; TooMuchForASheet where it has no room for a text or for all rows."""
    content = io.BytesIO()
    workbook = new_workbook(content)
    forms = {
        form: workbook.add_format(
            {"num_format": code, "text_wrap": form == "text", "valign": "top"}
        )
        for form, code in _FORMATS.items()
    }
    strong = workbook.add_format({"bold": True, "text_wrap": True, "valign": "top"})
    _Sheet(workbook, "Report", forms, strong).head(report)
    for paper in report.papers:
        _Sheet(workbook, paper.title, forms, strong).paper(paper, report.today)
    workbook.close()
    return content.getvalue()


class _Sheet:
    """One sheet, written row by row from the top."""

    def __init__(self, workbook: Any, title: str, forms: dict[Form, Any], strong: Any) -> None:
        self.title, self.forms, self.strong = title, forms, strong
        self.sheet = workbook.add_worksheet(title)
        self.sheet.set_landscape()
        self.sheet.set_paper(_A4)
        self.sheet.fit_to_pages(1, 0)
        self.sheet.set_footer("&L&A&RPage &P of &N")
        self.at = 0

    def head(self, report: Report) -> None:
        self.sheet.set_column(0, 0, 22)
        self.sheet.set_column(1, 1, 90)
        for name, value in (*report.head, ("", ABOUT_THE_SEAL)):
            self._row((name, value), ("text", "text"))
        for caution in IN_FULL:
            self._row(("Caution", caution), ("text", "text"))
        for paper in report.papers:
            found = f"{paper.title} ({len(paper.rows):,})"
            self._row((f"For {paper.reader}", found), ("text", "text"))

    def paper(self, paper: Paper, today: datetime.date) -> None:
        widths = _widths(paper)
        for index, width in enumerate(widths):
            self.sheet.set_column(index, index, width)
        head = f"{paper.title}, for {paper.reader}, as known on {today}"
        for text in (head, IN_SHORT, *paper.says, *([] if paper.rows else [paper.nothing])):
            self._sentence(text, widths)
        if not paper.rows:
            return
        self.sheet.repeat_rows(self.at)
        self.sheet.freeze_panes(self.at + 1, 0)
        self.sheet.autofilter(self.at, 0, self.at + len(paper.rows), len(paper.columns) - 1)
        for index, column in enumerate(paper.columns):
            self._text(index, column.title, self.strong)
        self.at += 1
        forms = tuple(column.form for column in paper.columns)
        for row in paper.rows:
            self._row(row, forms)
        if paper.total:
            self._row(paper.total, forms)

    def _sentence(self, text: str, widths: list[int]) -> None:
        """A text over all columns, in as many lines as it needs there."""
        wrapped = self.forms["text"]
        high = _LINE * math.ceil(len(text) * _LOOSELY / sum(widths))
        self.sheet.set_row(self.at, min(high, _HIGHEST))
        self.sheet.merge_range(self.at, 0, self.at, len(widths) - 1, "", wrapped)
        self._text(0, text, wrapped)
        self.at += 1

    def _row(self, row: Row, forms: tuple[Form, ...]) -> None:
        for index, (cell, form) in enumerate(zip(row, forms, strict=True)):
            if cell is None or cell == "":
                continue
            if isinstance(cell, str):
                self._text(index, cell, self.forms["text"])
            elif not isinstance(cell, datetime.date):
                self._done(self.sheet.write_number(self.at, index, cell, self.forms[form]))
            elif cell >= _FIRST_DAY:
                self._done(self.sheet.write_datetime(self.at, index, cell, self.forms[form]))
            else:
                self._text(index, cell.isoformat(), self.forms["text"])
        self.at += 1

    def _text(self, index: int, text: str, form: Any) -> None:
        self._done(self.sheet.write_string(self.at, index, shown(text), form))

    def _done(self, done: int) -> None:
        if done != 0:
            raise TooMuchForASheet(self.title)


def _widths(paper: Paper) -> list[int]:
    """So wide that what stands in a column can be read, the longest texts wrapped."""
    titles = tuple(column.title for column in paper.columns)
    widths = [_NARROWEST] * len(titles)
    for row in chain([titles], paper.rows):
        for index, cell in enumerate(row):
            widths[index] = max(widths[index], _length(cell))
    return [min(width, _WIDEST) + 1 for width in widths]


def _length(cell: Cell) -> int:
    return len(cell) if isinstance(cell, str) else 10
