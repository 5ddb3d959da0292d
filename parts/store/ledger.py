"""The stock ledger: movements entered, balances asked, nothing ever altered.

The database keeps each balance as movements come in and refuses one below nothing; PostgreSQL also
writes the posting, with the name that it knows the person by. On SQLite the posting is written
here, in the same transaction. Knows no rule of the storeroom. Invariant: after every transaction
each movement has its posting, and each balance is the sum of its movements.
"""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from itertools import islice
from typing import Any

from sqlalchemy import Connection, Select, bindparam, func, insert, select, text, true

from parts.errors import KeyTaken
from parts.records.book import FILES_BY_NAME
from parts.records.ledger import NO_STORE, Balance, Counted, Posting, Stamp
from parts.records.stock import Movement
from parts.store.books import Progress, read_rows, write_rows
from parts.store.ledger_tables import BALANCES, COUNTS, POSTINGS
from parts.store.schema import TABLES
from parts.store.seals import FIRST, figure, seal

_MOVEMENTS = TABLES["movements"]
_SEALED = tuple(_MOVEMENTS.c[name] for name in FILES_BY_NAME["movements"].header)
_SEAL_BY_ACCOUNT = text("UPDATE balances SET seal = :seal WHERE part = :part AND store = :store")
# made once, because what is made anew is compiled anew
_LAST = select(func.max(_MOVEMENTS.c.id))
_ENTERED_AFTER = (
    select(_MOVEMENTS.c.id, *_SEALED)
    .where(_MOVEMENTS.c.id > bindparam("last"))
    .order_by(_MOVEMENTS.c.id)
)
_COUNTED = (
    select(
        *(
            COUNTS.c[name]
            for name in ("sheet", "part", "store", "counted_on", "counted", "book", "movement")
        )
    )
    .where(COUNTS.c.sheet == bindparam("sheet"))
    .order_by(COUNTS.c.part, COUNTS.c.store)
)
_BALANCES = select(
    *(BALANCES.c[name] for name in ("part", "store", "qty", "movements", "seal"))
).order_by(BALANCES.c.part, BALANCES.c.store)
_STORES = select(BALANCES.c.store).where(BALANCES.c.store != NO_STORE).distinct().order_by("store")
_BALANCES_OF = _BALANCES.where(BALANCES.c.part.in_(bindparam("parts", expanding=True)))

Account = tuple[str, str]
"""A part, and the store that holds it."""


def append(
    connection: Connection,
    movements: Sequence[Movement],
    stamp: Stamp,
    progress: Progress | None = None,
) -> None:
    """Enter movements, what comes in before what goes out, so that no order of rows is refused
    that would end well."""
    if not movements:
        return
    ordered = sorted(movements, key=lambda row: row.qty < 0)
    if connection.dialect.name != "sqlite":
        write_rows(connection, "movements", ordered, progress=progress)
        return
    accounts = {(row.part, row.store or "") for row in ordered}
    chains = {
        (found.part, found.store): (found.movements, found.seal)
        for found in balances(connection, {part for part, _ in accounts})
    }
    last = connection.execute(_LAST).scalar() or 0
    write_rows(connection, "movements", ordered, progress=progress)
    _post(connection, last, stamp, chains)
    sealed = [
        {"part": part, "store": store, "seal": chains[part, store][1]} for part, store in accounts
    ]
    connection.execute(_SEAL_BY_ACCOUNT, sealed)


def lock(connection: Connection, parts: Iterable[str]) -> None:
    """Hold the ledger of some parts to the end of the transaction; others may go on.

    In SQLite a writing transaction holds everything already. Always in one order, so that two
    people who want each other's parts do not wait for ever.
    """
    if connection.dialect.name == "sqlite":
        return
    for part in sorted(set(parts)):
        connection.execute(
            text("SELECT pg_advisory_xact_lock(:number)"), {"number": _lock_number(part)}
        )


def movement(connection: Connection, key: str) -> Movement | None:
    found = read_rows(connection, "movements", {"key": (key,)})
    return found[0] if found else None


def balances(connection: Connection, parts: Iterable[str] | None = None) -> list[Balance]:
    """The balances of some parts, or of all, in the order of part and store."""
    if parts is None:
        rows = connection.execute(_BALANCES).all()
    else:
        rows = [
            row
            for some in _some(sorted(set(parts)))
            for row in connection.execute(_BALANCES_OF, {"parts": some})
        ]
    return [Balance(*row) for row in rows]


def seal_of_all(connection: Connection) -> str:
    """The seal over all accounts as they stand, to be printed and kept elsewhere."""
    found = balances(connection)
    accounts = [(each.part, each.store, each.seal) for each in found]
    return figure(sum(each.movements for each in found), accounts)


def stores(connection: Connection) -> list[str]:
    """The named stores that ever held anything."""
    return list(connection.execute(_STORES).scalars())


