"""A day in the invented storeroom: every way in which it writes, each under a key of its own."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import closing
from typing import Any

from parts.errors import LongpoleError
from parts.records.book import Book
from parts.records.stock_steps import Posted
from parts.store import ledger
from parts.store.books import read_book
from parts.store.database import Database
from tests.services.storeroom import LAST_MONTH, TODAY, take, undo

Work = Callable[[str], Posted]

DAY: dict[str, Work] = {
    "in": lambda at: take(
        at, "receive", "COIL", 3, order="4711", certificate="C-1", store="main", key="in"
    ),
    "fitted": lambda at: take(
        at,
        "issue",
        "COIL",
        crane="C1",
        position="brake/coil",
        failed_on=LAST_MONTH,
        restored_on=TODAY,
        key="fitted",
    ),
    "moved": lambda at: take(at, "transfer", "SEAL", 4, to_store="crib", key="moved"),
    "counted": lambda at: take(at, "count", "LINING", 4, key="counted"),
    "undone": lambda at: undo(at, "fitted", "undone"),
}


def work(at: str, acknowledged: Callable[[str], None]) -> list[LongpoleError]:
    """Do the day's work, tell what was acknowledged, and go on where something is refused."""
    refused = []
    for key, doing in DAY.items():
        try:
            doing(at)
        except LongpoleError as refusal:
            refused.append(refusal)
        else:
            acknowledged(key)
    return refused


def keys_in(at: str) -> set[str]:
    return {movement.key for movement in _read(at)[0]["movements"]}


def stock_in(at: str) -> tuple[Any, ...]:
    """All that the day changes but the order of entry, so that a repeated day compares equal."""
    book, balances = _read(at)
    files = {name: sorted(rows, key=repr) for name, rows in book.rows.items()}
    return files, [(each.part, each.store, each.qty, each.movements) for each in balances]


def _read(at: str) -> tuple[Book, list[Any]]:
    with closing(Database.open(at)) as opened, opened.reading() as connection:
        return read_book(connection), ledger.balances(connection)
