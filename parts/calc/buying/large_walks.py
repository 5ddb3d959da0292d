"""The steps of marginal analysis through one large group.

Each step buys units of one pool or of the members of one set, or operations of a route; only the
positions that it reaches are reckoned anew. An assembly draws to itself the failures that it then
restores soonest; what other assemblies lose by that is left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from heapq import heapify, heappop, heappush
from math import inf

import numpy as np
from numpy.typing import NDArray

from parts.calc.buying.buyables import buyable_route
from parts.calc.buying.head_starts import Started
from parts.calc.buying.plan_groups import Group
from parts.calc.buying.plan_prices import Terms
from parts.calc.failing.fleet import NONE, Index
from parts.calc.getting.supply import NEVER
from parts.calc.waiting.long_run import LongRun
from parts.calc.waiting.restocking import Restock
from parts.records.plan_answers import HEAD_START, LAST_BUY, SPARE, Purchase

Array = NDArray[np.float64]
# days; waits that differ by less are the same
SAME = 1e-9
# an assembly's wait and what it draws to itself are brought in line to this share, or so often
NEAR = 0.01
ROUNDS = 4
# of the exposure of the group; what a step saves below it is nothing
NOTHING = 1e-9


@dataclass(frozen=True, slots=True)
class Move:
    """A step: so many units more of each of these pools, or operations of a route.

    `operations` is the place of the set among those of the route.
    """

    units: tuple[tuple[str, int], ...] = ()
    route: str = ""
    operations: int = 0

    @property
    def pools(self) -> tuple[str, ...]:
        return tuple(pool for pool, _ in self.units)


@dataclass(frozen=True, slots=True)
class Step:
    """A step taken: what it bought, and what that saved on top of the steps before it."""

    purchases: tuple[Purchase, ...]
    costs: tuple[float, ...]
    yearly: float
    days: float
    money: float

    @property
    def cost(self) -> float:
        return sum(self.costs)


@dataclass(frozen=True, slots=True)
class _Reached:
    """The positions that one part may restore, each once, with what a day of waiting takes.

    `fed` is failures a year that come to it from inside an assembly.
    """

    rows: Index
    hands_on: Array
    days: Array
    money: Array
    fed: Array

    def flow(self, wait: float, restore: Array) -> float:
        """Failures a year restored through an assembly with this wait, by the best of choices."""
        return float(self.fed @ (wait + self.hands_on <= restore[self.rows] + SAME))


@dataclass(frozen=True, slots=True)
class _Trial:
    """What a move would cost, how the pools would be kept then, and what it would save."""

    costs: tuple[float, ...]
    yearly: float
    kept: dict[str, Restock]
    waits: dict[int, float]
    money: float

    @property
    def worth(self) -> float:
        saved, cost = self.money - self.yearly, sum(self.costs)
        if saved <= 0.0:
            return 0.0
        return saved / cost if cost > 0.0 else inf


class Walk:
    """Marginal analysis from nothing on, with what it has bought so far."""

    def __init__(self, group: Group, before: LongRun) -> None:
        self.group = group
        self.terms = group.terms
        rows = group.rows
        self.through = group.through(_chosen(group, before))
        self.restore = np.nan_to_num(before.restore_days[rows.row])
        self.nothing = NOTHING * float(rows.money @ self.restore)
        self.kept = dict(group.kept_today)
        self.units: dict[str, int] = {}
        self.started: dict[str, Started] = {}

    # The walk ------------------------------------------------------------------------------------

    def steps(self) -> Iterator[Step]:
        """Always the move that saves most for its money.

        Its worth is reckoned anew when it comes to the head, since most only get worse; moves that
        share a set with what was bought may get better and are reckoned at once.
        """
        keys = {number: -self._trial(move).worth for number, move in enumerate(self._moves)}
        waiting = [(key, number) for number, key in keys.items() if key < 0.0]
        heapify(waiting)
        while waiting:
            key, number = heappop(waiting)
            if keys[number] != key:
                continue
            trial = self._trial(self._moves[number])
            keys[number] = now = -trial.worth
            if now >= 0.0 or trial.money <= self.nothing:
                continue
            if waiting and now > waiting[0][0]:
                heappush(waiting, (now, number))
                continue
            yield self._take(self._moves[number], trial)
            for near in self._near[number]:
                keys[near] = key = -self._trial(self._moves[near]).worth
                if key < 0.0:
                    heappush(waiting, (key, near))

    def _take(self, move: Move, trial: _Trial) -> Step:
        days = 0.0
        for place, wait in trial.waits.items():
            reached = self._reached[place]
            now = self.restore[reached.rows]
            then = np.minimum(now, wait + reached.hands_on)
            days += float(reached.days @ (now - then))
            self.restore[reached.rows] = then
            self.through[place] = reached.flow(wait, self.restore)
        purchases = tuple(self._purchases(move))
        self.kept |= trial.kept
        for pool, wanted in move.units:
            self.units[pool] = self.units.get(pool, 0) + self._lot(pool, wanted)
        started = self._next_started(move)
        if started is not None:
            self.started[move.route] = started
        return Step(purchases, trial.costs, trial.yearly, days, trial.money)

    def _purchases(self, move: Move) -> Iterator[Purchase]:
        for pool, wanted in move.units:
            action = LAST_BUY if self.terms.of(pool).restock.last_buy else SPARE
            yield Purchase(self._prices[pool].part, action, self._lot(pool, wanted))
        for name in self._named(move):
            part = self.terms.made_by(move.route)[0]
            yield Purchase(part, HEAD_START, 1, move.route, name)

    # What a move does ----------------------------------------------------------------------------

    def _trial(self, move: Move) -> _Trial:
        if move.route:
            return self._trial_of_route(move)
        costs, yearly, kept = [], 0.0, {}
        for pool, wanted in move.units:
            price, lot, restock = self._prices[pool], self._lot(pool, wanted), self.kept[pool]
            costs.append(price.cost(lot) if pool not in self.units else lot * price.unit_price)
            yearly += lot * price.yearly
            kept[pool] = replace(restock, stock=restock.stock + lot)
        return self._tried(tuple(costs), yearly, kept)

    def _trial_of_route(self, move: Move) -> _Trial:
        started = self._next_started(move)
        if started is None:
            return _Trial((), 0.0, {}, {}, 0.0)
        starts = self.started | {move.route: started}
        kept = {
            pool: self.terms.restock(pool, self.units.get(pool, 0), starts)
            for pool in self.group.made_by(move.route) & self.kept.keys()
        }
        return self._tried(self._costs_of(move), 0.0, kept)

    def _tried(self, costs: tuple[float, ...], yearly: float, kept: dict[str, Restock]) -> _Trial:
        places = {place for pool in kept for place, _ in self.group.drawing_on[pool]}
        before = {pool: self.kept[pool] for pool in kept}
        self.kept |= kept
        waits = {place: self._wait(place) for place in sorted(places)}
        self.kept |= before
        return _Trial(costs, yearly, kept, waits, self._saved(waits))

    def _saved(self, waits: dict[int, float]) -> float:
        """Money a year that these waits save; a position takes the best of its choices."""
        saved, undo = 0.0, []
        for place, wait in waits.items():
            reached = self._reached[place]
            now = self.restore[reached.rows]
            then = np.minimum(now, wait + reached.hands_on)
            saved += float(reached.money @ (now - then))
            if len(waits) > 1:
                undo.append((reached.rows, now))
                self.restore[reached.rows] = then
        for rows, now in reversed(undo):
            self.restore[rows] = now
        return saved

    def _wait(self, place: int) -> float:
        """Mean wait of a part; an assembly's with the failures that it then draws to itself."""
        if place not in self._above:
            return self.group.wait(place, self.kept, self.through)
        reached, held = self._reached[place], float(self.through[place])
        wait = NEVER
        for _ in range(ROUNDS):
            before, wait = wait, self.group.wait(place, self.kept, self.through)
            if abs(wait - before) <= NEAR * wait:
                break
            self.through[place] = (self.through[place] + reached.flow(wait, self.restore)) / 2.0
        self.through[place] = held
        return wait

    # What is known before the walk ---------------------------------------------------------------

    def _lot(self, pool: str, wanted: int) -> int:
        return wanted if pool in self.units else max(wanted, self._prices[pool].min_qty)

    def _next_started(self, move: Move) -> Started | None:
        """The operations of a move, if they take along what is started already and more."""
        if not move.route:
            return None
        now, then = self.started.get(move.route), self._routes[move.route][move.operations]
        return then if now is None or then.operations > now.operations else None

    def _named(self, move: Move) -> tuple[str, ...]:
        started, now = self._next_started(move), self.started.get(move.route)
        if started is None:
            return ()
        return tuple(name for name in started.named if now is None or name not in now.operations)

    def _costs_of(self, move: Move) -> tuple[float, ...]:
        """Money for each operation that a move names, what comes before it paid once."""
        head_starts, now = self.terms.head_starts(move.route), self.started.get(move.route)
        paid = frozenset[str]() if now is None else now.operations
        costs = []
        for name in self._named(move):
            costs.append(head_starts.cost(head_starts.closures[name] - paid))
            paid |= head_starts.closures[name]
        return tuple(costs)

    @cached_property
    def _prices(self) -> dict[str, Terms]:
        found = {}
        for pool in self.kept:
            parts = self.terms.of(pool).restock.parts
            prices = [price for part in parts if (price := self.terms.price(part))]
            if prices:
                found[pool] = min(prices, key=lambda price: (price.unit_price, price.part))
        return found

    @cached_property
    def _routes(self) -> dict[str, list[Started]]:
        """The sets of operations of each route, each sooner than all cheaper ones."""
        names = sorted({route for pool in self.kept for route in self.terms.routes_of(pool)})
        buyables = (buyable_route(self.group, route) for route in names)
        return {
            each.name: [amount.started for amount in each.amounts if amount.started is not None]
            for each in buyables
        }

    @cached_property
    def _moves(self) -> list[Move]:
        """One unit of each pool, or as many as some failure needs; the members of each set
        together; each set of operations."""
        lots, sets = {(pool, 1) for pool in self._prices}, set()
        for draws in self.group.draws.values():
            needed = [(draw.pool, max(units for units, _ in draw.needs))
                      for draw in draws if draw.pool in self._prices]  # fmt: skip
            lots.update(needed)
            sets.add(tuple(sorted(needed)))
        found = [Move((lot,)) for lot in sorted(lots)]
        found += [Move(together) for together in sorted(sets) if len(together) > 1]
        return found + [
            Move(route=route, operations=at)
            for route, amounts in self._routes.items()
            for at in range(len(amounts))
        ]

    @cached_property
    def _near(self) -> list[set[int]]:
        """By move: the moves that touch a pool drawn on together with one of its own."""
        by_pool: dict[str, set[int]] = {}
        for number, move in enumerate(self._moves):
            for pool in self._pools_of(move):
                by_pool.setdefault(pool, set()).add(number)
        ties: dict[str, set[str]] = {}
        for draws in self.group.draws.values():
            for draw in draws:
                ties.setdefault(draw.pool, set()).update(each.pool for each in draws)
        return [
            {
                near
                for pool in self._pools_of(move)
                for tied in ties.get(pool, ())
                for near in by_pool.get(tied, ())
            }
            for move in self._moves
        ]

    def _pools_of(self, move: Move) -> set[str]:
        return self.group.made_by(move.route) if move.route else set(move.pools)

    @cached_property
    def _reached(self) -> dict[int, _Reached]:
        rows = self.group.rows
        numbers = np.repeat(np.arange(len(rows)), rows.choices.shape[1])
        levels = np.tile(np.arange(rows.choices.shape[1]), len(rows))
        places, hands_on = rows.choices.ravel(), rows.hands_on.ravel()
        order = np.lexsort((hands_on, numbers, places))
        order = order[places[order] != NONE]
        pairs = places[order] * len(rows) + numbers[order]
        order = order[np.flatnonzero(np.diff(pairs, prepend=-1))]  # a part above itself: once
        starts = np.flatnonzero(np.diff(places[order], prepend=-1))
        return {
            int(places[lot[0]]): _Reached(
                numbers[lot],
                hands_on[lot],
                rows.days[numbers[lot]],
                rows.money[numbers[lot]],
                np.where(levels[lot] > 0, rows.failures[numbers[lot]], 0.0),
            )
            for lot in np.split(order, starts[1:])
            if len(lot)
        }

    @cached_property
    def _above(self) -> frozenset[int]:
        """Places of the assemblies through which something inside may be restored."""
        return frozenset(place for place, reached in self._reached.items() if reached.fed.any())


def _chosen(group: Group, before: LongRun) -> Index:
    """Which choice restores each row when nothing is bought."""
    place = {part: at for at, part in enumerate(group.parts)}
    parts = before.snapshot.positions.part
    replaced = [place.get(parts[row] or "", NONE) for row in before.replaced[group.rows.row]]
    return np.asarray((group.rows.choices == np.array(replaced)[:, None]).argmax(axis=1))
