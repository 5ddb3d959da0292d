"""Writes a site book: a folder of CSV files, or a workbook when the name ends in .xlsx.

The same book gives the same bytes, and reading them gives the same book. Refuses to write where
anything but a site book stands. Invariant: each file is there whole, the old one or the new.
"""

from __future__ import annotations

import contextlib
import csv
import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from parts.errors import UnusableBook, UnwritableBook
from parts.exchange.folder import CSV_NAMES, foreign_entries
from parts.exchange.whole_files import OUR_TEMPORARY, settle, temporary_of, write_whole
from parts.exchange.workbook_gate import sheet_names
from parts.exchange.workbook_writer import workbook_bytes
from parts.records.book import BOOK_FILES, FILES_BY_NAME, Book, BookFile
from parts.records.cells import written
from parts.records.shown import shown


def write_site_book(book: Book, target: Path) -> None:
    """Write the book to a folder, or to a workbook when the name ends in .xlsx.

    Raises:
        UnwritableBook: something else stands there, or the disk refuses; an older book is whole.
    """
    try:
        if target.suffix.lower() == ".xlsx":
            _write_workbook(book, target)
        else:
            _write_folder(book, target)
    except OSError as wrong:
        raise UnwritableBook(shown(str(target)), wrong.strerror or str(wrong)) from None


def tables_of(book: Book) -> Iterator[tuple[BookFile, list[Any]]]:
    """The files to write, each with its rows in key order."""
    for book_file in BOOK_FILES:
        rows = book[book_file.name]
        if rows or book_file.required:
            yield book_file, sorted(rows, key=lambda row: _place(book_file, row))


def _place(file: BookFile, row: Any) -> tuple[Any, ...]:
    return tuple("" if part is None else part for part in file.key_of(row))


def _csv_bytes(file: BookFile, rows: list[Any]) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(file.header)
    names = [column.name for column in file.columns]
    writer.writerows([written(getattr(row, name)) for name in names] for row in rows)
    return text.getvalue().encode()


def _write_folder(book: Book, folder: Path) -> None:
    is_new = not folder.exists()
    if is_new:
        folder.mkdir()
    else:
        _refuse_foreign(folder)
        _sweep(folder)
    fresh: list[tuple[Path, Path]] = []
    try:
        for book_file, rows in tables_of(book):
            target = folder / f"{book_file.name}.csv"
            fresh.append((temporary_of(target), target))
            write_whole(fresh[-1][0], _csv_bytes(book_file, rows))
        for temporary, target in fresh:
            temporary.replace(target)
    finally:
        for temporary, _ in fresh:
            temporary.unlink(missing_ok=True)
        if is_new:  # it goes again where not one file found room
            with contextlib.suppress(OSError):
                folder.rmdir()
    for name in CSV_NAMES.keys() - {target.name for _, target in fresh}:
        (folder / name).unlink(missing_ok=True)
    settle(folder)


def _refuse_foreign(folder: Path) -> None:
    if not folder.is_dir():
        raise UnwritableBook(shown(str(folder)), "there is a file of that name")
    foreign = foreign_entries(folder)
    if foreign:
        names = ", ".join(foreign[:3]) + (" and more" if len(foreign) > 3 else "")
        why = f"the folder also holds {names}; name a new folder"
        raise UnwritableBook(shown(str(folder)), shown(why))


def _write_workbook(book: Book, target: Path) -> None:
    if target.exists():
        _refuse_other_workbook(target)
    _sweep(target.parent)
    temporary = temporary_of(target)
    try:
        write_whole(temporary, workbook_bytes(list(tables_of(book)), target))
        temporary.replace(target)
    finally:
        temporary.unlink(missing_ok=True)
    settle(target.parent)


def _refuse_other_workbook(target: Path) -> None:
    try:
        ours = target.is_file() and set(sheet_names(target)) <= FILES_BY_NAME.keys()
    except UnusableBook:
        ours = False
    if not ours:
        why = "what stands there is not a site book; name a new file"
        raise UnwritableBook(shown(str(target)), why)


def _sweep(folder: Path) -> None:
    """Remove what a write that was killed has left."""
    for stray in folder.glob(f"{OUR_TEMPORARY}*"):
        with contextlib.suppress(OSError):
            stray.unlink()
