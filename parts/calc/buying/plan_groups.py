"""What a plan leaves of the exposure of one group of parts that touch one another.

What is bought in one group changes nothing in another, so each is reckoned apart, by the same
waits and choices as the whole fleet and to the same figures, at the cost of its own few sets.
Knows no prices.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.calc.buying.plan_pricing import Pricing
from parts.calc.buying.plan_terms import Starts
from parts.calc.failing.fleet import NONE, Index
from parts.calc.getting.supply import NEVER
from parts.calc.waiting.backorders import expected_backorders, mean_wait_days
from parts.calc.waiting.long_run import LAST_CHOICE
from parts.calc.waiting.restocking import Restock
from parts.calc.waiting.set_waits import Member, set_wait_days
from parts.calc.waiting.uses import Uses

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Draw:
    """What a failure of a part draws on in one pool: (units, chance), and for how long the pool
    has to last where it is never filled up again."""

    part: str
    pool: str
    needs: tuple[tuple[int, float], ...]
    years_left: float | None

    def plain_wait_days(self, per_year: float, stock: int, lead_days: float) -> float:
        """Mean wait where nobody else asks and always for one unit: the figure of any set of
        parts, in closed form."""
        if self.years_left is None:
            return mean_wait_days({1: per_year}, 1, stock, lead_days)
        units = per_year * self.years_left
        if stock == 0 or units <= 0.0:
            return 0.0 if stock else lead_days
        return lead_days * min(1.0, expected_backorders(units, stock) / units)


@dataclass(frozen=True)
class Rows:
    """Positions by what may restore them: place among the group's parts and hands-on days of
    each choice, lowest first, -1 = none; with failures a year and what a day of waiting takes.
    `row` is the number of each in the snapshot."""

    row: Index
    choices: Index
    hands_on: Array
    failures: Array
    days: Array
    money: Array

    def __len__(self) -> int:
        return len(self.row)


class Group:
    """One group: its parts, and the positions that they restore."""

    def __init__(self, pricing: Pricing, parts: Sequence[str], rows: Rows) -> None:
        self.terms = pricing.terms
        self.sets = pricing.sets
        self.parts = tuple(parts)
        self.rows = rows
        self._uses: dict[tuple[int, bytes], Uses] = {}
        self._waits: dict[tuple[object, ...], float] = {}
        self._restocks: dict[tuple[object, ...], Restock] = {}
        self._today: dict[bytes, Array] = {}

    @cached_property
    def pools(self) -> tuple[str, ...]:
        return tuple(sorted({self._pool(part) for part in self.parts}))

    def _pool(self, part: str) -> str:
        return self.terms.of(part).restock.pool

    @cached_property
    def waiting(self) -> tuple[int, ...]:
        """Places of the parts that some position may be restored by."""
        found = np.unique(self.rows.choices)
        return tuple(int(place) for place in found if place != NONE)

    @cached_property
    def above(self) -> frozenset[str]:
        """Parts of assemblies that some position inside may be restored through."""
        places = np.unique(self.rows.choices[:, 1:])
        return frozenset(self.parts[place] for place in places.tolist() if place != NONE)

    @cached_property
    def drawn_together(self) -> frozenset[tuple[str, ...]]:
        """The pools that one failure draws on."""
        return frozenset(tuple(draw.pool for draw in draws) for draws in self.draws.values())

    @cached_property
    def own_uses(self) -> Array:
        """Failures and planned uses of each part a year, what is restored through it left out."""
        return np.array([self.terms.own_uses[part] for part in self.parts])

    @cached_property
    def draws(self) -> dict[int, tuple[Draw, ...]]:
        """What a failure of each waiting part draws on."""
        return {place: self._drawn_by(self.parts[place]) for place in self.waiting}

    def _drawn_by(self, part: str) -> tuple[Draw, ...]:
        takes = self.sets.takes(part)
        by_pool = {self._pool(part): part}
        for name in self.sets.companions(part):
            by_pool.setdefault(self._pool(name), name)
        found = []
        for pool, name in by_pool.items():
            chances = takes.vectors([pool])
            needs = tuple((units, chance) for (units,), chance in sorted(chances.items()) if units)
            found.append(Draw(name, pool, needs, self._years_left(name)))
        return tuple(found)

    def _years_left(self, part: str) -> float | None:
        restock = self.terms.of(part).restock
        return self.terms.horizons.of(restock.parts).years if restock.fixed else None

    @cached_property
    def kept_today(self) -> dict[str, Restock]:
        """How each pool is kept up when nothing is bought."""
        return {
            draw.pool: self.terms.restock(draw.pool, 0, {})
            for draws in self.draws.values()
            for draw in draws
        }

    def made_by(self, route: str) -> set[str]:
        """The pools that come back by a route."""
        return {self._pool(part) for part in self.terms.made_by(route)}

    def exposure(self, units: dict[str, int], starts: Starts) -> tuple[float, float]:
        """Lost days and money a year with so many units added by pool and operations done
        ahead by route; what is not known counts 0."""
        sooner = (pool for route in starts for pool in self.made_by(route))
        changed = {*units, *sooner} & self.kept_today.keys()
        kept = self.kept_today | {pool: self._kept(pool, units, starts) for pool in changed}
        restore = self._settled(kept, changed)
        restore = np.where(restore == NEVER, 0.0, restore)
        return float(self.rows.days @ restore), float(self.rows.money @ restore)

    def _kept(self, pool: str, units: Mapping[str, int], starts: Starts) -> Restock:
        """How a pool is kept up under a purchase."""
        started = {route: starts[route] for route in self._routes[pool] if route in starts}
        key = pool, units.get(pool, 0), tuple(started.values())
        found = self._restocks.get(key)
        if found is None:
            found = self._restocks[key] = self.terms.restock(pool, key[1], started)
        return found

    @cached_property
    def _routes(self) -> dict[str, tuple[str, ...]]:
        return {pool: self.terms.routes_of(pool) for pool in self.kept_today}

    def stake(self, pool: str, units: int) -> float:
        """Money a year that hangs on the waits for one pool alone, with so many units added.

        A unit more never saves more than this falls by, whatever else is bought.
        """
        restock = self.terms.restock(pool, units, {})
        if restock.lead_days is None:
            return 0.0
        lead_days = restock.lead_days
        return sum(
            float(self._money_of[place]) * self._own_wait(place, draw, restock.stock, lead_days)
            for place, draw in self.drawing_on[pool]
        )

    def _own_wait(self, place: int, draw: Draw, stock: int, lead_days: float) -> float:
        """For one pool alone, with all the demand that there may be."""
        if place in self.plain:
            rate = float(self.own_uses[place] + self._most_through[place])
            return draw.plain_wait_days(rate, stock, lead_days)
        member = Member(draw.pool, draw.needs, stock, lead_days, draw.years_left)
        return member.own_wait_days(self.uses_of(place, self._most_through))

    @cached_property
    def drawing_on(self) -> dict[str, list[tuple[int, Draw]]]:
        """The waiting parts that draw on each pool."""
        found: dict[str, list[tuple[int, Draw]]] = {pool: [] for pool in self.pools}
        for place, draws in self.draws.items():
            for draw in draws:
                found[draw.pool].append((place, draw))
        return found

    @cached_property
    def _money_of(self) -> Array:
        """Money a year for each day of the positions that each part may restore."""
        found = np.zeros(len(self.parts) + 1)
        np.add.at(found, self.rows.choices, self.rows.money[:, None])
        return found

    @cached_property
    def _most_through(self) -> Array:
        """Failures a year through each assembly, were all inside restored through all above."""
        found = np.zeros(len(self.parts) + 1)
        np.add.at(found, self.rows.choices[:, 1:], self.rows.failures[:, None])
        return found[:-1]

    def _settled(self, kept: Mapping[str, Restock], changed: set[str]) -> Array:
        """Restore days of each row when the choice of what restores it stands; `changed` are the
        pools that are not kept up as today."""
        touched = {place for pool in changed for place, _ in self.drawing_on[pool]}
        restore, chosen = self._best(kept, touched, np.zeros(len(self.parts)))
        if self.rows.choices.shape[1] == 1:
            return restore
        for _ in range(LAST_CHOICE - 1):
            before = chosen
            restore, chosen = self._best(kept, touched, self.through(chosen))
            if np.array_equal(chosen, before):
                break
        return restore

    def through(self, chosen: Index) -> Array:
        """Failures a year restored through each assembly, by the choice of each row."""
        above = np.flatnonzero(chosen > 0)
        found = np.zeros(len(self.parts))
        np.add.at(found, self.rows.choices[above, chosen[above]], self.rows.failures[above])
        return found

    def _best(
        self, kept: Mapping[str, Restock], touched: Iterable[int], through: Array
    ) -> tuple[Array, Index]:
        """Least days of each row, and which of its choices gives them; ties stay low. `touched`
        are the parts that do not wait as today."""
        waits = self._waits_today(through).copy()
        for place in touched:
            waits[place] = self.wait(place, kept, through)
        days = waits[self.rows.choices] + self.rows.hands_on
        chosen = days.argmin(axis=1)
        return days[np.arange(len(days)), chosen], chosen

    def _waits_today(self, through: Array) -> Array:
        """What each part waits when nothing is bought."""
        key = through.tobytes()
        found = self._today.get(key)
        if found is None:
            found = self._today[key] = np.full(len(self.parts) + 1, NEVER)
            for place in self.waiting:
                found[place] = self.wait(place, self.kept_today, through)
        return found

    def wait(self, place: int, kept: Mapping[str, Restock], through: Array) -> float:
        """Mean days that a failure of a part waits, so many failures being restored through each
        assembly."""
        draws = self.draws[place]
        stocks = tuple((kept[draw.pool].stock, kept[draw.pool].lead_days) for draw in draws)
        key = (place, stocks, through[self._askers[place]].tobytes())
        found = self._waits.get(key)
        if found is None:
            found = self._waits[key] = self._reckoned(place, stocks, through)
        return found

    def _reckoned(
        self, place: int, stocks: Sequence[tuple[int, float | None]], through: Array
    ) -> float:
        if any(lead is None for _, lead in stocks):
            return NEVER
        if place in self.plain:
            ((stock, lead),) = stocks
            rate = float(self.own_uses[place] + through[place])
            return self.draws[place][0].plain_wait_days(rate, stock, lead or 0.0)
        members = [
            Member(draw.pool, draw.needs, stock, lead or 0.0, draw.years_left)
            for draw, (stock, lead) in zip(self.draws[place], stocks, strict=True)
        ]
        return set_wait_days(members, self.uses_of(place, through))

    @cached_property
    def plain(self) -> frozenset[int]:
        """Places of the parts that draw one unit on one pool of which no other part takes."""
        return frozenset(
            place
            for place, draws in self.draws.items()
            if len(draws) == 1 and draws[0].needs == ((1, 1.0),) and len(self._askers[place]) == 1
        )

    @cached_property
    def _takers(self) -> dict[str, list[int]]:
        """Places of the parts whose uses take units of each pool."""
        found: dict[str, list[int]] = {}
        for place, part in enumerate(self.parts):
            for pool in self.sets.takes(part).stocks:
                found.setdefault(pool, []).append(place)
        return found

    @cached_property
    def _askers(self) -> dict[int, Index]:
        """Of each waiting part, the places of all whose uses take of what it draws on."""
        return {
            place: np.array(
                sorted(set().union(*(self._takers[draw.pool] for draw in draws))), dtype=np.int64
            )
            for place, draws in self.draws.items()
        }

    def uses_of(self, place: int, through: Array) -> Uses:
        """All demand on the pools that a failure of a part draws on."""
        askers = self._askers[place]
        rates = self.own_uses[askers] + through[askers]
        key = place, rates.tobytes()
        found = self._uses.get(key)
        if found is None:
            found = self._uses[key] = Uses(
                (rate, self.sets.takes(self.parts[at]))
                for rate, at in zip(rates.tolist(), askers.tolist(), strict=True)
            )
        return found
