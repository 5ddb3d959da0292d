"""Copies of a whole database: made, checked, put back; and whether a database is still sound.

A copy holds everything, the ledger's postings and the journal of edits too, which a site book does
not. Nothing is put back that does not stand the check, and what is replaced is kept.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from parts.errors import CopyRefused, DamagedDatabase, NoDatabase, UnusableCopy
from parts.exchange.merge import merge
from parts.exchange.places import ReadBook
from parts.exchange.rules import faults_of
from parts.records.book import FILES_BY_NAME
from parts.records.cells import texts_of, written
from parts.records.copies import Copied, Damage, Soundness
from parts.services.collector import collector_paused
from parts.store import journal, ledger, seal_history, sqlite, sqlite_copies
from parts.store.books import read_book
from parts.store.database import Connection, Database, is_on_server
from parts.store.seals import head
from parts.store.soundness import damage_of


def verify(database: str, printed: str | None = None) -> Soundness:
    """Read a database from end to end and say what is not as it was entered.

    `printed` is a seal on paper that the ledger has to bear out. A damaged file is read as far as
    it goes. Raises a LongpoleError where there is none of ours.
    """
    figure = None if printed is None else seal_history.figure_of(printed)
    try:
        opened = Database.open(database)
    except DamagedDatabase:
        opened = sqlite.open_unchecked(database)
    with closing(opened), collector_paused():
        return _soundness(opened, figure)


def _soundness(opened: Database, printed: tuple[int, str] | None = None) -> Soundness:
    damage: list[Damage] = []
    balances = []
    try:
        with opened.reading() as connection:
            damage.extend(damage_of(connection))
            damage.extend(_of_the_records(connection))
            if printed is not None and not seal_history.stands(connection, *printed):
                told = f"the first {printed[0]:,} movements are not those that were sealed"
                damage.append(Damage("history", "", f"was rewritten: {told}"))
            balances = ledger.balances(connection)
    except Exception as unreadable:  # a damaged value can upset whatever reads it, in any way
        damage.append(Damage("file", "", f"cannot be read to its end: {unreadable}"))
    return Soundness(
        where=opened.where,
        movements=sum(balance.movements for balance in balances),
        accounts=len(balances),
        head=head([(balance.part, balance.store, balance.seal) for balance in balances]),
        damage=tuple(damage),
    )


def _of_the_records(connection: Connection) -> Iterator[Damage]:
    """Records that break a rule which every record was entered by, or that no edit accounts for."""
    book = read_book(connection)
    for fault in faults_of(merge(book, ReadBook())):
        column = f" {fault.column}" if fault.column else ""
        yield Damage(fault.file, fault.where.removeprefix("database "), f"{column} {fault.reason}")
    last = {(change.file, change.key): change for change in journal.changes(connection)}
    by_file: dict[str, dict[tuple[str, ...], object]] = {}
    for (file, key), change in last.items():
        if file not in by_file:
            key_of = FILES_BY_NAME[file].key_of
            by_file[file] = {tuple(map(written, key_of(row))): row for row in book[file]}
        row = by_file[file].get(key)
        if (None if row is None else texts_of(row)) != change.after:
            yield Damage(file, " ".join(key), "is not as the journal of edits left it")


def backup(database: str, target: Path) -> Copied:
    """Make a checked copy while others go on working; refused where something is there already."""
    with closing(Database.open(database)) as opened:
        if target.exists():
            raise CopyRefused(str(target), "something is there already")
        opened.copy_to(target)
        return Copied(source=opened.where, target=str(target), soundness=verify(str(target)))


def backup_name(database: str, today: datetime.date) -> Path:
    """Where a copy goes when nobody says: beside the file, by its day, under a free name."""
    with closing(Database.open(database)) as opened:
        return sqlite_copies.free_name(opened.beside, today.isoformat())


def restore(copy: str, database: str) -> Copied:
    """Put a copy back: all of it or nothing, with what it replaces kept beside it.

    A copy that is damaged is refused. So is a database that is not ours.
    """
    try:
        found = verify(copy)
    except NoDatabase as none:
        raise UnusableCopy(copy, "there is none of that name") from none
    if not found.sound:
        raise UnusableCopy(copy, found.damage[0].sentence())
    kept = _put_back(copy, database)
    restored = verify(database)
    return Copied(source=copy, target=restored.where, soundness=restored, kept=kept)


def _put_back(copy: str, database: str) -> str | None:
    """Where what was replaced is kept; on a server nothing is, so it must be empty."""
    if not is_on_server(database):
        return sqlite.restore(copy, database)
    from parts.store.postgres_copies import put_copy

    put_copy(copy, database)
    return None
