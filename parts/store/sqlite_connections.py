"""Connections to one SQLite file, each with the same settings.

Knows SQLite's settings and why each is so. Invariant: no connection exists without them, none makes
a file, and none is kept: two threads never share one. What is kept of a path is how its statements
are written, which takes longer than to run them.
"""

from __future__ import annotations

import sqlite3
from functools import lru_cache
from pathlib import Path

from sqlalchemy import Engine, create_engine
from sqlalchemy.pool import NullPool

from parts import errors
from parts.store.files import uri_of

SETTINGS = (
    "busy_timeout=5000",
    "foreign_keys=ON",  # off by default
    "recursive_triggers=ON",  # else INSERT OR REPLACE deletes past the ledger's triggers
    "trusted_schema=OFF",  # a file from elsewhere may hide calls in its tables
    "cell_size_check=ON",
    "mmap_size=0",  # a torn file is an error, not a crash
    # Truncated and synced, the journal loses no commit when the power fails; unlike a write-ahead
    # log it can be read from a read-only folder and leaves one file to copy.
    "journal_mode=TRUNCATE",
    "synchronous=FULL",
)
_OLDEST_SQLITE = (3, 37)  # the first with strict tables
TO_READ = ("PRAGMA query_only=ON", "BEGIN")
# A writer that begins as a reader fails at once when another wrote in between, or loses an update.
TO_WRITE = ("BEGIN IMMEDIATE",)


def engine_of(path: Path) -> Engine:
    """The connections to a file that is there."""
    if sqlite3.sqlite_version_info < _OLDEST_SQLITE:
        oldest = ".".join(map(str, _OLDEST_SQLITE))
        raise errors.SqliteTooOld(sqlite3.sqlite_version, oldest)
    return _engine_of(path)


@lru_cache(maxsize=16)
def _engine_of(path: Path) -> Engine:
    def connect() -> sqlite3.Connection:
        # None: transactions begin when we say so, not when the driver sees an INSERT
        connection = sqlite3.connect(uri_of(path), uri=True, isolation_level=None)
        for setting in SETTINGS:
            connection.execute(f"PRAGMA {setting}")
        return connection

    return create_engine("sqlite://", creator=connect, poolclass=NullPool, hide_parameters=True)
