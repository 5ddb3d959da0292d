"""Edits of records that are no movements: each written with who, when, and what it was before.

Nothing is overwritten that somebody else changed meanwhile. Knows no rule of the book. Invariant:
a record and its line in the journal are written in one transaction, or neither.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from functools import cache
from typing import Any, TypeVar

from sqlalchemy import Connection, Select, bindparam, insert, select

from parts import errors
from parts.records.book import FILES_BY_NAME, BookFile
from parts.records.cells import texts_of, written
from parts.records.ledger import Change, Stamp
from parts.records.stock_steps import Edit
from parts.store.books import change_row, delete_row, read_row, write_rows
from parts.store.ledger_tables import CHANGES

_Texts = TypeVar("_Texts", list[str], dict[str, str])


def put(
    connection: Connection,
    edit: Edit,
    stamp: Stamp,
    *,
    why: str | None = None,
    movement: str | None = None,
) -> None:
    """Make one edit: add, change or take out a record, whose key stays.

    Raises EditedMeanwhile where the record is no longer as it was before the edit.
    """
    file = FILES_BY_NAME[edit.file]
    row = edit.after if edit.before is None else edit.before
    there = read_row(connection, edit.file, row, hold=edit.before is not None)
    if there != edit.before:
        raise _edited(file, edit.before, there, row)
    if edit.before is None:
        write_rows(connection, edit.file, [edit.after])
    elif edit.after is None:
        delete_row(connection, edit.file, edit.before)
    else:
        change_row(connection, edit.file, edit.before, edit.after)
    note(connection, [edit], stamp, why=why, movement=movement)


def note(
    connection: Connection,
    edits: Iterable[Edit],
    stamp: Stamp,
    *,
    why: str | None = None,
    movement: str | None = None,
) -> None:
    """Keep edits in the journal; the records themselves are written elsewhere."""
    rows = [
        {
            "at": stamp.at,
            "who": stamp.who,
            "place": stamp.place,
            "file": edit.file,
            "key": _line(key_texts(FILES_BY_NAME[edit.file], edit.before or edit.after)),
            "before": None if edit.before is None else _line(texts_of(edit.before)),
            "after": None if edit.after is None else _line(texts_of(edit.after)),
            "why": why,
            "movement": movement,
        }
        for edit in edits
    ]
    if rows:
        connection.execute(insert(CHANGES), rows)


def changes(
    connection: Connection, *, movement: str | None = None, file: str | None = None
) -> list[Change]:
    """The journal in the order of entry, all of it or what belongs to one movement or file."""
    asked = {name: value for name, value in (("movement", movement), ("file", file)) if value}
    rows = connection.execute(_changes(tuple(asked)), asked)
    return [
        Change(
            stamp=Stamp(at, who, place),
            file=name,
            key=tuple(_read("key", key, list)),
            before=None if before is None else _read("before", before, dict),
            after=None if after is None else _read("after", after, dict),
            why=why,
            movement=of,
        )
        for at, who, place, name, key, before, after, why, of in rows
    ]


@cache
def _changes(asked: tuple[str, ...]) -> Select[Any]:
    names = ("at", "who", "place", "file", "key", "before", "after", "why", "movement")
    question = select(*(CHANGES.c[name] for name in names)).order_by(CHANGES.c.id)
    return question.where(*(CHANGES.c[name] == bindparam(name) for name in asked))


def key_texts(file: BookFile, row: Any) -> list[str]:
    return [written(value) for value in file.key_of(row)]


def _read(column: str, stored: str, kind: type[_Texts]) -> _Texts:
    try:
        value = json.loads(stored)
    except ValueError:
        value = None
    if not isinstance(value, kind):
        raise errors.UnreadableValue(f"changes.{column}")
    return value


def _line(value: Sequence[str] | dict[str, str]) -> str:
    return json.dumps(value, ensure_ascii=False)


def _edited(file: BookFile, before: Any, there: Any, row: Any) -> errors.EditedMeanwhile:
    """What somebody made of the record, value beside value."""
    was, now = (texts_of(each) if each is not None else {} for each in (before, there))
    names = sorted(was.keys() | now.keys(), key=file.header.index)
    differences = tuple(
        (name, was.get(name, ""), now.get(name, ""))
        for name in names
        if was.get(name) != now.get(name)
    )
    what = f"{file.name} {' '.join(text for text in key_texts(file, row) if text)}"
    if before is None:
        return errors.EditedMeanwhile(what, differences, gone=False)
    return errors.EditedMeanwhile(what, differences if there is not None else (), there is None)
