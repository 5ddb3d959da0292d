"""A seal that was printed, held against the ledger as it is now.

A printed figure is the number of movements there were and the seal over all accounts then. Who
alters an old movement and reckons every later seal anew makes a chain that is sound in itself; only
the figure on paper tells. On a server two people may enter at the very moment of printing: such a
figure can name one that was not visible yet, so it is printed where nobody else is writing.
"""

from __future__ import annotations

import re

from sqlalchemy import Connection, func, select

from parts.errors import LongpoleError
from parts.store.ledger_tables import POSTINGS
from parts.store.schema import TABLES
from parts.store.seals import head

_MOVEMENTS = TABLES["movements"]
_FIGURE = re.compile(r"(\d{1,18})-([0-9a-f]{64})\Z", re.ASCII)


class NoSeal(LongpoleError):
    def __init__(self, text: str) -> None:
        super().__init__(f"'{text}' is no seal as reports print them: a number, a dash, 64 letters")


def figure_of(text: str) -> tuple[int, str]:
    """The number of movements and the seal of a printed figure; NoSeal where it is none."""
    read = _FIGURE.match(text.strip().lower())
    if read is None:
        raise NoSeal(text)
    return int(read[1]), read[2]


def stands(connection: Connection, movements: int, sealed: str) -> bool:
    """Whether the first so many movements are still what they were when this seal was printed."""
    question = (
        select(_MOVEMENTS.c.part, func.coalesce(_MOVEMENTS.c.store, ""), POSTINGS.c.seal)
        .join(POSTINGS, POSTINGS.c.movement == _MOVEMENTS.c.id)
        .order_by(_MOVEMENTS.c.id)
        .limit(movements)
    )
    last: dict[tuple[str, str], str] = {}
    found = 0
    for part, store, each in connection.execute(question):
        last[part, store] = each
        found += 1
    accounts = [(*account, each) for account, each in last.items()]
    return found == movements and head(accounts) == sealed
