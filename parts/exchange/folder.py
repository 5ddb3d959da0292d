"""What may stand in the folder of a site book, beside the book itself."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from parts.exchange.whole_files import OUR_TEMPORARY
from parts.records.book import BOOK_FILES

CSV_NAMES = {f"{book_file.name}.csv": book_file for book_file in BOOK_FILES}

# What file managers and office programs leave in a folder behind its owner's back.
_LEFT_BY_PROGRAMS = (".DS_Store", "Thumbs.db", "desktop.ini")
_LOCKS = ("~$", ".~lock.")


def entries_of(folder: Path) -> Iterator[Path]:
    """What somebody put into the folder."""
    for entry in folder.iterdir():
        name = entry.name
        if name not in _LEFT_BY_PROGRAMS and not name.startswith((OUR_TEMPORARY, *_LOCKS)):
            yield entry


def foreign_entries(folder: Path) -> list[str]:
    """What stands in the folder and is no file of a site book."""
    return sorted(
        entry.name
        for entry in entries_of(folder)
        if entry.name not in CSV_NAMES or not entry.is_file()
    )
