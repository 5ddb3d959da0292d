"""What SQLite reports, in our words.

Told by the name of the error, which is stable, never by its text. Knows no table. Invariant: an
error that is not listed here passes unchanged, because it is a fault of the program.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from parts import errors

Situation = Callable[[str, str], errors.LongpoleError]


def _unwritable(why: str) -> Situation:
    return lambda where, _: errors.DatabaseUnwritable(where, why)


# Names as they begin; a longer one stands before the one that it begins with.
_SITUATIONS: dict[str, Situation] = {
    "SQLITE_BUSY": lambda where, _: errors.DatabaseBusy(where),
    "SQLITE_LOCKED": lambda where, _: errors.DatabaseBusy(where),
    "SQLITE_CORRUPT": errors.DamagedDatabase,
    "SQLITE_NOTADB": errors.DamagedDatabase,
    "SQLITE_FULL": _unwritable("the disk is full"),
    "SQLITE_READONLY_DIRECTORY": _unwritable("its folder is read-only"),
    "SQLITE_READONLY": _unwritable("it is read-only"),
    "SQLITE_CANTOPEN": _unwritable("its folder is read-only"),
    "SQLITE_PERM": _unwritable("no access"),
    "SQLITE_IOERR": lambda where, _: errors.DatabaseDoubtful(where),
}


@contextmanager
def in_our_words(path: Path, where: str) -> Iterator[None]:
    """Turn what the database reports inside into the errors that people are shown."""
    try:
        yield
    except DBAPIError as reported:
        raise _ours(reported.orig, path, where) or reported from reported
    except sqlite3.Error as reported:  # from the driver's own cursor
        raise _ours(reported, path, where) or reported from reported
    except UnicodeDecodeError as reported:  # the driver cannot even read what SQLite reports
        raise errors.DamagedDatabase(where, "a text in it is not UTF-8") from reported


def _ours(reported: object, path: Path, where: str) -> errors.LongpoleError | None:
    name, words = getattr(reported, "sqlite_errorname", ""), str(reported)
    if isinstance(reported, sqlite3.IntegrityError):  # the driver names only some of them
        return errors.RowRefused(where, words)
    if name == "SQLITE_CANTOPEN" and not path.exists():
        return errors.NoDatabase(where)
    if "Could not decode to UTF-8" in words:  # the driver's own, and nameless
        return errors.DamagedDatabase(where, "a text in it is not UTF-8")
    for known, situation in _SITUATIONS.items():
        if name.startswith(known):
            return situation(where, words)
    return None
