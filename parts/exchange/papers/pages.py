"""The documents as one page for a browser and for paper: nothing in it is fetched or run.

Every text goes through the gate for terminals and is escaped after it, so that no record can put a
sign of its own on the page. A document begins on a sheet of its own; on a narrow screen each row
becomes a card. What a colour could say is said in words.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Sequence
from html import escape
from itertools import groupby

from parts.records.cautions import IN_FULL, IN_SHORT
from parts.records.copies import ABOUT_THE_SEAL
from parts.records.papers import Cell, Column, Form, Paper, Report, Row
from parts.records.shares import percent
from parts.records.shown import shown

_FIGURES: dict[Form, str] = {"whole": ",", "days": ",.1f", "money": ",.0f", "price": ",.2f"}
_SHORT, _LONGEST_WORD = 14, 24
"""Letters of a cell that stays in one line; of a word that a column makes room for."""
_BY_HAND = ' class="h"'
_STYLE = """
@page { size: A4 landscape; margin: 12mm; }
body { font: 10pt/1.35 sans-serif; margin: 1em; color: #000; background: #fff; }
h1, h2 { margin: .3em 0; }
p { margin: .3em 0; max-width: 60em; overflow-wrap: anywhere; }
.caution { font-weight: bold; }
section { break-before: page; margin-top: 2.5em; }
table { border-collapse: collapse; width: 100%; margin: .5em 0; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
th, td { border: 1px solid #777; padding: .15em .35em; text-align: left; vertical-align: top; }
thead th { border-bottom: 2px solid #000; }
.n, .k { white-space: nowrap; }
.w { overflow-wrap: anywhere; }
.n { text-align: right; }
.h { min-width: 12em; }
tr.total td { border-top: 2px solid #000; font-weight: bold; }
@media print {
  body { margin: 0; font-size: 7.5pt; }
  section { margin-top: 0; }
}
@media screen and (max-width: 60em) {
  table, tbody, tr, td { display: block; width: auto; }
  thead { display: none; }
  tr { border: 1px solid #777; margin: .6em 0; padding: .2em .4em; }
  td, .n, .k { border: 0; text-align: left; white-space: normal; }
  td:empty { display: none; }
  td[data-label]::before { content: attr(data-label) ": "; font-weight: bold; }
}
"""


def page_bytes(report: Report) -> bytes:
    """The page, in UTF-8."""
    return "\n".join(_page(report)).encode()


def _page(report: Report) -> Iterator[str]:
    title = f"Spares and long poles on {report.today.isoformat()}"
    yield "<!DOCTYPE html>"
    yield '<html lang="en"><head><meta charset="utf-8">'
    yield (
        '<meta http-equiv="Content-Security-Policy" '
        "content=\"default-src 'none'; style-src 'unsafe-inline'\">"
    )
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield f"<title>{title}</title><style>{_STYLE}</style></head><body>"
    yield f"<h1>{title}</h1>"
    yield from (_sentence(f"{name}: {value}") for name, value in report.head)
    yield _sentence(ABOUT_THE_SEAL)
    yield from (_sentence(text, "caution") for text in IN_FULL)
    yield from _contents(report.papers)
    for number, paper in enumerate(report.papers, start=1):
        yield from _section(number, paper, report.today)
    yield "</body></html>\n"


def _contents(papers: Iterable[Paper]) -> Iterator[str]:
    yield "<nav>"
    for reader, found in groupby(enumerate(papers, start=1), key=lambda each: each[1].reader):
        links = (
            f'<a href="#d{number}">{_text(paper.title)}</a> ({len(paper.rows):,})'
            for number, paper in found
        )
        yield f"<p>For {_text(reader)}: {', '.join(links)}</p>"
    yield "</nav>"


def _section(number: int, paper: Paper, today: datetime.date) -> Iterator[str]:
    yield f'<section id="d{number}"><h2>{_text(paper.title)}</h2>'
    yield _sentence(f"For {paper.reader}, as known on {today}. {IN_SHORT}", "caution")
    yield from map(_sentence, paper.says)
    if not paper.rows:
        yield _sentence(paper.nothing)
    else:
        yield from _table(paper)
    if paper.first is not None and len(paper.rows) > paper.first:
        more = len(paper.rows) - paper.first
        yield _sentence(f"The first {paper.first:,}; a workbook (.xlsx) has {more:,} more.")
    yield "</section>"


def _table(paper: Paper) -> Iterator[str]:
    rows = paper.rows[: paper.first]
    filled = [
        (at, column) for at, column in enumerate(paper.columns) if _is_filled(at, column, rows)
    ]
    heads = "".join(
        f'<th scope="col"{_BY_HAND * (column.form == "by hand")}>{_text(column.title)}</th>'
        for _, column in filled
    )
    yield f"<table><thead><tr>{heads}</tr></thead><tbody>"
    yield from (f"<tr>{_cells(filled, row)}</tr>" for row in rows)
    if paper.total:
        yield f'<tr class="total">{_cells(filled, paper.total)}</tr>'
    yield "</tbody></table>"


def _is_filled(at: int, column: Column, rows: Sequence[Row]) -> bool:
    """Whether a column is worth its room on paper."""
    return column.form == "by hand" or any(row[at] not in (None, "") for row in rows)


def _cells(columns: Iterable[tuple[int, Column]], row: Row) -> str:
    return "".join(
        f'<td data-label="{_text(column.title)}"{_style(row[at])}>'
        f"{_text(_word(row[at], column.form))}</td>"
        for at, column in columns
    )


def _style(cell: Cell) -> str:
    """Figures stand right; they, days and short names are kept in one line, long words broken."""
    if isinstance(cell, int | float):
        return ' class="n"'
    if not isinstance(cell, str) or len(cell) <= _SHORT:
        return ' class="k"'
    return ' class="w"' if max(map(len, cell.split()), default=0) > _LONGEST_WORD else ""


def _word(cell: Cell, form: Form) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return cell
    if isinstance(cell, datetime.date):
        return cell.isoformat()
    if form == "figure":
        return f"{cell:,.0f}" if abs(cell) >= 100.0 else f"{cell:.3g}"
    return percent(cell) if form == "share" else format(cell, _FIGURES[form])


def _sentence(text: str, style: str = "") -> str:
    named = f' class="{style}"' if style else ""
    return f"<p{named}>{_text(text)}</p>"


def _text(text: str) -> str:
    return escape(shown(text))
