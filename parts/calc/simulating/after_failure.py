"""A site after a failure: what goes into the crane from the shelf is promised away.

Nothing is ordered again in its place; the failed positions work again once they are restored, so
that what is told of them is their next failure.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from parts.calc.failing.outages import FleetOutage
from parts.calc.failing.together import Together
from parts.records.snapshot import Snapshot
from parts.records.stock import Reservation


def after_failure(outage: FleetOutage, rows: Iterable[int]) -> Snapshot:
    """The site once these rows have failed together; a promise takes no more than is there."""
    positions = outage.snapshot.positions
    promised = []
    for row, exchange in Together(outage, rows).settlement().exchanges.items():
        place = f"{positions.crane[row]}/{positions.position[row]}"
        for member in exchange.members:
            stand_in = member.demand.stand_in
            part = member.part if stand_in is None else stand_in.part
            promised.append(Reservation(part=part, qty=member.demand.qty, for_=place))
    return replace(outage.snapshot, reservations=(*outage.snapshot.reservations, *promised))
