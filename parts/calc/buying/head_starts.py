"""What doing operations ahead takes off the time in which a part comes back, and what it costs.

An operation is done ahead with all before it that is not done. What lasts shortens every later
order; a blank serves one unit only, so it takes off its own saved days by the share of the demand
that it serves. Knows neither stock nor failures.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations

from parts.calc.getting.networks import critical_path
from parts.calc.getting.routes import Route, lasts

# so many unions of head starts of one route are weighed; beyond, single ones and all together
MOST_SETS = 64


@dataclass(frozen=True, slots=True)
class Started:
    """Operations of one route done ahead: `named` are those that take all the others along."""

    route: str
    operations: frozenset[str]
    named: tuple[str, ...]
    cost: float


@dataclass(frozen=True)
class HeadStarts:
    """The head starts of one route whose cost is known."""

    route: Route
    _lengths: dict[frozenset[str], float] = field(default_factory=dict, compare=False, repr=False)

    @cached_property
    def closures(self) -> dict[str, frozenset[str]]:
        """What each operation that can be done ahead takes along, itself included."""
        starts = self.route.head_starts()
        return {each.operation: frozenset(each.operations) for each in starts
                if each.cost is not None}  # fmt: skip

    @cached_property
    def sets(self) -> tuple[Started, ...]:
        """All sets that can be bought, cheapest first; without the empty one."""
        names = sorted(self.closures)
        if 2 ** len(names) > MOST_SETS:
            picks: Iterable[tuple[str, ...]] = [*((name,) for name in names), tuple(names)]
        else:
            picks = (pick for size in range(1, len(names) + 1)
                     for pick in combinations(names, size))  # fmt: skip
        found = {each.operations: each for each in map(self.started, picks)}
        return tuple(sorted(found.values(), key=lambda each: (each.cost, each.named)))

    def started(self, names: Iterable[str]) -> Started:
        """These operations with all that comes before them.

        Raises KeyError for an operation that cannot be done ahead at a known cost.
        """
        closures = [self.closures[name] for name in names]
        operations = frozenset[str]().union(*closures)
        taken = frozenset[str]().union(*(self.closures[name] - {name} for name in operations))
        named = tuple(sorted(operations - taken))
        return Started(self.route.name, operations, named, self.cost(operations))

    def cost(self, operations: Iterable[str]) -> float:
        rows = self.route.operations
        return sum(rows[name].ahead_cost or 0.0 for name in sorted(operations))

    def further_days(self, operations: frozenset[str], blank_share: float) -> float:
        """Mean days of a later unit by this route after these operations are done ahead.

        Arguments: operations (done ahead), blank_share (0-1, of all units that one blank serves).
        """
        rows = self.route.operations
        kept = {name for name, row in rows.items() if row.done and lasts(row)}
        lasting = kept | {name for name in operations if lasts(rows[name])}
        days = self._length(lasting)
        return days - blank_share * (days - self._length(lasting | operations))

    def _length(self, done: Iterable[str]) -> float:
        finished = frozenset(done)
        found = self._lengths.get(finished)
        if found is None:
            means = {name: 0.0 if name in finished else points.mean
                     for name, points in self.route.durations.items()}  # fmt: skip
            found = self._lengths[finished] = critical_path(means, self.route.after).length
        return found
