"""Reads a site book: a folder of CSV files or one workbook, to records with their faults.

Writes nothing and knows no database. Invariant: whatever a file holds, the outcome is a ReadBook
or UnusableBook, never another exception.
"""

from __future__ import annotations

from pathlib import Path

from parts.errors import UnusableBook
from parts.exchange.csv_table import read_csv
from parts.exchange.folder import CSV_NAMES, entries_of
from parts.exchange.places import Progress, ReadBook, in_book_order
from parts.exchange.workbook import read_workbook
from parts.records.shown import shown


def read_site_book(source: Path, progress: Progress | None = None) -> ReadBook:
    """Read a site book; everything that cannot be right is among the faults.

    Raises:
        UnusableBook: nothing is there, or what is there is no site book at all.
    """
    try:
        if source.is_dir():
            read = _read_folder(source, progress)
        elif not source.exists():
            raise UnusableBook(shown(str(source)), "there is nothing at that place")
        elif source.is_file() and source.suffix.lower() == ".xlsx":
            read = read_workbook(source, progress)
        else:
            why = "it is neither a folder of CSV files nor an .xlsx workbook"
            raise UnusableBook(shown(str(source)), why)
    except OSError as wrong:
        raise UnusableBook(shown(str(source)), wrong.strerror or str(wrong)) from None
    read.faults = in_book_order(read.faults)
    return read


def _read_folder(folder: Path, progress: Progress | None) -> ReadBook:
    entries = sorted(entries_of(folder))
    if not any(entry.name.lower() in CSV_NAMES for entry in entries):
        raise UnusableBook(shown(str(folder)), "it holds no file of a site book, such as parts.csv")
    read = ReadBook()
    for entry in entries:
        if entry.name in CSV_NAMES:
            read_csv(entry, CSV_NAMES[entry.name], read, progress)
        else:
            read.note_unknown(entry.name, "file", ".csv")
    read.note_missing({entry.stem for entry in entries if entry.name in CSV_NAMES}, "{}.csv")
    return read
