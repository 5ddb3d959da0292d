"""Adds one to a figure many times, each time in a transaction that reads it and writes it.

Tries again when told that the database is in use, as the message asks.

Usage: adder.py DATABASE TIMES
"""

from __future__ import annotations

import sys
from dataclasses import replace

from parts import errors
from parts.store.books import read_rows, write_rows
from parts.store.database import Database


def add_one(database: Database) -> bool:
    try:
        with database.writing(alone=True) as connection:
            part = read_rows(connection, "parts")[0]
            more = replace(part, min_stock=part.min_stock + 1)
            write_rows(connection, "parts", [], [more])
    except errors.DatabaseBusy:
        return False
    return True


if __name__ == "__main__":
    database = Database.open(sys.argv[1])
    for _ in range(int(sys.argv[2])):
        while not add_one(database):
            pass
