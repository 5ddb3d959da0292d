"""A site as it is known on a day, read from its database."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from contextlib import closing

from parts.records.snapshot import Snapshot
from parts.services.collector import collector_paused


def read_snapshot(
    database: str, today: datetime.date, progress: Callable[[str], None] | None = None
) -> Snapshot:
    """The site as it is known on a day; raises a LongpoleError where it cannot be read.

    `progress` is told what comes next; what it raises ends the reading.
    """
    from parts.store.database import Database
    from parts.store.snapshots import read_snapshot as read

    with closing(Database.open(database)) as opened, collector_paused():
        return read(opened, today, progress)


def known_as(database: str) -> str:
    """What people call a database; an address may hold a password, its name never does."""
    from parts.store.database import known_as as name_of

    return name_of(database)
