"""How each figure of a part or a position came about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from parts.errors import UnknownName
from parts.records.answers import Explanation
from parts.records.snapshot import Snapshot
from parts.services.outages import near, outage, position_row

if TYPE_CHECKING:
    from parts.calc.outages import FleetOutage


def explain(snapshot: Snapshot, subject: str, fleet: FleetOutage | None = None) -> Explanation:
    """Explain a part by its name, or a position written CRANE/POSITION.

    Raises UnknownName for what is neither.
    """
    from parts.calc.explanations import explain_part, explain_position

    if subject in snapshot.parts:
        return explain_part(fleet or outage(snapshot), subject)
    crane, position = position_named(snapshot, subject)
    whole = fleet or outage(snapshot)
    position_row(whole, crane, position)
    try:
        return explain_position(whole, crane, position)
    except KeyError:
        raise UnknownName("position with a part", subject) from None


def position_named(snapshot: Snapshot, text: str) -> tuple[str, str]:
    """Crane and position of a text CRANE/POSITION; both names may hold strokes themselves."""
    cuts = [at for at, mark in enumerate(text) if mark == "/"]
    for at in cuts:
        if text[:at] in snapshot.cranes:
            return text[:at], text[at + 1 :]
    if cuts:
        crane = text[: cuts[0]]
        raise UnknownName("crane", crane, near(crane, snapshot.cranes))
    raise UnknownName("part or CRANE/POSITION", text, near(text, snapshot.parts))
