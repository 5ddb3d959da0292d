"""The database as a file: where it is, whether it is ours, how it comes and goes as a whole.

Looks at a file's first bytes before SQLite does, because SQLite may repair what it opens. Knows no
SQL. Invariant: a file that is not ours is never written to, and a name never holds half a file.
"""

from __future__ import annotations

import os
import tempfile
import threading
from contextlib import suppress
from pathlib import Path
from urllib.parse import quote

from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError

from parts import errors
from parts.store.schema import APPLICATION_ID

_HEADER = b"SQLite format 3\0"
_HEADER_LENGTH = 100
_looking = threading.Lock()
_ours: set[tuple[int, int]] = set()  # device and number of each file that was looked at
_APPLICATION_ID_AT = slice(68, 72)  # https://www.sqlite.org/fileformat2.html, 1.3


def path_of(where: str) -> Path:
    """The file that a path or a SQLite URL names; one file has one name, so links are followed."""
    if not where:
        raise errors.UnusableUrl
    if "://" not in where:
        return Path(os.path.realpath(where))
    try:
        url = make_url(where)
    except (ArgumentError, ValueError):
        raise errors.UnusableUrl from None  # the text may hold a password
    if url.get_backend_name() != "sqlite" or not url.database:
        raise errors.UnusableUrl
    return Path(os.path.realpath(url.database))


def uri_of(path: Path) -> str:
    """The file for SQLite, which opens it and never makes it."""
    plain = path.as_posix()
    return (
        "file://" + ("" if plain.startswith("/") else "/") + quote(os.fsencode(plain)) + "?mode=rw"
    )


def look_at(path: Path, where: str) -> None:
    """Refuse what is not a database of ours, without a byte of it changed.

    A file is looked at once: on POSIX a process that closes any handle of a file lets go of all
    its locks on it (https://www.sqlite.org/howtocorrupt.html, 2.2), those of its writers too.
    """
    try:
        if not path.exists():
            raise errors.NoDatabase(where)
        if not path.is_file():
            raise errors.NotOurDatabase(where, "it is not a file")
        with _looking:
            found = path.stat()
            if (found.st_dev, found.st_ino) not in _ours:
                with path.open("rb") as file:
                    _refuse_others(file.read(_HEADER_LENGTH), where)
                _ours.add((found.st_dev, found.st_ino))
    except OSError as refused:
        raise errors.DatabaseUnreadable(where, refused.strerror or "no access") from refused


def _refuse_others(header: bytes, where: str) -> None:
    if not header:
        raise errors.NotOurDatabase(where, "it is empty")
    if len(header) < _HEADER_LENGTH or not header.startswith(_HEADER):
        raise errors.NotOurDatabase(where, "it is no database")
    if int.from_bytes(header[_APPLICATION_ID_AT], "big") != APPLICATION_ID:
        raise errors.NotOurDatabase(where, "another program made it")


def state_of(path: Path) -> tuple[int, ...]:
    """Which file it is and when it was last written; another tuple after a change, () = gone."""
    try:
        found = path.stat()
    except OSError:
        return ()
    return found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns


def begin_file(path: Path) -> Path:
    """An empty file beside `path`, for its owner alone, named by this process until it is done."""
    handle, name = tempfile.mkstemp(f".{os.getpid()}.new", _stem(path), path.parent)
    os.close(handle)
    return Path(name)


def finish_file(unfinished: Path, path: Path) -> None:
    """Give the file its name once all of it is on the disk."""
    _sync(unfinished, os.O_RDWR)
    unfinished.replace(path)
    if os.name != "nt":  # Windows has no handle of a folder to sync
        _sync(path.parent, os.O_RDONLY)


def leftover_of(path: Path) -> str:
    """The journal of a database that is gone: SQLite would work it into the next one there."""
    for ending in ("-journal", "-wal"):
        leftover = path.with_name(path.name + ending)
        if leftover.exists() and leftover.stat().st_size:
            return leftover.name
    return ""


def drop_file(unfinished: Path) -> None:
    for name in (unfinished, unfinished.with_name(unfinished.name + "-journal")):
        with suppress(OSError):  # in use, or gone already
            name.unlink(missing_ok=True)


def sweep(path: Path) -> None:
    """Drop what killed processes left unfinished beside `path`: it, and copies named after it."""
    for stray in path.parent.glob(f".{_escaped(path.stem)}*{_escaped(path.suffix)}-*.new"):
        owner = stray.name.split(".")[-2]
        if not (owner.isdigit() and _is_running(int(owner))):
            drop_file(stray)


def _stem(path: Path) -> str:
    return f".{path.name}-"


def _escaped(text: str) -> str:
    return "".join(f"[{letter}]" if letter in "*?[" else letter for letter in text)


def _is_running(process: int) -> bool:
    if os.name == "nt":
        return False  # Windows itself refuses to delete a file in use
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True


def _sync(path: Path, flags: int) -> None:
    handle = os.open(path, flags)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
