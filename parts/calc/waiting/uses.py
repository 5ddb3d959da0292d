"""Events that take units out of store, and what the members of a set have in common of them.

An event stays whole: what it takes leaves several stocks at once, so that they run out together.
A stock is named by a word of the caller's. Knows neither quantities in store nor lead times.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from parts.calc.waiting.poisson import Batches

# units taken of each of several stocks, in the order of the stocks
Vector = tuple[int, ...]


@dataclass(frozen=True)
class Takes:
    """What one event takes: units of some stocks for certain, of others by chance.

    `certain` is (stock, units); `by_chance` is (stock, units, chance), independent of each other.
    """

    certain: tuple[tuple[str, int], ...]
    by_chance: tuple[tuple[str, int, float], ...] = ()

    @cached_property
    def stocks(self) -> frozenset[str]:
        certain = {stock for stock, _ in self.certain}
        return frozenset(certain | {stock for stock, _, _ in self.by_chance})

    def vectors(self, stocks: Sequence[str]) -> dict[Vector, float]:
        """The chance of each combination of units that the event takes of these stocks."""
        place = {stock: at for at, stock in enumerate(stocks)}
        start = [0] * len(stocks)
        for stock, units in self.certain:
            if stock in place:
                start[place[stock]] += units
        found = {tuple(start): 1.0}
        for stock, units, chance in self.by_chance:
            if stock in place:
                found = _with_or_without(found, place[stock], units, chance)
        return found

    def kinds(self, stocks: Iterable[str]) -> int:
        """How many combinations `vectors` may have to tell apart."""
        wanted = set(stocks)
        return int(2 ** sum(stock in wanted for stock, _, _ in self.by_chance))


def _with_or_without(
    vectors: Mapping[Vector, float], at: int, units: int, chance: float
) -> dict[Vector, float]:
    found: dict[Vector, float] = {}
    for vector, before in vectors.items():
        more = (*vector[:at], vector[at] + units, *vector[at + 1 :])
        found[vector] = found.get(vector, 0.0) + before * (1.0 - chance)
        found[more] = found.get(more, 0.0) + before * chance
    return found


class Uses:
    """Uses by number, each with what it takes and how often a year."""

    def __init__(self, uses: Iterable[tuple[float, Takes]]) -> None:
        self.rows = [(per_year, takes) for per_year, takes in uses if per_year > 0.0]
        self._of_stock: dict[str, set[int]] = {}
        for number, (_, takes) in enumerate(self.rows):
            for stock in takes.stocks:
                self._of_stock.setdefault(stock, set()).add(number)
        self._batches: dict[str, Batches] = {}

    def batches(self, stock: str) -> Batches:
        """All demand on a stock: events a year by the units that they take of it."""
        found = self._batches.get(stock)
        if found is None:
            found = self._batches[stock] = self._told(stock, self._of_stock.get(stock, ()))
        return found

    def _told(self, stock: str, numbers: Iterable[int]) -> Batches:
        found: dict[int, float] = {}
        for number in sorted(numbers):
            per_year, takes = self.rows[number]
            for (units,), chance in takes.vectors([stock]).items():
                if units and chance > 0.0:
                    found[units] = found.get(units, 0.0) + per_year * chance
        return found

    def shared(self, stocks: Sequence[str]) -> list[int]:
        """Numbers of the uses that take two or more of these stocks."""
        own = [self._of_stock.get(stock, set()) for stock in stocks]
        return sorted(set().union(*(one & other for one, other in combinations(own, 2))))

    def told_apart(self, stocks: Sequence[str]) -> tuple[dict[Vector, float], list[Batches]]:
        """Demand on these stocks: events a year that take several of them, by the units of each,
        and each stock's demand by events that take it alone."""
        shared = self.shared(stocks)
        together: dict[Vector, float] = {}
        alone: list[dict[int, float]] = [
            dict(self._told(stock, self._of_stock.get(stock, set()).difference(shared)))
            for stock in stocks
        ]
        for number in shared:
            per_year, takes = self.rows[number]
            for vector, chance in takes.vectors(stocks).items():
                taken = [at for at, units in enumerate(vector) if units]
                if len(taken) == 1:
                    (at,) = taken
                    units = vector[at]
                    alone[at][units] = alone[at].get(units, 0.0) + per_year * chance
                elif taken:
                    together[vector] = together.get(vector, 0.0) + per_year * chance
        return together, list(alone)

    def kinds(self, stocks: Sequence[str]) -> int:
        """An upper limit on the kinds of event that `told_apart` has to tell apart."""
        return sum(self.rows[number][1].kinds(stocks) for number in self.shared(stocks))
