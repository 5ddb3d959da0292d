"""What needs each person today."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from contextlib import closing
from typing import TYPE_CHECKING

from parts.records.today_answers import TodayAnswer
from parts.services import risks
from parts.services.collector import collector_paused

if TYPE_CHECKING:
    from parts.calc.ranking.exposures import Exposures

A_WEEK = datetime.timedelta(days=7)
LastCounted = Mapping[tuple[str, str], datetime.date]
"""The day of the last count of a part in a store, "" where the ledger names none."""


def today(exposed: Exposures, counted: LastCounted | None = None) -> TodayAnswer:
    """What waits for storeroom, maintenance lead and purchasing, risks compared with a week ago.

    `counted` adds counts that found what the book said, which are no movements.
    """
    from parts.calc.today.gathering import needs_of_today

    snapshot = exposed.snapshot
    since = min(A_WEEK, snapshot.today - datetime.date.min)  # the calendar has a first day
    then = risks.exposures(snapshot.on(snapshot.today - since))
    with collector_paused():
        return needs_of_today(exposed, then, counted)


def last_counted(database: str) -> LastCounted:
    """When each part in each store was last counted; raises a LongpoleError where the database
    cannot be read."""
    from parts.store import ledger
    from parts.store.database import Database

    with closing(Database.open(database)) as opened, opened.reading() as connection:
        return ledger.last_counted(connection)
