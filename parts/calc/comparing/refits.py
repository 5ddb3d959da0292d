"""The exposure of a site in each state that its projects and spares may leave it in.

Each state is reckoned once, in full: projects share cranes, parts and stock, so that what two of
them save together is not what each saves alone. All figures are those of the ranking of risks, in
which a part whose last day lies ahead can still be bought.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from parts.calc.buying.plan_pricing import Pricing
from parts.calc.buying.plan_terms import PlanTerms
from parts.calc.buying.plans import Plans
from parts.calc.comparing.projects import Project
from parts.calc.comparing.upgraded_exposures import UpgradedExposures
from parts.calc.comparing.upgrades import Refit
from parts.calc.getting.prices import Purchase as Way
from parts.calc.ranking.exposures import Exposures
from parts.calc.waiting.restocking import Restock
from parts.records.comparison_answers import AS_IS, JOINED_BY
from parts.records.plan_answers import PlanAnswer, Purchase

Progress = Callable[[str], None]


class _OpenTerms(PlanTerms):
    """The pools of a site as the ranking of risks has them: nothing closes ahead of its day."""

    def _closes(self, restock: Restock, new: Sequence[Way]) -> bool:
        return False


@dataclass(frozen=True, slots=True)
class SiteState:
    """What a year costs by exposure, and the positions of which that is not known."""

    cost_per_year: float
    unknown: frozenset[str]


class Refits:
    """States of one site, by the names of the projects that are carried out."""

    def __init__(
        self, now: Exposures, plans: Plans | None = None, progress: Progress | None = None
    ) -> None:
        """`plans` are those of the site as it is, where they have been weighed already; `progress`
        is told what comes next, what it raises ends the reckoning."""
        self.now = now
        self._progress = progress
        self._plans = plans or Plans(now)
        self._states: dict[frozenset[str], SiteState] = {}

    def state(self, projects: Iterable[Project]) -> SiteState:
        """The site with some projects carried out."""
        chosen = tuple(projects)
        names = frozenset(each.name for each in chosen)
        if names not in self._states:
            self._tell("Weighing", names)
            self._states[names] = _state_of(self.exposures(chosen))
        return self._states[names]

    def exposures(self, projects: Iterable[Project]) -> Exposures:
        """In full; those of today where nothing is carried out."""
        effects = tuple(effect for each in projects for effect in each.effects)
        return (
            UpgradedExposures(self.now, Refit(self.now.snapshot, effects)) if effects else self.now
        )

    def plans(self, projects: Iterable[Project]) -> Plans:
        """What to buy once they are carried out."""
        chosen = tuple(projects)
        self._tell("Planning spares beside", (each.name for each in chosen))
        exposed = self.exposures(chosen)
        return self._plans if exposed is self.now else Plans(exposed)

    def _tell(self, what: str, names: Iterable[str]) -> None:
        if self._progress is not None:
            self._progress(f"{what} {JOINED_BY.join(sorted(names)) or AS_IS}")

    def with_spares(self, projects: Iterable[Project], plan: PlanAnswer) -> float:
        """Exposure a year with some projects carried out and the lines of a plan bought."""
        return priced(self.exposures(projects), (line.purchase for line in plan.lines))


def priced(exposed: Exposures, purchases: Iterable[Purchase]) -> float:
    """Exposure a year that purchases leave, by the ways and dates of the ranking of risks."""
    return Pricing(_OpenTerms(exposed)).price(purchases).exposure_cost


def _state_of(exposed: Exposures) -> SiteState:
    positions, days = exposed.snapshot.positions, exposed.days
    unknown = (row for row in exposed.fleet.listed.tolist() if np.isnan(days[row]))
    return SiteState(
        float(np.nansum(exposed.costs)),
        frozenset(f"{positions.crane[row]}/{positions.position[row]}" for row in unknown),
    )
