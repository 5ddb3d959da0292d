"""Everything that a server's database holds, as one SQLite file of the same form.

The file is a database like any other: it can be asked, checked and put back. Row by row, so seals
and postings are those of the server. Invariant: the file has its name only when it is complete.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Table, insert, select, update

from parts.store.ledger_tables import BALANCES
from parts.store.schema import METADATA
from parts.store.sqlite import new_database

_CHUNK = 10_000


def copy_rows(source: Connection, target: Path) -> None:
    """Copy all tables into a new file at `target`, which must be free."""
    with new_database(str(target)) as made, made.writing() as copy:
        for table in METADATA.sorted_tables:
            if table is not BALANCES:
                for rows in _chunks(source, table):
                    copy.execute(insert(table), rows)
        # the movements made the balances anew; what the server kept of them goes over those
        for rows in _chunks(source, BALANCES):
            for row in rows:
                of_account = (BALANCES.c.part == row["part"]) & (BALANCES.c.store == row["store"])
                copy.execute(update(BALANCES).where(of_account).values(row))


def _chunks(source: Connection, table: Table) -> Iterator[list[dict[str, Any]]]:
    names = [column.name for column in table.columns]
    found = source.execute(select(table).order_by(*table.primary_key.columns))
    rows = (dict(zip(names, map(_plain, row), strict=True)) for row in found)
    while chunk := list(islice(rows, _CHUNK)):
        yield chunk


def _plain(value: Any) -> Any:
    """A value as SQLite keeps it."""
    if isinstance(value, bool):
        return int(value)
    return value.isoformat() if isinstance(value, datetime.date) else value
