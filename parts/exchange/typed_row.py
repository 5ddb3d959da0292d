"""One row as a person typed it, read by the rules that every row of a site book is read by."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from parts.exchange.merge import merge
from parts.exchange.places import ReadBook
from parts.exchange.rules import faults_of
from parts.exchange.table import TableReader
from parts.records.answers import Fault
from parts.records.book import FILES_BY_NAME, Book

WHERE = "what was typed"


def typed_row(file: str, texts: Mapping[str, str]) -> ReadBook:
    """A book of one row; a column that is not typed is blank."""
    book_file = FILES_BY_NAME[file]
    read = ReadBook()
    header = book_file.header
    cells = [texts.get(name, "") for name in header]
    TableReader(book_file, WHERE, read).read([(1, list(header)), (2, cells)])
    return read


def new_faults(
    there: Book, read: ReadBook, left_out: Iterable[str], replaced: object | None = None
) -> list[Fault]:
    """The faults that a typed row would bring into a book, in which it replaces another if given.

    Files `left_out` were not read whole: what is not in them is not missed.
    """
    read.incomplete |= set(left_out)
    found = faults_of(merge(_without(there, replaced), read))
    return _added(found, there, left_out)


def faults_without(there: Book, row: object, left_out: Iterable[str]) -> list[Fault]:
    """The faults that would come of taking a row out."""
    merged = merge(_without(there, row), ReadBook(incomplete=set(left_out)))
    return _added(faults_of(merged), there, left_out)


def _without(there: Book, row: object | None) -> Book:
    if row is None:
        return there
    return Book({name: [each for each in rows if each != row] for name, rows in there.rows.items()})


def _added(found: list[Fault], there: Book, left_out: Iterable[str]) -> list[Fault]:
    """Those that the book does not have already: it may be read in part."""
    before = set(faults_of(merge(there, ReadBook(incomplete=set(left_out)))))
    return [fault for fault in found if fault not in before]
