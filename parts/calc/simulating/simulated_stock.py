"""The shelves of many runs at once: what a use takes, and when the last unit of it is there.

Each unit used is ordered again at once and is there after a fixed time; who came first is served
first. So the n-th unit asked for of S is the one ordered with the (n - S)-th, and a shelf is a
ring of the S days on which its units are there again. What cannot be bought again is used up
until its years are over; a run sees a moment of chance in those years, since the formulas average
over them, and at their end it is filled up and they begin anew.
"""

from __future__ import annotations

import numpy as np

from parts.calc.failing.fleet import Index
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.simulating.simulated_fleet import Flags, SimulatedFleet
from parts.calc.waiting.poisson import Floats


class Shelves:
    """The pools of a fleet in so many runs; uses come in the order of time."""

    def __init__(self, fleet: SimulatedFleet, runs: int, rng: np.random.Generator) -> None:
        self.stock = np.array([pool.stock for pool in fleet.pools], dtype=np.int64)
        self.lead_days = np.array([pool.lead_days or 0.0 for pool in fleet.pools])
        self.days_left = DAYS_A_YEAR * np.array([fleet.years_left(pool) for pool in fleet.pools])
        self.comes_back = np.isnan(self.days_left)
        slots = np.where(self.comes_back, self.stock, 0)
        self._first = np.cumsum(slots) - slots
        self._there_again = np.full((runs, int(slots.sum())), -np.inf)
        self._next = np.zeros((runs, len(self.stock)), dtype=np.int64)
        self._used, self._ends = self._at_a_moment_of_chance(fleet, runs, rng)

    def take(self, run: Index, now: Floats, pool: Index, units: Index) -> Floats:
        """Take units for one use of each of these runs; the days on which all are there."""
        ready: Floats = now + self.lead_days[pool]
        lasting = ~self.comes_back[pool]
        if lasting.any():
            each = run[lasting], now[lasting], pool[lasting], units[lasting]
            ready[lasting] -= np.where(self._use_up(*each), self.lead_days[pool[lasting]], 0.0)
        kept = ~lasting & (self.stock[pool] > 0)
        if kept.any():
            ready[kept] = self._exchange(run[kept], now[kept], pool[kept], units[kept])
        return ready

    def _exchange(self, run: Index, now: Floats, pool: Index, units: Index) -> Floats:
        """One ring each: the last unit's slot tells when it is there; all slots are refilled."""
        stock, first, at = self.stock[pool], self._first[pool], self._next[run, pool]
        last = first + (at + units - 1) % stock
        ordered = now + self.lead_days[pool]
        ready: Floats = np.where(
            units <= stock, np.maximum(now, self._there_again[run, last]), ordered
        )
        if (units == 1).all():
            self._there_again[run, last] = ordered
        else:
            taken = np.minimum(units, stock)  # a ring holds no more
            whose = np.repeat(np.arange(len(run)), taken)
            step = np.arange(len(whose)) - np.repeat(np.cumsum(taken) - taken, taken)
            start = (at + units - taken)[whose]
            slot = first[whose] + (start + step) % stock[whose]
            self._there_again[run[whose], slot] = ordered[whose]
        self._next[run, pool] = (at + units) % stock
        return ready

    def _use_up(self, run: Index, now: Floats, pool: Index, units: Index) -> Flags:
        """Whether what is left covers the use."""
        over = now >= self._ends[run, pool]
        if over.any():
            again = run[over], pool[over]
            years = np.floor((now[over] - self._ends[again]) / self.days_left[pool[over]]) + 1.0
            self._ends[again] += years * self.days_left[pool[over]]
            self._used[again] = 0.0
        self._used[run, pool] += units
        covered: Flags = self._used[run, pool] <= self.stock[pool]
        return covered

    def _at_a_moment_of_chance(
        self, fleet: SimulatedFleet, runs: int, rng: np.random.Generator
    ) -> tuple[Floats, Floats]:
        """Units used and the day on which the years end, of what cannot be bought again."""
        used, ends = np.zeros((2, runs, len(self.stock)))
        for pool in np.flatnonzero(~self.comes_back).tolist():
            gone = rng.random(runs)
            ends[:, pool] = (1.0 - gone) * self.days_left[pool]
            units, per_year = _asked(fleet, pool)
            years = gone * self.days_left[pool] / DAYS_A_YEAR
            used[:, pool] = rng.poisson(years[:, None] * per_year) @ units
        return used, ends


def _asked(fleet: SimulatedFleet, pool: int) -> tuple[Index, Floats]:
    """Units that each line of a recipe takes of a pool, and how often a year it does."""
    lines = fleet.lines
    recipe, line = np.nonzero((lines.pool == pool) & (lines.chance > 0.0))
    of_recipe = np.bincount(fleet.recipe, fleet.per_year, minlength=len(lines.count))
    return lines.units[recipe, line], of_recipe[recipe] * lines.chance[recipe, line]
