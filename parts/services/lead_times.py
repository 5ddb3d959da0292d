"""How a part can be had today, and how soon."""

from __future__ import annotations

from parts.errors import UnknownName
from parts.records.answers import LeadTimeAnswer
from parts.records.snapshot import Snapshot
from parts.services.outages import near


def lead_time(snapshot: Snapshot, part: str, qty: int = 1) -> LeadTimeAnswer:
    """Every way to get `qty` units of a part, and the day on which they are together.

    Raises UnknownName for a part that is not there.
    """
    from parts.calc.getting.lead_times import LeadTimes

    if part not in snapshot.parts:
        raise UnknownName("part", part, near(part, snapshot.parts))
    return LeadTimes(snapshot).answer(part, qty)
