"""A site book loaded into a database, and a database saved as a site book."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

from parts.errors import DatabaseExists, NoDatabase
from parts.exchange.merge import merge
from parts.exchange.places import ReadBook
from parts.exchange.reader import read_site_book
from parts.exchange.rules import faults_of
from parts.exchange.writer import write_site_book
from parts.records.answers import LoadReport
from parts.records.book import BOOK_FILES, Book, BookFile
from parts.records.ledger import Stamp
from parts.records.stock_steps import Edit
from parts.services.collector import collector_paused
from parts.services.hands import Hand, hand_here
from parts.store import journal, ledger
from parts.store.books import read_book, write_rows
from parts.store.database import Database, known_as, new_database

if TYPE_CHECKING:
    from sqlalchemy import Connection

Progress = Callable[[str, int], None]


def load_book(
    source: Path,
    database: str,
    *,
    dry_run: bool = False,
    progress: Progress | None = None,
    hand: Hand | None = None,
) -> LoadReport:
    """Lay a site book over a database, all or nothing; makes the database if there is none.

    Nothing is deleted. With faults, or on a dry run, nothing is written. `hand` None = whoever is
    logged in here.
    """
    with collector_paused():
        return _load(source, database, dry_run, progress, (hand or hand_here()).stamp())


def _load(
    source: Path, database: str, dry_run: bool, progress: Progress | None, stamp: Stamp
) -> LoadReport:
    read = read_site_book(source, progress)
    try:
        there = Database.open(database)
    except NoDatabase:
        loading = _Loading(Book(), read, dry_run)
        if loading.writes:
            with new_database(database) as made, made.writing() as connection:
                loading.write(connection, progress, stamp)
        return loading.report()
    with closing(there), there.reading() if dry_run else there.writing(alone=True) as connection:
        loading = _Loading(read_book(connection), read, dry_run)
        if loading.writes:
            loading.write(connection, progress, stamp)
        return loading.report()


class _Loading:
    """A book laid over what is there, and whether it is written."""

    def __init__(self, there: Book, read: ReadBook, dry_run: bool) -> None:
        self.there = there
        self.merged = merge(there, read)
        self.faults = tuple(faults_of(self.merged))
        self.writes = not self.faults and not dry_run

    def write(self, connection: Connection, progress: Progress | None, stamp: Stamp) -> None:
        for book_file in BOOK_FILES:
            name = book_file.name
            new, changed = self.merged.new[name], self.merged.changed[name]
            told = _counting(f"storing {name}", progress)
            if name == "movements":
                ledger.append(connection, new, stamp, told)
            elif new or changed:
                journal.note(connection, self._edits(book_file, changed), stamp, why="site book")
                write_rows(connection, name, new, changed, told)

    def _edits(self, book_file: BookFile, changed: list[Any]) -> list[Edit]:
        """What the book changes, for the journal."""
        if not changed:
            return []
        before = {book_file.key_of(row): row for row in self.there[book_file.name]}
        return [Edit(book_file.name, before[book_file.key_of(row)], row) for row in changed]

    def report(self) -> LoadReport:
        def counts(rows: dict[str, list[Any]]) -> dict[str, int]:
            return {name: len(found) for name, found in rows.items() if found}

        merged = self.merged
        return LoadReport(
            self.faults,
            counts(merged.new),
            counts(merged.changed),
            counts(merged.unchanged),
            self.writes,
        )


def _counting(what: str, progress: Progress | None) -> Callable[[int], None] | None:
    """Tell rows so far, from the rows of each chunk."""
    if progress is None:
        return None
    total = 0

    def told(rows: int) -> None:
        nonlocal total
        total += rows
        progress(what, total)

    return told


def save_book(database: str, target: Path) -> None:
    """Write everything that a database holds as a site book: a folder, or one workbook."""
    with closing(Database.open(database)) as opened, opened.reading() as connection:
        book = read_book(connection)
    write_site_book(book, target)


def load_demo(database: str) -> LoadReport:
    """Load the demo site, which is invented, into a new database."""
    try:
        Database.open(database).close()
    except NoDatabase:
        return load_book(demo_folder(), database)
    raise DatabaseExists(known_as(database))


def make_empty(database: str) -> None:
    """A new database that holds no record yet; DatabaseExists where there is one."""
    with new_database(database):
        pass


def demo_folder() -> Path:
    """Where the demo site lies: inside the installed package, or beside it in a checkout."""
    here = Path(__file__).resolve().parents[1]
    inside = here / "data" / "demo"
    return inside if inside.is_dir() else here.parent / "data" / "demo"
