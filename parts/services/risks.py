"""What matters most in the coming year, how firm that is, and on what it rests."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from parts.records.risk_answers import CraneRisk, DutyAnswer, LikelyAnswer, PartOutlook, PartRisk
from parts.records.snapshot import Snapshot
from parts.services.collector import collector_paused
from parts.services.outages import known_crane, outage

if TYPE_CHECKING:
    from parts.calc.failing.outages import FleetOutage
    from parts.calc.ranking.exposures import Exposures

CUT_SET_ORDER = 2


def exposures(snapshot: Snapshot, fleet: FleetOutage | None = None) -> Exposures:
    """Lost days and money a year of every position; the other answers here start from it."""
    from parts.calc.ranking.exposures import Exposures

    with collector_paused():
        found = Exposures(fleet or outage(snapshot))
        found.costs  # noqa: B018 - reckoned now, while the collector pauses
    return found


def risks(
    exposed: Exposures, by: Literal["exposure", "supply"] = "exposure", top: int | None = None
) -> tuple[PartRisk, ...]:
    """The parts ranked, or the first `top` of them; what is not known stands at the head."""
    from parts.calc.ranking.risks import Risks

    return Risks(exposed, by).answer(top)


def crane_risk(exposed: Exposures, crane: str, order: int = CUT_SET_ORDER) -> CraneRisk:
    """One crane's year: unavailability, lost days, weak pairs, importance of each position.

    Raises UnknownName for a crane that is not there.
    """
    known_crane(exposed.snapshot, crane)
    return exposed.crane(crane, order)


def likely(exposed: Exposures) -> LikelyAnswer:
    """Rates and lives, demand, how long parts can be had, working periods."""
    from parts.calc.ranking.outlooks import Outlooks

    return Outlooks(exposed).answer()


def watch_list(exposed: Exposures) -> tuple[PartOutlook, ...]:
    """Parts whose time on the market is running out: those with a last day first, then by the
    chance to have them in three years."""
    from parts.calc.ranking.outlooks import Outlooks

    outlooks = Outlooks(exposed)
    found = [outlooks.part(part) for part in exposed.fleet.live_parts]
    watched = [each for each in found if each.closes_on or _fading(each)]
    return tuple(
        sorted(
            watched,
            key=lambda each: (
                each.closes_on is None,
                each.closes_on or exposed.snapshot.today,
                _chance(each),
                each.part,
            ),
        )
    )


def _chance(part: PartOutlook) -> float:
    chance = part.obtainable[3]
    return 0.0 if chance is None else chance


def _fading(part: PartOutlook) -> bool:
    chance = part.obtainable[3]
    return chance is not None and chance < 0.5


def duty(
    exposed: Exposures, hours_factor: float = 1.0, km: float | None = None
) -> tuple[DutyAnswer, ...]:
    """Working periods of the mechanisms, those used up most first.

    As used, or with `hours_factor` times the hours a year and loads of at least `km` from today on.
    """
    from parts.calc.ranking.outlooks import Outlooks

    return Outlooks(exposed).duty(hours_factor, km)
