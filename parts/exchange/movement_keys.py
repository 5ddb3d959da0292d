"""Keys for movements that a site book gives none, so that a second load of a line is a no-op.

A key is made from the contents and the ordinal among equal rows of the file, so two equal issues
on one day stay two. It begins with the date: rows in key order are then rows in date order.
Invariant: the same file gives the same keys, whatever else is in it.
"""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from parts.records.cells import written
from parts.records.fields import columns
from parts.records.stock import Movement

_CONTENTS = tuple(column.name for column in columns(Movement) if column.name != "key")


def with_keys(movements: Iterable[Movement]) -> list[Movement]:
    """The movements in their order, each with a key; keys that are there stay."""
    rows = list(movements)
    taken = {row.key for row in rows if row.key}
    last: Counter[str] = Counter()
    return [row if row.key else replace(row, key=_next_key(row, last, taken)) for row in rows]


def _next_key(row: Movement, last: Counter[str], taken: set[str]) -> str:
    contents = json.dumps([written(getattr(row, name)) for name in _CONTENTS])
    while True:
        last[contents] += 1
        key = _made_key(row, contents, last[contents])
        # a row that was saved with its key counts as one of the equal rows
        if key not in taken:
            return key


def _made_key(row: Movement, contents: str, ordinal: int) -> str:
    digest = hashlib.sha256(f"{ordinal} {contents}".encode()).hexdigest()
    return f"{row.date.isoformat()}-{digest[:32]}"
