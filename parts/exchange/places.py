"""Where a row stands in a site book, and what reading a book found.

Knows neither CSV nor workbooks. Invariant: `origins` runs parallel to the rows of the book, file
by file; a row with a refused cell is not in the book but in `refused`, so that one bad cell hides
no other fault and makes no row that refers to it look wrong.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from parts.records.answers import Fault
from parts.records.book import BOOK_FILES, FILES_BY_NAME, Book
from parts.records.shown import shown

SHOWN_OF_A_VALUE = 60

Progress = Callable[[str, int], None]
"""Told the file that is being read and the row reached; what it raises ends the reading."""

DATABASE = "database"


class Origin(NamedTuple):
    """What a person opens to find the row, and the row as a spreadsheet numbers it."""

    where: str
    row: int


@dataclass(frozen=True, slots=True)
class Refused:
    """A row that has cells which cannot be read; its record holds None in their place."""

    record: Any
    origin: Origin
    columns: frozenset[str]


def _lists() -> dict[str, list[Any]]:
    return {book_file.name: [] for book_file in BOOK_FILES}


@dataclass(slots=True)
class ReadBook:
    """A site book as read. Of a file in `incomplete`, rows may be missing altogether."""

    book: Book = field(default_factory=Book)
    origins: dict[str, list[Origin]] = field(default_factory=_lists)
    faults: list[Fault] = field(default_factory=list)
    refused: dict[str, list[Refused]] = field(default_factory=_lists)
    incomplete: set[str] = field(default_factory=set)

    def note_unknown(self, name: str, kind: str, suffix: str = "") -> None:
        """A file or sheet that no site book has."""
        meant = name.lower().removesuffix(suffix).strip()
        hint = f"; it is written {meant}{suffix}" if meant in FILES_BY_NAME else ""
        reason = f"is not a {kind} of a site book{hint}"
        self.faults.append(Fault(shown(name), None, None, name, reason))

    def note_missing(self, present: set[str], where: str) -> None:
        """The files that every site book has and this one has not; `where` has a gap for one."""
        for book_file in BOOK_FILES:
            if book_file.required and book_file.name not in present:
                self.incomplete.add(book_file.name)
                reason = "is missing; every site book has it"
                place = where.format(book_file.name)
                self.faults.append(Fault(place, None, None, "", reason, book_file.name))


def quoted(value: object) -> str:
    """A value as a sentence shows it: harmless to a terminal and not too long."""
    text = shown(str(value)[: SHOWN_OF_A_VALUE + 1])
    return f"'{text[:SHOWN_OF_A_VALUE]}…'" if len(text) > SHOWN_OF_A_VALUE else f"'{text}'"


_FILE_ORDER = {book_file.name: index for index, book_file in enumerate(BOOK_FILES)}
_COLUMN_ORDER = {
    book_file.name: {name: index for index, name in enumerate(book_file.header)}
    for book_file in BOOK_FILES
}


def in_book_order(faults: Iterable[Fault]) -> list[Fault]:
    """File by file as the site book lists them, row by row; what is in the database comes last."""

    def place(fault: Fault) -> tuple[int, bool, int, int]:
        columns = _COLUMN_ORDER.get(fault.file, {})
        return (
            _FILE_ORDER.get(fault.file, len(_FILE_ORDER)),
            fault.where.startswith(DATABASE),
            fault.row or 0,
            columns.get(fault.column or "", -1),
        )

    return sorted(faults, key=place)


def named(file: str, record: Any) -> str:
    """The key of a record in words, such as `C1, H1`."""
    parts = (part for part in FILES_BY_NAME[file].key_of(record) if part not in (None, ""))
    return shown(", ".join(str(part) for part in parts))