def postings(connection: Connection, parts: Iterable[str] | None = None) -> Iterator[Posting]:
    """Every movement with its posting, account by account in the order of entry.

    Movements without a posting are left out; `verify` looks for them.
    """
    of_part = None if parts is None else {"part": tuple(parts)}
    by_key = {row.key: row for row in read_rows(connection, "movements", of_part)}
    joined = select(
        _MOVEMENTS.c.key,
        *(POSTINGS.c[name] for name in ("number", "at", "who", "place", "seal")),
    ).join(POSTINGS, POSTINGS.c.movement == _MOVEMENTS.c.id)
    store = func.coalesce(_MOVEMENTS.c.store, "")
    if parts is not None:
        joined = joined.where(_MOVEMENTS.c.part.in_(tuple(parts)))
    for key, number, at, who, place, sealed in connection.execute(
        joined.order_by(_MOVEMENTS.c.part, store, POSTINGS.c.number)
    ):
        yield Posting(by_key[key], number, Stamp(at, who, place), sealed)


def write_counts(connection: Connection, lines: Iterable[Counted], stamp: Stamp) -> None:
    """Keep what was found at a count, also where it was what the book said."""
    rows = [
        {
            "sheet": line.sheet,
            "part": line.part,
            "store": line.store,
            "counted_on": _stored_day(connection, line.counted_on),
            "counted": line.counted,
            "book": line.book,
            "movement": line.movement,
            "at": stamp.at,
            "who": stamp.who,
            "place": stamp.place,
        }
        for line in lines
    ]
    if rows:
        connection.execute(insert(COUNTS), rows)


def is_counted(connection: Connection, sheet: str, part: str, store: str, counted: int) -> bool:
    """Whether this line of a count is kept already; KeyTaken where it is with another figure."""
    columns = COUNTS.c
    question = select(columns.counted).where(
        columns.sheet == sheet, columns.part == part, columns.store == store
    )
    found = connection.execute(question).scalar()
    if found is not None and found != counted:
        raise KeyTaken(sheet)
    return found is not None


def counted(connection: Connection, sheet: str) -> list[Counted]:
    """What was found by one sheet, in the order of part and store."""
    rows = connection.execute(_COUNTED, {"sheet": sheet})
    return [
        Counted(
            sheet=of,
            part=part,
            store=store,
            counted_on=_day(stored),
            counted=found,
            book=book,
            movement=key,
        )
        for of, part, store, stored, found, book, key in rows
    ]


def last_counted(
    connection: Connection, until: datetime.date | None = None, part: str | None = None
) -> dict[Account, datetime.date]:
    """The day of the last count of each account that was ever counted, or was by a day, or of those
    of one part; what was undone is none. A count that a site book brought is known by its movement
    alone."""
    found: dict[Account, datetime.date] = {}
    facts: dict[str, object] = {}
    if until is not None:
        facts["until"] = _stored_day(connection, until)
    if part is not None:
        facts["part"] = part
    for question in _last_days(frozenset(facts)):
        for of_part, store, stored in connection.execute(question, facts):
            account = (of_part, store or "")
            found[account] = max(_day(stored), found.get(account, datetime.date.min))
    return found


@cache
def _last_days(asked: frozenset[str]) -> tuple[Select[Any], ...]:
    """The last day of each account by the counts that are kept, and by the movements."""
    undone = select(_MOVEMENTS.c.reverses).where(_MOVEMENTS.c.reverses.is_not(None))
    questions = []
    for columns, day, movement, kept in (
        (COUNTS.c, COUNTS.c.counted_on, COUNTS.c.movement, true()),
        (_MOVEMENTS.c, _MOVEMENTS.c.date, _MOVEMENTS.c.key, _MOVEMENTS.c.kind == "count"),
    ):
        conditions = {
            "until": day <= bindparam("until"),
            "part": columns.part == bindparam("part"),
        }
        question = select(columns.part, columns.store, func.max(day)).where(
            kept,
            movement.is_(None) | movement.not_in(undone),
            *(conditions[name] for name in asked),
        )
        questions.append(question.group_by(columns.part, columns.store))
    return tuple(questions)


def _post(
    connection: Connection, last: int, stamp: Stamp, chains: dict[Account, tuple[int, str]]
) -> None:
    """Number and seal the movements entered after `last`; `chains` grows with them."""
    part_at, store_at = (
        1 + FILES_BY_NAME["movements"].header.index(name) for name in ("part", "store")
    )
    entered = []
    for row in connection.execute(_ENTERED_AFTER, {"last": last}):
        account = (row[part_at], row[store_at] or "")
        count, before = chains.get(account, (0, FIRST))
        sealed = seal(before, count + 1, stamp, row[1:])
        chains[account] = (count + 1, sealed)
        entered.append(
            {
                "movement": row[0],
                "number": count + 1,
                "at": stamp.at,
                "who": stamp.who,
                "place": stamp.place,
                "seal": sealed,
            }
        )
    connection.execute(insert(POSTINGS), entered)


def _some(values: Iterable[str], most: int = 500) -> Iterator[list[str]]:
    """Values by the hundred: a statement takes only so many."""
    waiting = iter(values)
    while some := list(islice(waiting, most)):
        yield some


def _lock_number(part: str) -> int:
    """A number of 64 bits for a part; two parts that share one only wait for each other."""
    return int.from_bytes(hashlib.sha256(part.encode()).digest()[:8], "big", signed=True)


def _stored_day(connection: Connection, day: datetime.date) -> str | datetime.date:
    return day.isoformat() if connection.dialect.name == "sqlite" else day


def _day(stored: str | datetime.date) -> datetime.date:
    return stored if isinstance(stored, datetime.date) else datetime.date.fromisoformat(stored)
