"""Which lots in store are due for care: turning, re-forming, inspecting, as their class asks.

Counts from the day on which a lot came or was last cared for. Knows nothing of what the care is.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from parts.calc.getting.stock import PartStock
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.records.snapshot import Snapshot

DAYS_A_MONTH = DAYS_A_YEAR / 12.0


@dataclass(frozen=True, slots=True)
class CareDue:
    """A lot that has lain for longer than its class allows; `source` is that of the class."""

    part: str
    store: str | None
    qty: int
    since: datetime.date
    due_on: datetime.date
    every_months: float
    source: str | None


def care_due(snapshot: Snapshot, stock: Mapping[str, PartStock]) -> Iterator[CareDue]:
    """The lots whose care is due on the day of the snapshot, by part."""
    for part, held in sorted(stock.items()):
        part_class = snapshot.classes.get(snapshot.parts[part].part_class or "")
        if part_class is None or part_class.storage_months is None:
            continue
        idle_days = datetime.timedelta(days=math.ceil(part_class.storage_months * DAYS_A_MONTH))
        for lot, qty in held.lots.items():
            since = held.lying_since[lot]
            due_on = since + idle_days
            if qty > 0 and due_on <= snapshot.today:
                months, source = part_class.storage_months, part_class.source
                yield CareDue(part, lot[0], qty, since, due_on, months, source)
