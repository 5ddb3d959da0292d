"""What needs each person today."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import TYPE_CHECKING

from parts.records.today_answers import TodayAnswer
from parts.services import risks
from parts.services.collector import collector_paused

if TYPE_CHECKING:
    from parts.calc.ranking.exposures import Exposures

A_WEEK = datetime.timedelta(days=7)


def today(
    exposed: Exposures, counted: Mapping[tuple[str, str], datetime.date] | None = None
) -> TodayAnswer:
    """What waits for storeroom, maintenance lead and purchasing, risks compared with a week ago.

    `counted` gives the latest count of a part in a store where it changed nothing.
    """
    from parts.calc.today.gathering import needs_of_today

    snapshot = exposed.snapshot
    then = risks.exposures(snapshot.on(snapshot.today - A_WEEK))
    with collector_paused():
        return needs_of_today(exposed, then, counted)
