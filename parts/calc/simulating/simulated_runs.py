"""Runs of a fleet side by side: step n plays the n-th event of each run.

Each event finds its crane at work or standing still and its position in place or out, takes its
units and puts the position out until it is restored. Knows nothing of what an outage costs in work;
the rules of the play stand in `simulation`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from parts.calc.failing.fleet import Index
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.simulating.simulated_events import draw
from parts.calc.simulating.simulated_fleet import SimulatedFleet
from parts.calc.simulating.simulated_outages import CraneWork, Outages
from parts.calc.simulating.simulated_stock import Shelves
from parts.calc.waiting.poisson import Floats

TELL_EVERY = 500  # steps

Progress = Callable[[int, int], None]


def warm_up_days(fleet: SimulatedFleet) -> float:
    """Days after which the shelves no longer know how they began."""
    leads = (pool.lead_days or 0.0 for pool in fleet.pools)
    return 2.0 * max(leads, default=0.0) + float(fleet.hands_on_days.max(initial=0.0))


def works_of(fleet: SimulatedFleet) -> list[CraneWork]:
    names, exposed = fleet.exposed.snapshot.positions.position, fleet.exposed
    slices, fails = fleet.fleet.slices, fleet.fleet.fails_by_itself
    return [
        CraneWork(exposed.needs[crane], [names[row] for row in _rows(slices[crane]) if fails[row]])
        for crane in fleet.cranes
    ]


def _rows(of_crane: slice) -> range:
    return range(of_crane.start, of_crane.stop)


class Runs:
    """So many runs of a fleet, played from shelves that are full to the end of the years."""

    def __init__(
        self,
        fleet: SimulatedFleet,
        works: Sequence[CraneWork],
        runs: int,
        years: float,
        rng: np.random.Generator,
    ) -> None:
        self.fleet, self.works, self.rng = fleet, works, rng
        start = warm_up_days(fleet)
        self.counted = start, start + years * DAYS_A_YEAR
        self.runs = runs
        self.events = draw(fleet, runs, self.counted[1] / DAYS_A_YEAR, rng)
        self.shelves = Shelves(fleet, runs, rng)
        kinds = len(fleet.per_year)
        self.place = np.zeros(kinds, dtype=np.int64)
        self.matters, self.stops, self.stops_together = np.zeros((3, kinds), dtype=bool)
        self._know_the_kinds()
        # of planned uses, the last row: they are never out
        self.out_until = np.full((runs, len(fleet.rows) + 1), -np.inf)
        self.slot = np.minimum(np.arange(kinds), len(fleet.rows))
        self.stands_until = np.full((runs, len(works) + 1), -np.inf)
        self.end = np.full(self.events.days.shape, -np.inf)

    def _know_the_kinds(self) -> None:
        firsts = [self.fleet.fleet.slices[crane].start for crane in self.fleet.cranes]
        self.partners: list[list[int]] = [[] for _ in self.works]
        matters = [work.matters for work in self.works]
        together = [work.stops_together for work in self.works]
        for kind, row in enumerate(self.fleet.rows.tolist()):
            crane = int(self.fleet.crane[kind])
            place = self.place[kind] = row - firsts[crane]
            if self.fleet.restorable[kind]:
                self.matters[kind] = matters[crane] >> int(place) & 1
                self.stops[kind] = self.works[crane].stops(1 << int(place))
                self.stops_together[kind] = together[crane] >> int(place) & 1
            if self.stops_together[kind]:
                self.partners[crane].append(kind)

    def play(self, progress: Progress | None) -> None:
        steps = len(self.events.days)
        for step in range(steps):
            if progress is not None and step % TELL_EVERY == 0:
                progress(step, steps)
            self._step(step)
        if progress is not None:
            progress(steps, steps)

    def _step(self, step: int) -> None:
        now, kind = self.events.days[step], self.events.kind[step]
        happens = now < np.inf
        happens &= self.stands_until[np.arange(len(now)), self.fleet.crane[kind]] <= now
        happens &= self.out_until[np.arange(len(now)), self.slot[kind]] <= now
        run = np.flatnonzero(happens)
        now, kind = now[run], kind[run]
        ready = self._take(run, now, self.fleet.recipe[kind])
        end = np.where(self.fleet.restorable[kind], ready + self.fleet.hands_on_days[kind], now)
        self.out_until[run, self.slot[kind]] = end
        self.end[step, run] = end
        crane = self.fleet.crane[kind]
        alone = self.stops[kind]
        self.stands_until[run[alone], crane[alone]] = end[alone]
        together = np.flatnonzero(self.stops_together[kind])
        for at in together.tolist():
            self._stop_together(int(run[at]), int(crane[at]), float(now[at]))

    def _stop_together(self, run: int, crane: int, now: float) -> None:
        """A crane stands still while enough of its twins are out."""
        partners = self.partners[crane]
        ends = self.out_until[run, partners].tolist()
        out = [
            (end, int(self.place[kind]))
            for end, kind in zip(ends, partners, strict=True)
            if end > now
        ]
        if len(out) > 1:
            self.stands_until[run, crane] = self.works[crane].stands_until(out)

    def _take(self, run: Index, now: Floats, recipe: Index) -> Floats:
        """Take what these recipes take; the days on which all that is waited for is there."""
        ready, lines = now.copy(), self.fleet.lines
        count = lines.count[recipe]
        for line in range(int(count.max(initial=0))):
            at = np.flatnonzero(count > line)
            chance = lines.chance[recipe[at], line]
            if (chance < 1.0).any():
                at = at[self.rng.random(len(at)) < chance]
            of = recipe[at]
            there = self.shelves.take(run[at], now[at], lines.pool[of, line], lines.units[of, line])
            waited = np.where(lines.waits[of, line], there, now[at])
            ready[at] = np.maximum(ready[at], waited)
        return ready

    def outages(self) -> Outages:
        """What was out for some time in the years that count, cut to them."""
        kind = self.events.kind
        first, last = self.counted
        start, end = np.maximum(self.events.days, first), np.minimum(self.end, last)
        step, run = np.nonzero((end > start) & self.matters[kind])
        kind = kind[step, run]
        crane, place = self.fleet.crane[kind], self.place[kind]
        return Outages(run, crane, place, start[step, run], end[step, run])
