"""Whole copies of a SQLite file, made while others go on writing, and put back.

A copy is made in one step, checked, and has its name only when it is complete. Putting back writes
into the file that is there, in one transaction of SQLite's own: killed in the middle, the file is
what it was. Invariant: nothing is replaced that is not kept beside.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from parts import errors
from parts.store.files import begin_file, drop_file, finish_file, sweep, uri_of
from parts.store.sqlite_connections import SETTINGS

_NO_ROOM = ("SQLITE_FULL", "SQLITE_IOERR_WRITE")  # the source is only read


def copy_to(source: Path, target: Path, where: str) -> None:
    """A checked copy at `target`, which must be free; `where` is what people call the source."""
    try:
        sweep(source)
        with _unfinished(target) as unfinished:
            _copy(source, unfinished, where)
            if target.exists():
                raise errors.CopyRefused(str(target), "something is there already")
            finish_file(unfinished, target)
    except OSError as refused:
        raise errors.CopyRefused(str(target), refused.strerror or "no access") from refused
    except sqlite3.OperationalError as refused:
        if not refused.sqlite_errorname.startswith(_NO_ROOM):
            raise
        raise errors.CopyRefused(str(target), "there is no room for it") from refused


def keep_beside(path: Path, where: str, label: str) -> Path:
    """A checked copy of the file as it is, beside it, under a name that is free."""
    copy = free_name(path, label)
    try:
        sweep(path)
        with _unfinished(copy) as unfinished:
            _copy(path, unfinished, where)
            finish_file(unfinished, copy)
    except OSError as refused:
        raise errors.DatabaseUnwritable(
            where, f"no copy could be made: {refused.strerror}"
        ) from refused
    return copy


def put_back(copy: Path, path: Path, where: str) -> None:
    """Give a file that is there the contents of a copy, all of them or none."""
    with (
        closing(sqlite3.connect(uri_of(copy), uri=True)) as source,
        closing(sqlite3.connect(uri_of(path), uri=True, isolation_level=None)) as target,
    ):
        for setting in SETTINGS:
            target.execute(f"PRAGMA {setting}")
        source.backup(target)
        (found,) = target.execute("PRAGMA integrity_check(1)").fetchone()
    if found != "ok":
        raise errors.DamagedDatabase(where, found)


def put_new(copy: Path, path: Path, where: str) -> None:
    """Make the file from a copy where there is none."""
    try:
        with _unfinished(path) as unfinished:
            _copy(copy, unfinished, where)
            finish_file(unfinished, path)
    except OSError as refused:
        raise errors.DatabaseUnwritable(where, refused.strerror or "no access") from refused


def set_aside(path: Path, where: str) -> Path:
    """Give a damaged file, and the journal that belongs to it, another name."""
    aside = free_name(path, "damaged")
    try:
        for ending in ("-journal", ""):
            part = path.with_name(path.name + ending)
            if part.exists():
                part.replace(aside.with_name(aside.name + ending))
    except OSError as refused:
        raise errors.DatabaseUnwritable(where, refused.strerror or "no access") from refused
    return aside


def free_name(path: Path, label: str) -> Path:
    """A name beside `path` that nothing has yet."""
    free, number = path.with_name(f"{path.stem}-{label}{path.suffix}"), 2
    while free.exists():
        free = path.with_name(f"{path.stem}-{label}-{number}{path.suffix}")
        number += 1
    return free


@contextmanager
def _unfinished(target: Path) -> Iterator[Path]:
    sweep(target)
    unfinished = begin_file(target)
    try:
        yield unfinished
    finally:
        drop_file(unfinished)


def _copy(source: Path, target: Path, where: str) -> None:
    with (
        closing(sqlite3.connect(uri_of(source), uri=True)) as old,
        closing(sqlite3.connect(uri_of(target), uri=True)) as new,
    ):
        old.backup(new)  # in one step: in several it starts anew whenever somebody writes
        (found,) = new.execute("PRAGMA integrity_check(1)").fetchone()
    if found != "ok":
        raise errors.DamagedDatabase(where, found)
