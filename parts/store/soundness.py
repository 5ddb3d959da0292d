"""Whether a database is still what was entered: its file, its guards, its ledger.

Reads everything once more and reckons every seal and balance anew. It finds damage; somebody who
may write the database can make it look sound, and only seals printed elsewhere tell. Changes
nothing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from functools import cache

from sqlalchemy import Connection, create_engine, func, select
from sqlalchemy.pool import StaticPool

from parts.records.book import FILES_BY_NAME
from parts.records.copies import Damage
from parts.records.ledger import Stamp
from parts.store import postgres_guards
from parts.store.ledger_tables import BALANCES, POSTINGS
from parts.store.schema import METADATA, TABLES
from parts.store.seals import FIRST, seal

_MOVEMENTS = TABLES["movements"]
_SEALED = tuple(_MOVEMENTS.c[name] for name in FILES_BY_NAME["movements"].header)
_DEFINITIONS = (
    "SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL "
    "AND name NOT IN ('alembic_version', 'longpole_form') AND name NOT LIKE 'sqlite_%'"
)


def damage_of(connection: Connection) -> Iterator[Damage]:
    """Everything that is not as it was entered; nothing = sound."""
    if connection.dialect.name == "sqlite":
        yield from _of_the_file(connection)
        yield from _of_the_definitions(connection)
    else:
        for name in postgres_guards.missing(connection):
            yield Damage("definitions", name, "is not the guard that the program set")
    yield from _of_the_ledger(connection)


def _of_the_file(connection: Connection) -> Iterator[Damage]:
    for (found,) in connection.exec_driver_sql("PRAGMA integrity_check").fetchall():
        if found != "ok":
            yield Damage("file", "", found)
    for table, row, target, _ in connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall():
        yield Damage(table, str(row or ""), f"names a row of {target} that is not there")


def _of_the_definitions(connection: Connection) -> Iterator[Damage]:
    """Tables, rules and guards are those that the program made, each word of them."""
    wanted, found = _as_made(), _definitions(connection)
    for name in sorted(wanted.keys() | found.keys()):
        if name not in found:
            yield Damage("definitions", name, "is gone")
        elif name not in wanted:
            yield Damage("definitions", name, "is none of this program's")
        elif found[name] != wanted[name]:
            yield Damage("definitions", name, "is not as this program made it")


@cache
def _as_made() -> dict[str, str]:
    """The definitions of a new database."""
    engine = create_engine("sqlite://", poolclass=StaticPool)
    METADATA.create_all(engine)
    with engine.connect() as made:
        return _definitions(made)


def _definitions(connection: Connection) -> dict[str, str]:
    return {name: sql for name, sql in connection.exec_driver_sql(_DEFINITIONS)}  # noqa: C416


def _of_the_ledger(connection: Connection) -> Iterator[Damage]:
    """Every account's chain, movement by movement, and its balance."""
    store = func.coalesce(_MOVEMENTS.c.store, "")
    question = (
        select(*(POSTINGS.c[name] for name in ("number", "at", "who", "place", "seal")), *_SEALED)
        .select_from(_MOVEMENTS.outerjoin(POSTINGS, POSTINGS.c.movement == _MOVEMENTS.c.id))
        .order_by(_MOVEMENTS.c.part, store, POSTINGS.c.number)
    )
    chains: dict[tuple[str, str], tuple[int, str]] = {}
    sums: dict[tuple[str, str], int] = defaultdict(int)
    for number, at, who, place, found, *stored in connection.execute(question):
        part, qty, name, key = stored[1], stored[2], stored[4] or "", stored[-1]
        sums[part, name] += qty
        count, before = chains.get((part, name), (0, FIRST))
        if found is None:
            yield Damage("movements", key, "was entered past the program: nobody posted it")
            continue
        if number != count + 1:
            yield Damage("movements", key, f"is number {number} of its account, not {count + 1}")
        if seal(before, number, Stamp(at, who, place), stored) != found:
            yield Damage("movements", key, "is not as it was entered, or the one before it is not")
        chains[part, name] = (number, found)
    orphans = select(POSTINGS.c.movement).where(POSTINGS.c.movement.not_in(select(_MOVEMENTS.c.id)))
    for (movement,) in connection.execute(orphans):
        yield Damage("postings", str(movement), "its movement is gone")
    yield from _of_the_balances(connection, chains, sums)


def _of_the_balances(
    connection: Connection,
    chains: dict[tuple[str, str], tuple[int, str]],
    sums: dict[tuple[str, str], int],
) -> Iterator[Damage]:
    kept = {
        (part, store): (qty, count, last)
        for part, store, qty, count, last in connection.execute(
            select(*(BALANCES.c[name] for name in ("part", "store", "qty", "movements", "seal")))
        )
    }
    for account in sorted(kept.keys() | sums.keys()):
        subject = " in ".join(name for name in account if name)
        qty, count, last = kept.get(account, (None, 0, FIRST))
        number, sealed = chains.get(account, (0, FIRST))
        if qty is None:
            yield Damage("balances", subject, "is gone")
        elif qty != sums[account]:
            yield Damage(
                "balances", subject, f"says {qty}, its movements add up to {sums[account]}"
            )
        elif (count, last) != (number, sealed):
            yield Damage("balances", subject, f"counts {count} movements, there are {number}")
