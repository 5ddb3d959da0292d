"""One part as the storeroom sees it: what is there, what of it is free, who moved it last."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from contextlib import closing

from parts.calc.stockroom.kits import missing_for, whole_sets
from parts.records.catalogue import Companion, Part
from parts.records.ledger import Posting
from parts.records.stock import Reservation
from parts.records.stock_card import SetMember, SetsInStore, StockCard
from parts.services.reservations import is_open
from parts.services.step_facts import known_part
from parts.services.stock import stores_of
from parts.store import ledger
from parts.store.books import read_rows
from parts.store.database import Connection, Database

LAST = 10
"""Movements that are listed unless more are asked for."""


def card(database: str, part: str, today: datetime.date, last: int | None = LAST) -> StockCard:
    """The card of a part on a day; `last` None = all its movements. UnknownName for no part."""
    with closing(Database.open(database)) as opened, opened.reading() as connection:
        return _card(connection, known_part(connection, part), today, last)


def _card(connection: Connection, part: Part, today: datetime.date, last: int | None) -> StockCard:
    stores = stores_of(connection, part.part, today)
    promises = _promises(connection, part.part, today)
    usable = sum(each.usable for each in stores)
    return StockCard(
        part=part.part,
        description=part.description,
        today=today,
        stores=stores,
        promises=promises,
        free=max(0, usable - sum(row.qty for row in promises)),
        min_stock=part.min_stock,
        postings=_postings(connection, part.part, today)[:last],
        sets=_sets(connection, part, usable, today),
    )


def _promises(connection: Connection, part: str, today: datetime.date) -> tuple[Reservation, ...]:
    rows: Sequence[Reservation] = read_rows(connection, "reservations", {"part": (part,)})
    return tuple(row for row in rows if is_open(row, today))


def _postings(connection: Connection, part: str, today: datetime.date) -> tuple[Posting, ...]:
    """Movements with who entered them when, the latest entry first."""
    entered = {each.movement.key: each for each in ledger.postings(connection, [part])}
    rows = read_rows(connection, "movements", {"part": (part,)})
    return tuple(
        entered[row.key] for row in reversed(rows) if row.key in entered and row.date <= today
    )


def _sets(
    connection: Connection, part: Part, usable: int, today: datetime.date
) -> SetsInStore | None:
    rows: Sequence[Companion] = read_rows(connection, "companions", {"part": (part.part,)})
    certain = [row for row in rows if row.chance == 1]
    if not certain:
        return None
    needed = {part.part: 1}
    for row in certain:  # a part may be its own companion: a matched pair
        needed[row.companion] = needed.get(row.companion, 0) + row.qty
    members = tuple(
        SetMember(name, qty, *_stock_and_cost(connection, name, part, usable, today))
        for name, qty in needed.items()
    )
    whole = whole_sets(members)
    return SetsInStore(members, whole, missing_for(members, whole + 1))


def _stock_and_cost(
    connection: Connection, name: str, part: Part, usable: int, today: datetime.date
) -> tuple[int, float | None]:
    if name == part.part:
        return usable, part.unit_cost
    stores = stores_of(connection, name, today)
    return sum(each.usable for each in stores), known_part(connection, name).unit_cost
