"""A site played event by event: one process for each position, each use and each order.

Slow and plain on purpose, to check the simulation of whole fleets against. It is written for the
simpy library from the site's records; what it takes from the reckoning are the rates, the pools
with their leads, and which assembly is exchanged, since these are what both sides start from.
Parts of a crane that stands still keep what is left of their lives.
"""

from __future__ import annotations

from collections.abc import Generator
from random import Random
from typing import Any

import numpy as np
import simpy
from numpy.typing import NDArray

from parts.calc.failing.consequences import CraneNeeds, lost_share, state_of
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.ranking.exposures import Exposures
from parts.records.states import State

Process = Generator[simpy.Event, Any, None]


def lost_days_per_year(
    exposed: Exposures, runs: int, years: float, seed: int
) -> NDArray[np.float64]:
    """Lost days a year of each run and crane, (runs, cranes), after a start that is not counted."""
    rng = Random(seed)  # noqa: S311 - a simulation, not a secret
    return np.array([_Site(exposed, rng).lost_days(years) for _ in range(runs)]) / years


class _Crane:
    """What is out on one crane, whether it stands still, and what it has lost so far."""

    def __init__(self, env: simpy.Environment, needs: CraneNeeds) -> None:
        self.env, self.needs = env, needs
        self.out: set[str] = set()
        self.share, self.since, self.lost = 0.0, 0.0, 0.0
        self.changed = env.event()

    @property
    def stands(self) -> bool:
        return state_of(self.share) is State.DOWN

    def count(self) -> float:
        """Days lost up to now."""
        self.lost += self.share * (self.env.now - self.since)
        self.since = self.env.now
        return self.lost

    def change(self, position: str, out: bool) -> None:
        self.count()
        if out:
            self.out.add(position)
        else:
            self.out.remove(position)
        dead = self.needs.killed(self.out)
        self.share = lost_share(
            share for name, share in self.needs.functions.items() if name in dead
        )
        changed, self.changed = self.changed, self.env.event()
        changed.succeed()


class _Shelf:
    """A pool; what cannot be bought again is a count that is refilled when its years are over."""

    def __init__(
        self, env: simpy.Environment, stock: int, lead_days: float, years: float | None, rng: Random
    ) -> None:
        self.env, self.stock, self.lead_days = env, stock, lead_days
        self.units = simpy.Container(env, init=stock)
        self.lasts = None if years is None else years * DAYS_A_YEAR
        self.left = stock
        if self.lasts is not None:
            env.process(self._refill(self.lasts, rng.random() * self.lasts))

    def take(self, units: int) -> simpy.Event:
        """An event that comes when all the units are there."""
        if self.lasts is None:
            self.env.process(self._order(units))
            return self.units.get(units)
        self.left -= units
        return self.env.timeout(0.0 if self.left >= 0 else self.lead_days)

    def _order(self, units: int) -> Process:
        yield self.env.timeout(self.lead_days)
        self.units.put(units)

    def _refill(self, every: float, first: float) -> Process:
        yield self.env.timeout(first)
        while True:
            self.left = self.stock
            yield self.env.timeout(every)


class _Site:
    def __init__(self, exposed: Exposures, rng: Random) -> None:
        self.exposed, self.rng, self.env = exposed, rng, simpy.Environment()
        self.long_run, snapshot = exposed.long_run, exposed.snapshot
        self.cranes = {
            name: _Crane(self.env, exposed.needs[name]) for name in exposed.outage.crane_names
        }
        self.shelves: dict[str, _Shelf] = {}
        self.companions: dict[str, list[tuple[str, int, float]]] = {}
        for row in snapshot.companions:
            one = row.companion, row.qty, row.chance
            self.companions.setdefault(row.part, []).append(one)
        for row_number in exposed.fleet.listed.tolist():
            rate = float(exposed.likelihood.failures_next_year[row_number])
            if rate > 0.0:
                self.env.process(self._position(row_number, rate / DAYS_A_YEAR))
        for part, per_year in exposed.planned_per_year.items():
            if per_year > 0.0:
                self.env.process(self._planned(part, per_year / DAYS_A_YEAR))

    def lost_days(self, years: float) -> list[float]:
        start = self._settling_days()
        self.env.run(until=start)
        before = [crane.count() for crane in self.cranes.values()]
        self.env.run(until=start + years * DAYS_A_YEAR)
        after = [crane.count() for crane in self.cranes.values()]
        return [late - early for late, early in zip(after, before, strict=True)]

    def _settling_days(self) -> float:
        """A shelf that lasts for years must have been refilled once."""
        pools = [self.long_run.restocking.of(part) for part in self.exposed.snapshot.parts]
        years = [self._years(part) or 0.0 for part in self.exposed.snapshot.parts]
        leads = [pool.lead_days or 0.0 for pool in pools]
        return max(2.0 * max(leads, default=0.0), DAYS_A_YEAR * max(years, default=0.0)) + 10.0

    def _years(self, part: str) -> float | None:
        pool = self.long_run.restocking.of(part)
        lasts = pool.assumed and pool.stock > 0
        return self.long_run.sets.horizons.of(pool.parts).years if lasts else None

    def _shelf(self, part: str) -> _Shelf:
        pool = self.long_run.restocking.of(part)
        if pool.pool not in self.shelves:
            lead_days = pool.lead_days
            assert lead_days is not None, part
            self.shelves[pool.pool] = _Shelf(
                self.env, pool.stock, lead_days, self._years(part), self.rng
            )
        return self.shelves[pool.pool]

    def _use(self, part: str) -> simpy.Event:
        """Take a part and what goes with it; comes when all of it is there."""
        taken = [self._shelf(part).take(1)]
        for companion, qty, chance in self.companions.get(part, ()):
            if chance >= 1.0 or self.rng.random() < chance:
                taken.append(self._shelf(companion).take(qty))
        return self.env.all_of(taken)

    def _planned(self, part: str, per_day: float) -> Process:
        while True:
            yield self.env.timeout(self.rng.expovariate(per_day))
            self._use(part)

    def _position(self, row: int, per_day: float) -> Process:
        positions, replaced = self.exposed.snapshot.positions, int(self.long_run.replaced[row])
        crane, name = self.cranes[positions.crane[row]], positions.position[row]
        hours = self.exposed.fleet.exchange_hours[replaced]
        hands_on = float(hours) / self.exposed.snapshot.site.hours_per_day
        fitted, rebuilt = positions.part[replaced], positions.part[row]
        assert fitted is not None, name
        assert rebuilt is not None, name
        while True:
            yield from self._live(crane, self.rng.expovariate(per_day))
            crane.change(name, out=True)
            ready = self._use(fitted)
            if replaced != row:
                self._use(rebuilt)
            yield ready
            yield self.env.timeout(hands_on)
            crane.change(name, out=False)

    def _live(self, crane: _Crane, left: float) -> Process:
        """Work until the life is over; while the crane stands still, nothing wears."""
        while left > 0.0:
            if crane.stands:
                yield crane.changed
                continue
            begun, over = self.env.now, self.env.timeout(left)
            yield over | crane.changed
            if over.processed:
                return
            left -= self.env.now - begun
