"""What is in a file, past the program."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

Tables = dict[str, list[tuple[Any, ...]]]


def tables_in(at: Path) -> Tables:
    """Every row of every table in one order, behind the names of its columns."""
    with closing(sqlite3.connect(at)) as past:
        past.text_factory = bytes
        names = past.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
        return {name.decode(): _rows(past, name.decode()) for (name,) in names}


def _rows(past: sqlite3.Connection, name: str) -> list[tuple[Any, ...]]:
    found = past.execute(f'SELECT * FROM "{name}"')  # noqa: S608
    return [tuple(column[0] for column in found.description), *sorted(found, key=repr)]
