"""The lists of all people on one day, put together from the answers that exist already."""

from __future__ import annotations

import datetime
from collections.abc import Mapping

from parts.calc.buying.deadlines import Deadlines
from parts.calc.ranking.exposures import Exposures
from parts.calc.ranking.findings import findings_of
from parts.calc.today.counts import Account
from parts.calc.today.lines import Morning, in_order
from parts.calc.today.maintenance import Maintenance
from parts.calc.today.purchasing import Purchasing
from parts.calc.today.risen import Risen
from parts.calc.today.storeroom import Storeroom
from parts.records.today_answers import PersonToday, TodayAnswer


def needs_of_today(
    now: Exposures,
    then: Exposures,
    counted: Mapping[Account, datetime.date] | None = None,
) -> TodayAnswer:
    """What waits for each person.

    Arguments: now and then (the site today and on an earlier day), counted (the latest count of a
    part in a store where it changed nothing and so is no movement).
    """
    morning = Morning(now)
    deadlines = Deadlines(now).answer()
    rises = Risen(now, then, morning.ranking).answer()
    since = then.snapshot.today
    storeroom = Storeroom(morning, counted)
    maintenance = Maintenance(morning, findings_of(now), deadlines, rises, since)
    purchasing = Purchasing(morning, deadlines)
    return TodayAnswer(
        now.snapshot.today,
        since,
        (
            PersonToday("storeroom", in_order([*storeroom.lines()]), tuple(storeroom.notes())),
            PersonToday("maintenance", in_order([*maintenance.lines()])),
            PersonToday("purchasing", in_order([*purchasing.lines()])),
        ),
    )
