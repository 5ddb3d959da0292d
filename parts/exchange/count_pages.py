"""A sheet to count by as plain text, 80 columns wide, for paper on a clipboard.

Blind, as the file is. A name is never cut: what does not fit goes on in the next line.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from itertools import groupby

from parts.records.count_answers import CountSheet, SheetLine
from parts.records.shown import shown

_WIDTHS = (10, 20, 36, 11)  # with a blank between them, 80 columns
_TO_FILL = "_" * _WIDTHS[-1]


def page_of(sheet: CountSheet) -> list[str]:
    """The lines of the page."""
    places = "1 place" if len(sheet.lines) == 1 else f"{len(sheet.lines)} places"
    lines = [
        f"Count sheet {sheet.sheet}, printed {sheet.printed_on}, {places}",
        "Write what lies there; 0 where nothing does. Leave blank what was not counted.",
        "",
        "Counted by ____________________ on ____________   and by ____________________",
    ]
    for store, found in groupby(sheet.lines, key=lambda line: line.store):
        lines += ["", f"Store: {shown(store) if store else 'none named'}"]
        lines += _row(("bin", "part", "description", "counted"))
        lines.append(" ".join("-" * width for width in _WIDTHS))
        for line in found:
            lines += _line(line)
    if sheet.left_out:
        lines += ["", f"({sheet.left_out} more have no bin on record and are on no walk by bins.)"]
    return lines


def _line(line: SheetLine) -> Iterator[str]:
    cells = (line.bin or "", line.part, line.description or "")
    yield from _row((*map(shown, cells), _TO_FILL))


def _row(cells: tuple[str, ...]) -> Iterator[str]:
    """A row of the page, in as many lines as its longest cell needs."""
    wrapped = [
        textwrap.wrap(cell, width) or [""] for cell, width in zip(cells, _WIDTHS, strict=True)
    ]
    for at in range(max(map(len, wrapped))):
        texts = [found[at] if at < len(found) else "" for found in wrapped]
        padded = [text.ljust(width) for text, width in zip(texts, _WIDTHS, strict=True)]
        yield " ".join(padded).rstrip()
