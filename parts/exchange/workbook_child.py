"""The child process that reads a workbook, so that no workbook can harm the program.

Takes the bytes on standard input and gives JSON lines on standard output: `["sheet", name]`, then
`["row", number, cells]`, at last `["done"]`; or `["failed", where]`. A cell is its text, None, or
a pair of a mark of `workbook_cells` and a text. Knows openpyxl; refuses to know what a site book
is. Formulas are never computed, nor their cached values used.
"""

from __future__ import annotations

import datetime
import io
import json
import re
import sys
from collections.abc import Callable, Iterator
from typing import Any

from parts.exchange.workbook_cells import DAY, ERROR, FORMULA, MOMENT, NUMBER, TRUTH

MOST_ROWS = 1_000_001  # with the header
MOST_COLUMNS = 200
MOST_CHARACTERS = 32_767

_ESCAPED = re.compile("_x([0-9A-Fa-f]{4})_")

Message = list[Any]


def messages(content: bytes) -> Iterator[Message]:
    """What the workbook holds, message by message; any failure is the last of them."""
    where = "it"
    try:
        workbook = _open(content)
        for name in workbook.sheetnames:
            where = f"sheet {name}"
            yield ["sheet", name]
            sheet = workbook[name]
            if hasattr(sheet, "_get_source"):
                for number, cells in _rows(workbook, sheet):
                    where = f"sheet {name} after row {number}"
                    yield ["row", number, cells]
        yield ["done"]
    except _TooLarge as wrong:
        yield ["failed", f"{where.split(' after ')[0]} {wrong}"]
    except MemoryError:
        yield ["failed", f"{where} needs too much memory"]
    except Exception:  # a broken workbook fails in a dozen ways, all one to us
        yield ["failed", f"{where} is damaged; save it again"]


class _TooLarge(Exception):
    pass


def _open(content: bytes) -> Any:
    from openpyxl.cell.text import Text
    from openpyxl.reader.excel import ExcelReader
    from openpyxl.xml.constants import SHARED_STRINGS, SHEET_MAIN_NS
    from openpyxl.xml.functions import iterparse

    class Reader(ExcelReader):  # type: ignore[misc]  # openpyxl has no types
        def read_strings(self) -> None:
            """As they are written: the library's own way drops a piece of some texts."""
            part = self.package.find(SHARED_STRINGS)
            self.shared_strings = []
            if part is None:
                return
            with self.archive.open(part.PartName[1:]) as source:
                for _, node in iterparse(source):
                    if node.tag == f"{{{SHEET_MAIN_NS}}}si":
                        self.shared_strings.append(Text.from_tree(node).content)
                        node.clear()

    reader = Reader(io.BytesIO(content), read_only=True, keep_links=False)
    reader.read()
    return reader.wb


def _rows(workbook: Any, sheet: Any) -> Iterator[tuple[int, list[Any]]]:
    """The rows that hold anything; a gap of a million rows or columns costs nothing."""
    from openpyxl.worksheet._reader import WorkSheetParser

    last = 0
    with sheet._get_source() as source:
        parser = WorkSheetParser(
            source,
            sheet._shared_strings,
            data_only=False,
            epoch=workbook.epoch,
            date_formats=workbook._date_formats,
            timedelta_formats=workbook._timedelta_formats,
        )
        for number, found in parser.parse():
            cells = _laid_out(found)
            if cells:
                if number <= last:
                    raise ValueError("rows out of order")
                if number > MOST_ROWS:
                    raise _TooLarge(f"has more than {MOST_ROWS - 1:,} rows")
                last = number
                yield number, cells


def _laid_out(found: list[dict[str, Any]]) -> list[Any]:
    """The cells of a row at their places, without the empty ones at its end."""
    by_column: dict[int, Any] = {}
    for cell in found:
        encoded = _encoded(cell["data_type"], cell["value"])
        if encoded is not None and by_column.setdefault(cell["column"], encoded) is not encoded:
            raise ValueError("two cells at one place")
    last = max(by_column, default=0)
    if last > MOST_COLUMNS:
        raise _TooLarge(f"has more than {MOST_COLUMNS} columns")
    return [by_column.get(column) for column in range(1, last + 1)]


def _encoded(kind: str, value: Any) -> Any:
    if value is None:
        return None
    encode = _ENCODERS.get(kind)
    return encode(value) if encode else [ERROR, str(value)]


def _text(text: str) -> str:
    if len(text) > MOST_CHARACTERS:
        raise _TooLarge(f"has a cell of more than {MOST_CHARACTERS:,} characters")
    if "_x" in text:
        text = _ESCAPED.sub(lambda found: chr(int(found.group(1), 16)), text)
    return text.replace("\r\n", "\n")


def _dated(value: Any) -> list[str]:
    if isinstance(value, datetime.datetime):
        if value.time() == datetime.time():
            return [DAY, value.date().isoformat()]
        return [MOMENT, value.isoformat(" ")]
    if isinstance(value, datetime.date):
        return [DAY, value.isoformat()]
    return [MOMENT, str(value)]


def _formula(value: Any) -> list[str]:
    return [FORMULA, str(getattr(value, "text", None) or value)[:MOST_CHARACTERS]]


_ENCODERS: dict[str, Callable[[Any], Any]] = {
    "s": lambda value: _text(value) or None,
    "n": lambda value: [NUMBER, repr(value)],
    "d": _dated,
    "f": _formula,
    "b": lambda value: [TRUTH, "TRUE" if value else "FALSE"],
}


def _bound_resources(memory_bytes: int, cpu_seconds: int) -> None:
    """Ask the system for limits, where it has them."""
    try:
        import resource
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (memory_bytes, memory_bytes))
    resource.setrlimit(resource.RLIMIT_CPU, (cpu_seconds, cpu_seconds))


def main() -> None:
    _bound_resources(int(sys.argv[1]), int(sys.argv[2]))
    # openpyxl loads numpy when it finds it, for nothing that is needed here
    sys.modules["numpy"] = None  # type: ignore[assignment]  # the way to hide a module
    # what the library prints of its own accord is no message
    answers, sys.stdout = sys.stdout, sys.stderr
    for message in messages(sys.stdin.buffer.read()):
        answers.write(json.dumps(message) + "\n")
    answers.flush()


if __name__ == "__main__":
    main()
