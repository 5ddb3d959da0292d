"""How long each position waits on average when stock is replenished as it is used.

A position is restored by its part or by an assembly above it, whichever takes fewer days; an
assembly counts only where no lead time of its set is assumed. What is restored through an assembly
is demand on that assembly, while the parts inside keep theirs: the removed one is rebuilt. Waits
and choices are reckoned in turns until the choice stands.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from parts.calc.failing.fleet import NONE, Index
from parts.calc.failing.outages import FleetOutage
from parts.calc.getting.supply import NEVER
from parts.calc.waiting.horizons import Horizons
from parts.calc.waiting.part_sets import PartSets, SetWait
from parts.calc.waiting.poisson import Floats, units_a_year
from parts.calc.waiting.restocking import Restocking
from parts.calc.waiting.uses import Uses

# where the choice flips for ever, the waits by which this one was made stand
LAST_CHOICE = 10


@dataclass(frozen=True)
class _Choice:
    """What is exchanged for each listed position, and the uses and waits that made it so."""

    uses: Uses
    waits: dict[str, SetWait]
    restore_days: Floats
    replaced: Index


class LongRun:
    """Long-run waits of all live positions of a fleet.

    Arguments: outage (of the whole fleet), failures_next_year (of each position, (number of
    positions,), nan where not known, which counts 0), planned_per_year (uses of each part that
    are no failure), restocking (as it is today unless told otherwise), horizons (where they are
    known already).
    """

    def __init__(
        self,
        outage: FleetOutage,
        failures_next_year: Floats,
        planned_per_year: Mapping[str, float],
        restocking: Restocking | None = None,
        horizons: Horizons | None = None,
    ) -> None:
        self.snapshot = outage.snapshot
        self.fleet = outage.fleet
        self.restocking = restocking or Restocking(
            outage.snapshot, outage.exchanges.supplies, outage.fleet
        )
        horizons = horizons or Horizons(outage.snapshot, outage.fleet)
        self.sets = PartSets(outage.snapshot, self.restocking, horizons)
        self.failures_next_year = failures_next_year
        self.planned_per_year = planned_per_year

    @property
    def restore_days(self) -> Floats:
        """Expected wait and hands-on days of each position; nan where not known or not listed."""
        return self._settled.restore_days

    @property
    def replaced(self) -> Index:
        """The row that is exchanged for each position: itself or an assembly above it."""
        return self._settled.replaced

    @cached_property
    def hands_on_days(self) -> Floats:
        """Of what is exchanged for each position; substitutes' extra hours are left out."""
        return self._own_hands_on_days[self.replaced]

    @cached_property
    def wait_days(self) -> Floats:
        """Of what is exchanged for each position; nan where not known or not listed."""
        return np.maximum(self.restore_days - self.hands_on_days, 0.0)

    def set_wait(self, row: int) -> SetWait | None:
        """What a position waits for, member by member; None where no part is recorded."""
        part = self.snapshot.positions.part[int(self.replaced[row])]
        return None if part is None else self.set_wait_of(part)

    def set_wait_of(self, part: str) -> SetWait:
        """What a failure of a part waits for."""
        found = self._settled.waits.get(part)
        return self.sets.wait(part, self._settled.uses) if found is None else found

    def demand_per_year(self, part: str) -> float:
        """Units a year asked of the pool that a part is in, failures restored through it too."""
        pool = self.restocking.of(part).pool
        return units_a_year(self._settled.uses.batches(pool))

    @cached_property
    def _own_hands_on_days(self) -> Floats:
        return self.fleet.exchange_hours / self.snapshot.site.hours_per_day

    @cached_property
    def _rates(self) -> Floats:
        """Failures a year of the listed positions; what is not known counts 0."""
        found = np.zeros(len(self.fleet.parent))
        rows = self.fleet.listed
        found[rows] = np.nan_to_num(self.failures_next_year[rows])
        return found

    @cached_property
    def _part_names(self) -> list[str]:
        return sorted(self.snapshot.parts)

    @cached_property
    def _part_number(self) -> Index:
        """Number of each position's part among the names; -1 where it has none."""
        number: dict[str | None, int] = {name: at for at, name in enumerate(self._part_names)}
        parts = self.snapshot.positions.part
        return np.array([number.get(part, NONE) for part in parts], dtype=np.int64)

    @cached_property
    def _own_uses(self) -> Floats:
        """Failures and planned uses of each part a year, what is restored through it left out."""
        planned = [self.planned_per_year.get(name, 0.0) for name in self._part_names]
        rows = np.flatnonzero(self.fleet.has_part)
        return np.array(planned) + self._by_part(rows, self._rates[rows])

    def _by_part(self, rows: Index, rates: Floats) -> Floats:
        found = np.zeros(len(self._part_names))
        np.add.at(found, self._part_number[rows], rates)
        return found

    @cached_property
    def _waiting_parts(self) -> list[str]:
        """Parts that some live position waits for."""
        numbers = np.unique(self._part_number[self.fleet.live & self.fleet.has_part])
        return [self._part_names[number] for number in numbers.tolist()]

    @cached_property
    def _settled(self) -> _Choice:
        through = np.zeros(len(self._part_names))
        choice = self._choose(through, {})
        for _ in range(LAST_CHOICE - 1):
            more = self._through(choice.replaced)
            standing = self._untouched(choice.waits, np.flatnonzero(more != through))
            before, through = choice, more
            choice = self._choose(through, standing)
            if np.array_equal(choice.replaced, before.replaced):
                break
        return choice

    def _through(self, replaced: Index) -> Floats:
        """Failures a year restored through each assembly's part, besides its own."""
        rows = self.fleet.listed[replaced[self.fleet.listed] != self.fleet.listed]
        return self._by_part(replaced[rows], self._rates[rows])

    def _untouched(self, waits: dict[str, SetWait], changed: Index) -> dict[str, SetWait]:
        """Waits of sets that share no stock with parts whose demand has changed."""
        names = (self._part_names[number] for number in changed.tolist())
        pools = set().union(*(self.sets.takes(name).stocks for name in names))
        return {
            part: wait
            for part, wait in waits.items()
            if pools.isdisjoint(self.sets.takes(part).stocks)
        }

    def _choose(self, through: Floats, standing: dict[str, SetWait]) -> _Choice:
        """The waits at this demand, and what they make the best exchange of each position."""
        rates = (self._own_uses + through).tolist()
        uses = Uses(
            (rate, self.sets.takes(part))
            for part, rate in zip(self._part_names, rates, strict=True)
            if rate > 0.0
        )
        waits = {part: standing.get(part) or self.sets.wait(part, uses)
                 for part in self._waiting_parts}  # fmt: skip
        restore_days, replaced = self._best(waits)
        return _Choice(uses, waits, restore_days, replaced)

    def _best(self, waits: dict[str, SetWait]) -> tuple[Floats, Index]:
        """Least days over each position and the assemblies above it; ties stay low."""
        days = np.full(len(self._part_names) + 1, NEVER)  # the last one is that of no part
        known = days.copy()
        number = {name: at for at, name in enumerate(self._part_names)}
        for part, wait in waits.items():
            if wait.wait_days is not None:
                days[number[part]] = wait.wait_days
                known[number[part]] = NEVER if wait.assumed else wait.wait_days
        rows, hands_on = self.fleet.listed, self._own_hands_on_days
        assembly_days = known[self._part_number] + hands_on
        best, replaced = (days[self._part_number] + hands_on)[rows], rows.copy()
        for level in self.fleet.levels:
            above = level[rows]
            sooner = np.where(above == NONE, NEVER, assembly_days[above]) < best
            best = np.where(sooner, assembly_days[above], best)
            replaced = np.where(sooner, above, replaced)
        restore_days = np.full(len(hands_on), np.nan)
        restore_days[rows] = np.where(best == NEVER, np.nan, best)
        every = np.arange(len(hands_on))
        every[rows] = replaced
        return restore_days, every
