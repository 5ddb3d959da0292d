"""What can happen on a site, as numbered kinds of event for the simulation.

A kind is the failure of one position or the planned use of one part. It takes units of pools by
its recipe. Knows what a kind takes and how often it comes, neither when nor what follows.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.calc.failing.fleet import Index
from parts.calc.ranking.exposures import Exposures
from parts.calc.waiting.poisson import Floats
from parts.calc.waiting.restocking import Restock
from parts.calc.waiting.uses import Takes

Flags = NDArray[np.bool_]
FAILS_OF_A_PAST_LIFE = "weibull"


@dataclass(frozen=True, slots=True)
class Lines:
    """What the recipes take: line j of recipe r at [r, j]; recipe r has `count[r]` lines.

    `chance` is that of its being taken; `waits` tells whether the failure waits for it, since the
    rebuilding of a removed assembly takes units for which no crane waits.
    """

    count: Index
    pool: Index
    units: Index
    chance: Floats
    waits: Flags


@dataclass(frozen=True, slots=True)
class Ageing:
    """Kinds that fail by age, one row for each unit: (units,) each, in years."""

    kind: Index
    shape: Floats
    scale: Floats
    age: Floats


class SimulatedFleet:
    """Kinds of event of a site; failures come first, in the order of `rows`."""

    def __init__(self, exposed: Exposures) -> None:
        self.exposed = exposed
        self.long_run = exposed.long_run
        self.fleet = exposed.fleet
        failures = np.nan_to_num(exposed.likelihood.failures_next_year)
        listed = self.fleet.listed
        self.rows = listed[failures[listed] > 0.0]
        planned = exposed.planned_per_year
        self.planned = [part for part in sorted(planned) if planned[part] > 0.0]
        self.per_year = np.array([*failures[self.rows], *(planned[part] for part in self.planned)])
        self.cranes = list(exposed.outage.crane_names)

    @cached_property
    def restorable(self) -> Flags:
        """Kinds that put a position out for a time that is known."""
        found = np.zeros(len(self.per_year), dtype=bool)
        found[: len(self.rows)] = ~np.isnan(self.long_run.restore_days[self.rows])
        return found

    @cached_property
    def hands_on_days(self) -> Floats:
        found = np.zeros(len(self.per_year))
        found[: len(self.rows)] = self.long_run.hands_on_days[self.rows]
        return np.where(self.restorable, found, 0.0)

    @cached_property
    def crane(self) -> Index:
        """Number of each kind's crane; planned uses have one that never stops."""
        number = {name: at for at, name in enumerate(self.cranes)}
        names = self.exposed.snapshot.positions.crane
        found = [number[names[row]] for row in self.rows.tolist()]
        return np.array(found + [len(self.cranes)] * len(self.planned), dtype=np.int64)

    @cached_property
    def _recipes(self) -> tuple[Index, list[tuple[tuple[Takes, bool], ...]]]:
        """The recipe of each kind, and what each recipe takes and waits for."""
        numbers: dict[tuple[tuple[str, bool], ...], int] = {}
        of_kind = [
            numbers.setdefault(uses, len(numbers))
            for uses in (*map(self._uses_of, self.rows.tolist()), *self._planned_uses())
        ]
        takes = self.long_run.sets.takes
        recipes = [tuple((takes(part), waits) for part, waits in uses) for uses in numbers]
        return np.array(of_kind, dtype=np.int64), recipes

    def _uses_of(self, row: int) -> tuple[tuple[str, bool], ...]:
        """Parts that a failure uses: what is exchanged, and what rebuilds a removed assembly."""
        parts, replaced = self.exposed.snapshot.positions.part, int(self.long_run.replaced[row])
        uses = [(parts[replaced], True)]
        if replaced != row:
            uses.append((parts[row], False))
        return tuple((part, waits) for part, waits in uses if part is not None)

    def _planned_uses(self) -> Iterator[tuple[tuple[str, bool], ...]]:
        return (((part, False),) for part in self.planned)

    @property
    def recipe(self) -> Index:
        return self._recipes[0]

    @cached_property
    def pools(self) -> list[Restock]:
        """Pools that some kind takes from and that come back in a time that is known."""
        names = sorted({
            name for uses in self._recipes[1] for takes, _ in uses for name in takes.stocks
        })  # fmt: skip
        found = (self.long_run.restocking.of(name) for name in names)
        return [pool for pool in found if pool.lead_days is not None]

    def years_left(self, pool: Restock) -> float:
        """How long a pool has to last that cannot be bought again; nan for one that can."""
        if not pool.assumed:
            return float("nan")
        return self.long_run.sets.horizons.of(pool.parts).years

    @cached_property
    def lines(self) -> Lines:
        number = {pool.pool: at for at, pool in enumerate(self.pools)}
        recipes = [
            [
                (number[pool], units, chance, waits)
                for takes, waits in uses
                for pool, units, chance in _all_of(takes)
                if pool in number
            ]
            for uses in self._recipes[1]
        ]
        longest = max(map(len, recipes), default=0)
        padded = np.zeros((4, len(recipes), longest))
        for at, lines in enumerate(recipes):
            padded[:, at, : len(lines)] = np.array(lines, dtype=float).reshape(-1, 4).T
        return Lines(
            np.array([len(lines) for lines in recipes], dtype=np.int64),
            padded[0].astype(np.int64),
            padded[1].astype(np.int64),
            padded[2],
            padded[3] > 0.0,
        )

    @cached_property
    def ageing(self) -> Ageing:
        """Units of the positions whose failures rest on a life and a known age."""
        likelihood, positions = self.exposed.likelihood, self.exposed.snapshot.positions
        found = []
        for kind, row in enumerate(self.rows.tolist()):
            life = likelihood.life(positions.part[row] or "")
            if likelihood.basis[row] == FAILS_OF_A_PAST_LIFE and life is not None:
                ages = likelihood.ages
                age = (ages.hours if life.basis == "hours" else ages.years)[row]
                a_year = ages.year_of(life.basis)[row]
                unit = (kind, life.shape, life.scale / a_year, age / a_year)
                found += [unit] * positions.qty[row]
        kinds, shapes, scales, at_age = np.array(found, dtype=float).reshape(-1, 4).T
        return Ageing(kinds.astype(np.int64), shapes, scales, at_age)


def _all_of(takes: Takes) -> Iterator[tuple[str, int, float]]:
    for pool, units in takes.certain:
        yield pool, units, 1.0
    yield from takes.by_chance
