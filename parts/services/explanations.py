"""How each figure of a part or a position came about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from parts.errors import UnknownName
from parts.records.answers import Explanation
from parts.records.snapshot import Snapshot
from parts.services.outages import near, position_row

if TYPE_CHECKING:
    from parts.calc.ranking.exposures import Exposures


def explain(exposed: Exposures, subject: str) -> Explanation:
    """Explain a part by its name, or a position written CRANE/POSITION.

    Raises UnknownName for what is neither.
    """
    from parts.calc.ranking.explanations import explain_part

    if subject in exposed.snapshot.parts:
        return explain_part(exposed, subject)
    return explain_position(exposed, *position_named(exposed.snapshot, subject))


def explain_position(exposed: Exposures, crane: str, position: str) -> Explanation:
    """How the figures of a position came about; UnknownName where there is none."""
    from parts.calc.ranking.explanations import explain_position as reckon

    position_row(exposed.outage, crane, position)
    try:
        return reckon(exposed, crane, position)
    except KeyError:
        raise UnknownName("position with a part", f"{crane}/{position}") from None


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
