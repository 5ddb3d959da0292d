"""A disk that tells what is written to it and may refuse, under the program as it is.

The program's own statements run through another build of SQLite, whose way to the disk is ours;
the driver's face is imitated as far as the store uses it. Knows no table. Shows what SQLite and the
program make of a disk's refusals, not what the distribution's build of SQLite does with them.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal
from unittest.mock import patch

import apsw

from parts.store import sqlite_connections, sqlite_copies

NAME = "laboratory"


@dataclass(frozen=True, slots=True)
class Operation:
    """One thing asked of the disk: `at` is where a write begins, or the size of what is left."""

    kind: Literal["write", "truncate", "sync", "delete"]
    file: str
    at: int = 0
    data: bytes = b""


Watch = Callable[[Operation], None]
"""Is told each operation before it is done; what it raises, the disk refuses with."""


_REFUSALS = {
    "write": apsw.SQLITE_IOERR_WRITE,
    "truncate": apsw.SQLITE_IOERR_TRUNCATE,
    "sync": apsw.SQLITE_IOERR_FSYNC,
    "delete": apsw.SQLITE_IOERR_DELETE,
}


def refusal(operation: Operation) -> Exception:
    """What a disk that is broken answers."""
    return apsw.exception_for(_REFUSALS[operation.kind])


@contextmanager
def disk(watch: Watch) -> Iterator[None]:
    """Put the program on a disk that asks `watch` first."""
    shim = _Disk(watch)
    try:
        with (
            patch.object(sqlite_connections, "sqlite3", _Driver),
            patch.object(sqlite_copies, "sqlite3", _Driver),
        ):
            yield
    finally:
        shim.unregister()


class _Disk(apsw.VFS):
    def __init__(self, watch: Watch) -> None:
        super().__init__(NAME, base="")
        self._watch = watch

    def xOpen(  # noqa: N802 - SQLite's names
        self, name: str | apsw.URIFilename | None, flags: list[int]
    ) -> apsw.VFSFile:
        return _File(name, flags, self._watch)

    def xDelete(self, filename: str, syncdir: bool) -> None:  # noqa: N802
        self._watch(Operation("delete", Path(filename).name))
        super().xDelete(filename, syncdir)


class _File(apsw.VFSFile):
    def __init__(self, name: str | apsw.URIFilename | None, flags: list[int], watch: Watch) -> None:
        super().__init__("", name, flags)
        of = name.filename() if isinstance(name, apsw.URIFilename) else name
        self._name = Path(of or "").name
        self._watch = watch

    def xWrite(self, data: bytes, offset: int) -> None:  # noqa: N802
        self._watch(Operation("write", self._name, offset, bytes(data)))
        super().xWrite(data, offset)

    def xTruncate(self, newsize: int) -> None:  # noqa: N802
        self._watch(Operation("truncate", self._name, newsize))
        super().xTruncate(newsize)

    def xSync(self, flags: int) -> None:  # noqa: N802
        self._watch(Operation("sync", self._name))
        super().xSync(flags)


class _Driver:
    """What the store uses of the driver's module."""

    sqlite_version = apsw.sqlite_lib_version()
    sqlite_version_info = tuple(map(int, apsw.sqlite_lib_version().split(".")))

    @staticmethod
    def connect(where: str, **_: Any) -> _Connection:
        return _Connection(where)


class _Connection:
    def __init__(self, where: str) -> None:
        flags = apsw.SQLITE_OPEN_READWRITE | apsw.SQLITE_OPEN_URI
        with _in_the_drivers_words():
            self._apsw = apsw.Connection(where, flags=flags, vfs=NAME)

    def cursor(self) -> _Cursor:
        return _Cursor(self._apsw)

    def execute(self, sql: str) -> _Cursor:
        return self.cursor().execute(sql)

    def commit(self) -> None:
        self._end("COMMIT")

    def rollback(self) -> None:
        self._end("ROLLBACK")

    def close(self) -> None:
        with _in_the_drivers_words():
            self._apsw.close()

    def backup(self, target: _Connection) -> None:
        with _in_the_drivers_words():
            copying = target._apsw.backup("main", self._apsw, "main")
            try:
                copying.step()
            finally:
                copying.close(force=True)

    def create_function(self, *_: Any, **__: Any) -> None:
        """The library above the driver offers functions that no statement of ours calls."""

    def _end(self, how: str) -> None:
        if self._apsw.in_transaction:
            self.execute(how)


class _Cursor:
    def __init__(self, connection: apsw.Connection) -> None:
        self._cursor = connection.cursor()
        self._cursor.exec_trace = self._describe
        self._rows: list[Any] = []
        self.description: Any = None
        self.rowcount = -1
        self.lastrowid: int | None = None

    def execute(self, sql: str, values: Sequence[Any] = ()) -> _Cursor:
        with _in_the_drivers_words():
            self._rows = self._cursor.execute(sql, tuple(values)).fetchall()
        return self

    def executemany(self, sql: str, values: Sequence[Sequence[Any]]) -> _Cursor:
        with _in_the_drivers_words():
            self._cursor.executemany(sql, values)
        return self

    def fetchone(self) -> Any:
        return self._rows.pop(0) if self._rows else None

    def fetchmany(self, size: int) -> list[Any]:
        found, self._rows = self._rows[:size], self._rows[size:]
        return found

    def fetchall(self) -> list[Any]:
        return self.fetchmany(len(self._rows))

    def close(self) -> None:
        self._cursor.close()

    def _describe(self, cursor: apsw.Cursor, _: str, __: Any) -> bool:
        columns = cursor.get_description()
        self.description = [(*column, *[None] * 5) for column in columns] or None
        return True


@contextmanager
def _in_the_drivers_words() -> Iterator[None]:
    try:
        yield
    except apsw.ConstraintError as refused:
        raise _named(sqlite3.IntegrityError(str(refused)), refused) from refused
    except (apsw.CorruptError, apsw.NotADBError) as refused:
        raise _named(sqlite3.DatabaseError(str(refused)), refused) from refused
    except apsw.Error as refused:
        raise _named(sqlite3.OperationalError(str(refused)), refused) from refused


def _named(ours: sqlite3.Error, refused: apsw.Error) -> sqlite3.Error:
    code = getattr(refused, "extendedresult", None) or getattr(refused, "result", 0)
    names = apsw.mapping_extended_result_codes, apsw.mapping_result_codes
    ours.sqlite_errorname = str(next((each[code] for each in names if code in each), ""))
    return ours
