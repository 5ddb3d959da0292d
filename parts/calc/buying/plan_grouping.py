"""Which parts of a fleet touch one another, so that what is bought for one changes another.

Parts touch when one failure draws on both, when they are pooled or made by one route, or when
either may restore a position. What can never be worth buying changes nothing, so it ties nothing
together; positions on which no purchase has any bearing are in no group.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.calc.buying.plan_groups import Group, Rows
from parts.calc.buying.plan_pricing import Pricing
from parts.calc.failing.fleet import NONE, Index
from parts.calc.getting.supply import NEVER
from parts.calc.waiting.set_waits import Member
from parts.calc.waiting.uses import Uses

Array = NDArray[np.float64]


def groups_of(pricing: Pricing) -> list[Group]:
    """The groups of a fleet, in the order of their first parts."""
    return _Grouping(pricing).groups()


class _Grouping:
    def __init__(self, pricing: Pricing) -> None:
        self.pricing = pricing
        self.terms = pricing.terms
        self.sets = pricing.sets
        self.fleet = pricing.terms.fleet
        self.parts = sorted(pricing.terms.snapshot.parts)
        self.place = {part: at for at, part in enumerate(self.parts)}
        pools = [self.terms.of(part).restock.pool for part in self.parts]
        self.pools = sorted(set(pools))
        number = {pool: at for at, pool in enumerate(self.pools)}
        self.pool_of = np.array([number[pool] for pool in pools], dtype=np.int64)
        self.pools_of = [
            sorted(number[pool] for pool in self.sets.takes(part).stocks) for part in self.parts
        ]
        self.root = list(range(len(self.pools)))

    def groups(self) -> list[Group]:
        table = self._table
        keep = self._kept
        choices = np.where(keep, table.choices, NONE)
        varies = self._varies_with(choices)
        rows = np.flatnonzero((np.append(varies, False)[choices]).any(axis=1))
        self._join_all(choices[rows], varies)
        roots = np.array([self._find(at) for at in range(len(self.pools))], dtype=np.int64)
        of_row = roots[self._a_pool_that_varies(choices[rows], varies)]
        order = np.argsort(of_row, kind="stable")
        starts = np.flatnonzero(np.diff(of_row[order], prepend=-1))
        lots = [lot for lot in np.split(order, starts[1:]) if len(lot)]
        return [self._group(table, choices, rows[lot]) for lot in lots]

    def _group(self, table: Rows, choices: Index, rows: Index) -> Group:
        choices = choices[rows]
        drawn = {pool for place in np.unique(choices).tolist() if place != NONE
                 for pool in self.pools_of[place]}  # fmt: skip
        members = sorted(set().union(*(self._takers[pool] for pool in drawn)))
        local = np.full(len(self.parts) + 1, NONE, dtype=np.int64)
        local[members] = np.arange(len(members))
        # columns that no row of the group uses are left out, except the lowest
        used = (choices != NONE).any(axis=0)
        used[0] = True
        kept = Rows(
            table.row[rows],
            local[choices[:, used]],
            table.hands_on[np.ix_(rows, used)],
            *(column[rows] for column in (table.failures, table.days, table.money)),
        )
        return Group(self.pricing, [self.parts[at] for at in members], kept)

    @cached_property
    def _takers(self) -> dict[int, list[int]]:
        """Parts whose uses take units of each pool."""
        found: dict[int, list[int]] = {}
        for place, pools in enumerate(self.pools_of):
            for pool in pools:
                found.setdefault(pool, []).append(place)
        return found

    # What ties parts together --------------------------------------------------------------------

    def _find(self, at: int) -> int:
        while self.root[at] != at:
            self.root[at] = self.root[self.root[at]]
            at = self.root[at]
        return at

    def _join(self, pools: Iterable[int]) -> None:
        roots = sorted({self._find(pool) for pool in pools})
        for each in roots[1:]:
            self.root[each] = roots[0]

    def _join_all(self, choices: Index, varies: NDArray[np.bool_]) -> None:
        free = self._free | self._fed(choices)
        for chain in np.unique(choices, axis=0).tolist():
            places = [at for at in chain if at != NONE and varies[at]]
            self._join(pool for at in places for pool in self.pools_of[at] if free[pool])
        for route in self.terms.market.routes:
            made = self.terms.made_by(route)
            self._join(int(self.pool_of[self.place[part]]) for part in made)

    def _varies_with(self, choices: Index) -> NDArray[np.bool_]:
        """Parts whose wait may change with a purchase, its own set's or of what it is fed by."""
        free = self._free | self._fed(choices)
        return np.array([any(free[pool] for pool in pools) for pools in self.pools_of])

    def _fed(self, choices: Index) -> NDArray[np.bool_]:
        """Pools on which demand depends on what restores the positions inside an assembly."""
        found = np.zeros(len(self.pools), dtype=bool)
        for place in np.unique(choices[:, 1:]).tolist():
            if place != NONE:
                found[self.pools_of[place]] = True
        return found

    def _a_pool_that_varies(self, choices: Index, varies: NDArray[np.bool_]) -> Index:
        free = self._free | self._fed(choices)
        one = np.array([next((pool for pool in pools if free[pool]), NONE)
                        for pools in [*self.pools_of, []]], dtype=np.int64)  # fmt: skip
        return np.asarray(one[choices].max(axis=1))

    # What can be worth buying --------------------------------------------------------------------

    @cached_property
    def _table(self) -> Rows:
        """Positions that fail, by what may restore them."""
        pricing, fleet = self.pricing, self.fleet
        failures = np.nan_to_num(pricing.exposed.likelihood.failures_next_year)
        rows = fleet.listed[failures[fleet.listed] > 0.0]
        positions = pricing.terms.snapshot.positions
        number = np.array([self.place.get(part or "", NONE) for part in positions.part],
                          dtype=np.int64)  # fmt: skip
        hands_on = fleet.exchange_hours / pricing.terms.snapshot.site.hours_per_day
        choices, days = [number[rows]], [hands_on[rows]]
        for level in fleet.levels:
            above = level[rows]
            part = np.where(above == NONE, NONE, number[above])
            part = np.where(self._known[part], part, NONE)
            choices.append(part)
            days.append(np.where(part == NONE, NEVER, hands_on[above]))
        per_day = np.nan_to_num(pricing.days_per_wait[rows])
        money = per_day * pricing.exposed.money_per_lost_day[rows]
        return Rows(
            rows, np.stack(choices, axis=1), np.stack(days, axis=1), failures[rows], per_day, money
        )

    @cached_property
    def _known(self) -> NDArray[np.bool_]:
        """Parts of whose set no lead time is assumed: only these count above a position."""
        found = [self._longest_lead(part, assumed=False) is not None for part in self.parts]
        return np.array([*found, False])

    def _longest_lead(self, part: str, assumed: bool = True) -> float | None:
        """No failure of the part waits longer; None = not known, or only assumed."""
        longest = 0.0
        for name in (part, *self.sets.companions(part)):
            restock = self.terms.of(name).restock
            if restock.lead_days is None or (restock.assumed and not assumed):
                return None
            longest = max(longest, restock.lead_days)
        return longest

    @cached_property
    def _at_stake(self) -> Array:
        """Money a year that would be saved if each part were always there, at most."""
        table = self._table
        now = np.nan_to_num(self.pricing.before.restore_days[table.row])[:, None]
        saved = table.money[:, None] * np.maximum(now - table.hands_on, 0.0)
        found = np.zeros(len(self.parts) + 1)
        np.add.at(found, table.choices, saved)
        return found[:-1]

    @cached_property
    def _free(self) -> NDArray[np.bool_]:
        """Pools whose units or lead time a plan may change to some use."""
        at_stake = np.zeros(len(self.pools))
        for place, pools in enumerate(self.pools_of):
            at_stake[pools] += self._at_stake[place]
        found = np.zeros(len(self.pools), dtype=bool)
        for place, part in enumerate(self.parts):
            pool = self.pool_of[place]
            money = at_stake[pool]
            if money <= 0.0 or found[pool]:
                continue
            price = self.terms.price(part)
            bought = price is not None and money > price.yearly * price.min_qty
            found[pool] = bought or self._may_be_sooner(part)
        return found

    def _may_be_sooner(self, part: str) -> bool:
        return any(self.terms.head_starts(route).sets for route in self.terms.routes_of(part))

    @cached_property
    def _kept(self) -> NDArray[np.bool_]:
        """Choices that may be the best one: an assembly that can only get so soon is none where
        the part itself always comes sooner."""
        table = self._table
        longest = np.array([_or_never(self._longest_lead(part)) for part in self.parts] + [NEVER])
        own = longest[table.choices[:, 0]] + table.hands_on[:, 0]
        soonest = np.zeros(len(self.parts) + 1)
        above = [place for place in np.unique(table.choices[:, 1:]).tolist() if place != NONE]
        for place in above:
            if not self._free[self.pools_of[place]].any():
                soonest[place] = self._own_wait(self.parts[place])
        kept = soonest[table.choices] + table.hands_on < own[:, None]
        kept[:, 0] = True
        return kept

    @cached_property
    def _own_uses(self) -> Uses:
        own_uses = self.terms.own_uses
        return Uses((own_uses[part], self.sets.takes(part)) for part in self.parts)

    def _own_wait(self, part: str) -> float:
        """Of an assembly's own pool, while nothing inside is restored through it."""
        restock = self.terms.of(part).restock
        years = self.terms.horizons.of(restock.parts).years if restock.fixed else None
        member = Member(restock.pool, ((1, 1.0),), restock.stock, restock.lead_days or 0.0, years)
        return member.own_wait_days(self._own_uses)


def _or_never(days: float | None) -> float:
    return NEVER if days is None else days
