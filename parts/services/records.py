"""Records entered, changed and taken out one at a time, by the rules of the site book.

Nothing that somebody else changed meanwhile is overwritten, and every edit is kept in the journal.
Movements are entered by steps with the stock, never here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import closing
from typing import Any

from parts.exchange.places import named
from parts.exchange.typed_row import WHERE, faults_without, new_faults, typed_row
from parts.records.answers import Fault
from parts.records.book import BOOK_FILES, FILES_BY_NAME, Book
from parts.records.cells import texts_of
from parts.records.ledger import Change
from parts.records.stock_steps import Edit
from parts.services.hands import Hand
from parts.store import journal
from parts.store.books import Only, count_rows, read_book, read_row, read_rows
from parts.store.database import Connection, Database

_BY_CRANE = ("positions", "needs")
_LONG = (*_BY_CRANE, "movements")
_INSTEAD = {
    ("parts", "movements"): ", which stay for ever; to retire it, blank its min_stock, set its "
    "max_stock to 0 and give its positions another part",
    ("cranes", "movements"): ", which stay for ever; to retire it, set its retire_on",
}


def rows(database: str, file: str, only: Only | None = None) -> list[Any]:
    """The rows of one file, in the order of their keys, or those whose texts are among those
    given."""
    with closing(Database.open(database)) as opened, opened.reading() as connection:
        return read_rows(connection, file, only)


def counted(database: str, only: Only) -> dict[str, int]:
    """How many rows each file has, or those whose texts are among those given; files that do not
    have these columns are left out."""
    with closing(Database.open(database)) as opened, opened.reading() as connection:
        return {
            file.name: count_rows(connection, file.name, only)
            for file in BOOK_FILES
            if set(only) <= set(file.header)
        }


def stands(database: str, file: str, row: Any) -> Any | None:
    """The record that has the key of this one, as it is now; None = there is none."""
    with closing(Database.open(database)) as opened, opened.reading() as connection:
        return read_row(connection, file, row)


def check(
    database: str, file: str, texts: Mapping[str, str], before: Any | None = None
) -> tuple[Fault, ...]:
    """What is wrong with a record as typed; `before` is the one that it shall replace."""
    with closing(Database.open(database)) as opened, opened.reading() as connection:
        return _weighed(connection, file, texts, before)[1]


def save(
    database: str,
    file: str,
    texts: Mapping[str, str],
    before: Any | None,
    *,
    hand: Hand,
    why: str | None = None,
) -> tuple[Fault, ...]:
    """Keep a record as typed, new or in place of `before`; faults = nothing was kept.

    One that stands as typed, as where the answer was lost, is not kept once more. Raises
    EditedMeanwhile where the record is neither that nor `before`.
    """

    def work(connection: Connection) -> tuple[Fault, ...]:
        record, faults = _weighed(connection, file, texts, before)
        if not faults and record not in (before, read_row(connection, file, record)):
            journal.put(connection, Edit(file, before, record), hand.stamp(), why=why)
        return faults

    with closing(Database.open(database)) as opened:
        return opened.work(work)


def remove(
    database: str, file: str, row: Any, *, hand: Hand, why: str | None = None
) -> tuple[Fault, ...]:
    """Take a record out; faults = something else still names it, and it stays.

    Raises EditedMeanwhile where it is no longer as given.
    """
    _refuse_movements(file)

    def work(connection: Connection) -> tuple[Fault, ...]:
        faults = tuple(_still_named(connection, file, row))
        if not faults:
            there, left_out = _around(connection, file, texts_of(row))
            faults = tuple(faults_without(there, row, left_out))
        if not faults:
            journal.put(connection, Edit(file, row, None), hand.stamp(), why=why)
        return faults

    with closing(Database.open(database)) as opened:
        return opened.work(work)


def history(database: str, file: str, row: Any | None = None) -> list[Change]:
    """The edits of one record, or of a whole file, the oldest first."""
    key = None if row is None else tuple(journal.key_texts(FILES_BY_NAME[file], row))
    with closing(Database.open(database)) as opened, opened.reading() as connection:
        edits = journal.changes(connection, file=file)
        return [edit for edit in edits if key is None or edit.key == key]


def _weighed(
    connection: Connection, file: str, texts: Mapping[str, str], before: Any | None
) -> tuple[Any | None, tuple[Fault, ...]]:
    """The record that was typed, if it can be read, and what is wrong with it."""
    _refuse_movements(file)
    book_file = FILES_BY_NAME[file]
    read = typed_row(file, texts)
    there, left_out = _around(connection, file, texts)
    record = read.book[file][0] if read.book[file] else None
    known = {book_file.key_of(row): row for row in there[file]}
    faults = new_faults(there, read, left_out, before)
    stands = known.get(book_file.key_of(record)) if record is not None else None
    if before is None and stands not in (None, record):
        faults.append(_fault(file, book_file.key[0], "is there already; open it to change it"))
    if record is not None and before is not None:
        faults += [
            _fault(file, name, "stays; take the record out and enter it anew under another key")
            for name in book_file.key
            if getattr(record, name) != getattr(before, name)
        ]
    return record, tuple(faults)


def _around(
    connection: Connection, file: str, texts: Mapping[str, str]
) -> tuple[Book, tuple[str, ...]]:
    """What the rules need beside one record, and the files of which that is not all."""
    crane = texts.get("crane", "").strip()
    whole = [each.name for each in BOOK_FILES if each.name not in _LONG]
    there = read_book(connection, whole)
    if not crane:
        return there, _LONG
    for name in _BY_CRANE:
        there.rows[name] = read_rows(connection, name, {"crane": (crane,)})
    return there, ("movements",)


def _still_named(connection: Connection, file: str, row: Any) -> Iterator[Fault]:
    """One fault for each file whose rows name the record."""
    key = FILES_BY_NAME[file].key
    if key[:-1] not in ((), ("crane",)):
        return
    name = getattr(row, key[-1])
    for other in BOOK_FILES:
        for column in other.columns:
            if column.refers_to != file or column.many:
                continue
            only = {column.name.rstrip("_"): (name,)}
            if key[:-1]:
                only["crane"] = (row.crane,)
            found = [each for each in read_rows(connection, other.name, only) if each != row]
            if found:
                more = f" and {len(found) - 1:,} more" if len(found) > 1 else ""
                told = f"is named by {other.name} {named(other.name, found[0])}{more}"
                yield _fault(file, key[-1], told + _INSTEAD.get((file, other.name), ""))


def _fault(file: str, column: str, reason: str) -> Fault:
    return Fault(WHERE, None, column.rstrip("_"), "", reason, file)


def _refuse_movements(file: str) -> None:
    if file == "movements":
        raise ValueError("movements are entered by steps with the stock")
