"""What is drawn rather than listed: what hangs on what, and where money, days and age gather."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from parts.errors import UnknownName
from parts.records.picture_answers import AgesAnswer, HeatAnswer, SupplierDays
from parts.records.snapshot import Snapshot
from parts.services.collector import collector_paused
from parts.services.outages import known_crane, near

if TYPE_CHECKING:
    from parts.calc.failing.outages import FleetOutage
    from parts.calc.needs.graphs import NeedsGraph
    from parts.calc.ranking.exposures import Exposures

By = Literal["function", "class"]
Unit = Literal["money", "days"]


def needs_graph(fleet: FleetOutage, crane: str) -> NeedsGraph:
    """The needs of a crane as lines, and, asked with a set of positions, what their failure kills.

    Raises UnknownName for a crane that is not there.
    """
    from parts.calc.needs.graphs import NeedsGraph

    known_crane(fleet.snapshot, crane)
    return NeedsGraph(fleet, crane)


def heat(exposed: Exposures, by: By = "function", unit: Unit = "money") -> HeatAnswer:
    """Exposure of a year by crane and system."""
    from parts.calc.ranking.heat import Heat

    with collector_paused():
        return Heat(exposed, by, unit).answer()


def promised_and_real(snapshot: Snapshot) -> tuple[SupplierDays, ...]:
    """What each supplier quoted and took, the slowest against its word first."""
    from parts.calc.getting.promises import promised_and_real as reckon

    return reckon(snapshot)


def ages(exposed: Exposures, part: str | None = None) -> AgesAnswer:
    """Age of every live position, or of those that hold one part, against its expected life.

    Raises UnknownName for a part that is not there.
    """
    from parts.calc.likelihoods.ages_and_lives import ages_against_lives

    if part is not None and part not in exposed.snapshot.parts:
        raise UnknownName("part", part, near(part, exposed.snapshot.parts))
    with collector_paused():
        return ages_against_lives(exposed.likelihood, part)
