"""How long a part will still be asked for: until the last crane that uses it is retired.

A crane without a date counts for the site's horizon, which is an assumption. An upgrade is a
choice until it is carried out, so none shortens the time here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from parts.calc.failing.fleet import Fleet
from parts.calc.likelihoods.years import years_between
from parts.records.snapshot import Snapshot


@dataclass(frozen=True, slots=True)
class Horizon:
    """Years for which a part is asked for; `assumed` = no date is known for the last user."""

    years: float
    assumed: bool


@dataclass(frozen=True)
class Horizons:
    """How long each part of a snapshot will be asked for."""

    snapshot: Snapshot
    fleet: Fleet

    def of(self, parts: Iterable[str]) -> Horizon:
        """Until the last user goes; the site's horizon where nothing uses the parts."""
        cranes = set().union(*(self._cranes[part] for part in self._with_takers(parts)))
        ends = [self._of_crane(crane) for crane in cranes]
        none_uses_it = Horizon(self.snapshot.site.horizon_years, True)
        return max(ends, key=lambda end: (end.years, not end.assumed), default=none_uses_it)

    def _of_crane(self, crane: str) -> Horizon:
        retire_on = self.snapshot.cranes[crane].retire_on
        if retire_on is None:
            return Horizon(self.snapshot.site.horizon_years, True)
        return Horizon(years_between(self.snapshot.today, retire_on), False)

    def _with_takers(self, parts: Iterable[str]) -> set[str]:
        """The parts and those that take them along."""
        own = set(parts)
        return own | set().union(*(self._takers[part] for part in own))

    @cached_property
    def _takers(self) -> dict[str, set[str]]:
        found = defaultdict[str, set[str]](set)
        for row in self.snapshot.companions:
            if row.chance > 0.0:
                found[row.companion].add(row.part)
        return found

    @cached_property
    def _cranes(self) -> dict[str, set[str]]:
        """Live cranes in which each part sits."""
        positions, found = self.snapshot.positions, defaultdict[str, set[str]](set)
        for row in np.flatnonzero(self.fleet.live & self.fleet.has_part).tolist():
            found[positions.part[row] or ""].add(positions.crane[row])
        return found
