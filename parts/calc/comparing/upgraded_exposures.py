"""Exposures of a site with upgrades carried out, on what is known today.

Rates, lives and planned use stay as the site's records tell them today: a part that is taken out
has failed as often as it has, and a new one has not run an hour. Only what sits where changes.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.calc.comparing.upgrades import Place, Refit
from parts.calc.failing.exchanges import Exchanges
from parts.calc.failing.fleet import Fleet
from parts.calc.failing.outages import FleetOutage
from parts.calc.likelihoods.demand import Demand
from parts.calc.likelihoods.likelihood import Likelihood
from parts.calc.likelihoods.lives import Life
from parts.calc.likelihoods.rates import PartRate
from parts.calc.ranking.exposures import Exposures
from parts.records.snapshot import Snapshot

Array = NDArray[np.float64]


class UpgradedLikelihood(Likelihood):
    """Failures to expect by the rates and lives of today, times what an upgrade makes of them."""

    def __init__(
        self, snapshot: Snapshot, fleet: Fleet, today: Likelihood, factors: Mapping[Place, float]
    ) -> None:
        super().__init__(snapshot, fleet)
        self._today = today
        self._factors = np.ones(len(fleet.parent))
        for (crane, position), factor in factors.items():
            self._factors[fleet.row(crane, position)] = factor

    def rate(self, part: str) -> PartRate | None:
        return self._today.rate(part)

    def life(self, part: str) -> Life | None:
        return self._today.life(part)

    def failures_in_year(self, year: int) -> Array:
        return super().failures_in_year(year) * self._factors


class ChangedExposures(Exposures):
    """Exposures of a site that was changed in thought."""

    def __init__(
        self,
        now: Exposures,
        changed: Snapshot,
        factors: Mapping[Place, float] | None = None,
        exchanges: Exchanges | None = None,
    ) -> None:
        """`factors`: by how much more or less often some positions fail; `exchanges`: those of
        today, where every part is got as today."""
        super().__init__(FleetOutage(changed, exchanges=exchanges))
        self._now = now
        self.likelihood = UpgradedLikelihood(changed, self.fleet, now.likelihood, factors or {})

    @cached_property
    def demand(self) -> Demand:
        return Demand(self.fleet, self.likelihood.failures_next_year, self._now.demand.planned)


class UpgradedExposures(ChangedExposures):
    """Exposures of a refitted site."""

    def __init__(self, now: Exposures, refit: Refit) -> None:
        # what sits on a working crane is no way to get a part; only retired ones give theirs
        works = all(now.snapshot.is_live(each.crane) for each in refit.effects)
        same = now.outage.exchanges if works else None
        super().__init__(now, refit.after, refit.factors, same)
