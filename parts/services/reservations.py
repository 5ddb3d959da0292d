"""Stock promised to a planned job, and given free again."""

from __future__ import annotations

import datetime
from contextlib import closing
from dataclasses import replace

from parts.calc.stockroom.steps import MOST
from parts.calc.stockroom.texts import refuse_unkept_texts
from parts.errors import StepRefused
from parts.records.stock import Reservation
from parts.records.stock_steps import Edit
from parts.services.hands import Hand
from parts.services.step_facts import known_part
from parts.services.stock import stores_of
from parts.store import journal, ledger
from parts.store.books import read_row, read_rows
from parts.store.database import Connection, Database


def reserve(
    database: str, promise: Reservation, hand: Hand, today: datetime.date
) -> tuple[str, ...]:
    """Promise stock to a job; returns what the person should know.

    More may be promised than is there, since orders may come; a job is promised a part once.
    """
    refuse_unkept_texts(promise)
    if not 1 <= promise.qty <= MOST:
        raise StepRefused("qty", f"promise 1 to {MOST:,} whole units, not {promise.qty}")

    def work(connection: Connection) -> tuple[str, ...]:
        part = known_part(connection, promise.part).part
        ledger.lock(connection, [part])
        before = read_row(connection, "reservations", promise, hold=True)
        if before == promise:
            return ("promised already; nothing was added",)
        if before is not None and is_open(before, today):
            raise StepRefused(
                "for", f"{before.qty} {part} are promised to {before.for_} already; release that"
            )
        journal.put(connection, Edit("reservations", before, promise), hand.stamp())
        usable = sum(each.usable for each in stores_of(connection, part, today))
        open_rows = read_rows(connection, "reservations", {"part": (part,)})
        promised = sum(row.qty for row in open_rows if is_open(row, today))
        short = promised - usable
        return (f"{short} more promised than can be used now",) if short > 0 else ()

    with closing(Database.open(database)) as opened:
        return opened.work(work)


def release(database: str, part: str, job: str, hand: Hand, today: datetime.date) -> int:
    """Take a promise back, from today on; returns the units that are free again."""

    def work(connection: Connection) -> int:
        known_part(connection, part)
        found = read_rows(connection, "reservations", {"part": (part,), "for": (job,)})
        if not found or not is_open(found[0], today):
            raise StepRefused("for", f"nothing of {part} is promised to {job}")
        (row,) = found
        released = replace(row, released_on=today)
        journal.put(connection, Edit("reservations", row, released), hand.stamp())
        return int(row.qty)

    with closing(Database.open(database)) as opened:
        return opened.work(work)


def is_open(promise: Reservation, today: datetime.date) -> bool:
    """Whether a promise still binds on a day."""
    return promise.released_on is None or promise.released_on > today
