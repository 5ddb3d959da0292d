"""What would leave which crane down longest, and why."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from itertools import islice
from typing import TYPE_CHECKING

from parts.errors import UnknownName
from parts.records.answers import TogetherOutage
from parts.records.snapshot import Snapshot
from parts.services.collector import collector_paused

if TYPE_CHECKING:
    from parts.calc.failing.outages import FleetOutage


def outage(snapshot: Snapshot, crane: str | None = None, *, confident: bool = False) -> FleetOutage:
    """The outages of the fleet, or of one crane, in rank order.

    Raises UnknownName for a crane that is not there.
    """
    from parts.calc.failing.outages import FleetOutage

    if crane is not None:
        known_crane(snapshot, crane)
    with collector_paused():
        return FleetOutage(snapshot, crane, confident)


def together(
    snapshot: Snapshot, failed: Iterable[tuple[str, str]], fleet: FleetOutage | None = None
) -> tuple[TogetherOutage, ...]:
    """What follows when positions, as (crane, position), fail together.

    Raises UnknownName for a crane or position that is not there or is retired.
    """
    from parts.calc.failing.together import together as reckon

    whole = fleet or outage(snapshot)
    return reckon(whole, [position_row(whole, crane, position) for crane, position in failed])


def position_row(fleet: FleetOutage, crane: str, position: str) -> int:
    """The row of a live position, UnknownName where there is none."""
    known_crane(fleet.snapshot, crane)
    if not fleet.snapshot.is_live(crane):
        raise UnknownName("live crane", crane)
    try:
        return fleet.fleet.row(crane, position)
    except KeyError:
        rows = fleet.fleet.slices.get(crane, slice(0, 0))
        names = fleet.snapshot.positions.position[rows]
        raise UnknownName("position", f"{crane}/{position}", near(position, names)) from None


def known_crane(snapshot: Snapshot, crane: str) -> None:
    if crane not in snapshot.cranes:
        raise UnknownName("crane", crane, near(crane, snapshot.cranes))


def near(name: str, names: Iterable[str]) -> tuple[str, ...]:
    """Names that somebody may have meant, in whatever case they were typed."""
    by_folded = {each.casefold(): each for each in islice(names, 5000)}
    found = difflib.get_close_matches(name.casefold(), by_folded, n=2)
    return tuple(by_folded[folded] for folded in found)
