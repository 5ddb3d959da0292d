"""Fills a database, a few rows at a time, and says after each that it did; to be killed meanwhile.

Usage: filler.py new|again DATABASE
"""

from __future__ import annotations

import sys

from parts.records.structure import Crane, Position
from parts.store.books import write_rows
from parts.store.database import Database, new_database

BATCHES, BATCH = 10, 3_000


def fill(database: Database) -> None:
    with database.writing() as connection:
        write_rows(connection, "cranes", [Crane(crane="K")])
        for batch in range(BATCHES):
            names = (f"{batch}.{number}" for number in range(BATCH))
            rows = [Position(crane="K", position=f"a place on the crane {name}") for name in names]
            write_rows(connection, "positions", rows)
            print(batch, flush=True)


if __name__ == "__main__":
    how, where = sys.argv[1:]
    if how == "new":
        with new_database(where) as new:
            fill(new)
    else:
        fill(Database.open(where))
