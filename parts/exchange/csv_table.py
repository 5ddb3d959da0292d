"""A CSV file of a site book: its bytes to numbered rows of cells.

Refuses to guess: UTF-8 (a byte-order mark is accepted), commas, strict quotes. Rows are numbered
as a spreadsheet shows them. Invariant: what cannot be read is a fault, never silently another
text.
"""

from __future__ import annotations

import csv
import io
import stat
from collections.abc import Iterator
from pathlib import Path

from parts.exchange.places import Progress, ReadBook
from parts.exchange.table import TableReader
from parts.records.book import BookFile
from parts.records.cells import FORBIDDEN

LARGEST_FILE = 1_000_000_000

_UTF_16 = (b"\xff\xfe", b"\xfe\xff")
_SAVE_AS = "save it as CSV UTF-8"


def read_csv(path: Path, file: BookFile, into: ReadBook, progress: Progress | None = None) -> None:
    """Read one file of a book; what is wrong with it is among the faults."""
    table = TableReader(file, path.name, into, progress=progress)
    try:
        text = _text(path)
    except ValueError as wrong:
        into.incomplete.add(file.name)
        table.fault(None, None, "", str(wrong))
        return
    table.hostile = FORBIDDEN.search(text) is not None
    table.read(_rows(text, table))


def _text(path: Path) -> str:
    """The text of a file; ValueError says why it has none."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise ValueError("is not a plain file")
        with path.open("rb") as opened:
            content = opened.read(LARGEST_FILE + 1)
    except OSError as wrong:
        raise ValueError(f"cannot be read ({wrong.strerror})") from None
    if len(content) > LARGEST_FILE:
        raise ValueError(f"is larger than {LARGEST_FILE // 1_000_000} MB")
    if content.startswith(_UTF_16) or content[:100].count(0) > len(content[:100]) // 3:
        raise ValueError(f"is UTF-16; {_SAVE_AS}")
    try:
        return content.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as wrong:
        line = content.count(b"\n", 0, wrong.start) + 1
        raise ValueError(f"is not UTF-8 (line {line}); {_SAVE_AS}") from None


def _rows(text: str, table: TableReader) -> Iterator[tuple[int, list[str]]]:
    """Numbered rows. After a broken row reading goes on only where it broke within one line."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    row = 0
    while True:
        row += 1
        line = reader.line_num
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as wrong:
            table.into.incomplete.add(table.file.name)
            table.fault(row, None, "", _why(wrong, line + 1))
            if reader.line_num != line + 1:
                return
            continue
        yield row, cells


def _why(wrong: csv.Error, line: int) -> str:
    """What the csv module found, in other words; its errors carry nothing but text."""
    words = str(wrong)
    if "unexpected end" in words:
        return f"a quote that begins in line {line} is not closed"
    if "field larger" in words:
        return f"the text that begins in line {line} is far too long, or its quote is not closed"
    return f"in line {line} a quote is followed by more text; double a quote within a quoted text"
