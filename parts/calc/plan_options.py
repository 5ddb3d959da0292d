"""What can be bought in one group of parts, and what each way to spend there leaves.

An option is a whole purchase of a group. Small groups are taken through combination by
combination, sets as sets; in larger ones marginal analysis goes up from nothing and from each
assembly in store, and every purchase that it weighs on its way is an option. Options that cost
more and leave no less are dropped.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from heapq import heapify, heappop, heappush
from itertools import combinations, product

from parts.calc.head_starts import Started
from parts.calc.plan_groups import Group
from parts.calc.plan_prices import Terms

# so many combinations of one group are weighed one by one
MOST_COMBINATIONS = 1500
MOST_UNITS = 60
# what a further unit saves below this share of the group's exposure is nothing
NOTHING = 1e-9
# in groups of so many things, marginal analysis starts anew from each assembly bought first
MOST_STARTED_ANEW = 20
# members of a set that are raised together in marginal analysis
MOST_TOGETHER = 3


@dataclass(frozen=True, slots=True)
class Amount:
    """How much of one thing is bought: so many units of a part, or operations of a route."""

    cost: float = 0.0
    yearly: float = 0.0
    units: int = 0
    price: Terms | None = None
    started: Started | None = None


NONE_BOUGHT = Amount()
# places of buyables, and how many amounts further each goes
Step = tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Buyable:
    """One thing that can be bought, a pool's units or a route's operations, nothing first."""

    name: str
    is_route: bool
    last_buy: bool
    amounts: tuple[Amount, ...]


@dataclass(frozen=True)
class Option:
    """One purchase of a group: the place of the amount of each buyable, and what it leaves."""

    state: tuple[int, ...]
    cost: float
    yearly: float
    days: float
    money: float

    @property
    def objective(self) -> float:
        return self.money + self.yearly


@dataclass
class Options:
    """The options of one group, cheapest first; the first one buys nothing."""

    group: Group
    _weighed: dict[tuple[int, ...], Option] = field(default_factory=dict)

    @cached_property
    def buyables(self) -> tuple[Buyable, ...]:
        group = self.group
        found = [self._pool(pool) for pool in group.pools]
        routes = sorted({route for part in group.parts for route in group.terms.routes_of(part)})
        found += [self._route(route) for route in routes]
        return tuple(each for each in found if len(each.amounts) > 1)

    @cached_property
    def combinations(self) -> int:
        count = 1
        for each in self.buyables:
            count *= len(each.amounts)
        return count

    @property
    def is_exact(self) -> bool:
        """Whether every combination was weighed."""
        return self.combinations <= MOST_COMBINATIONS

    @cached_property
    def efficient(self) -> tuple[Option, ...]:
        """Options that no cheaper one of the group beats."""
        if self.is_exact:
            for state in product(*(range(len(each.amounts)) for each in self.buyables)):
                self.weigh(state)
        else:
            self._climb_from_every_start()
        return tuple(efficient(self._weighed.values()))

    @property
    def nothing(self) -> Option:
        """What is left when nothing is bought."""
        return self.weigh((0,) * len(self.buyables))

    def weigh(self, state: tuple[int, ...]) -> Option:
        """What one purchase of the group costs and leaves."""
        found = self._weighed.get(state)
        if found is None:
            amounts = [each.amounts[at] for each, at in zip(self.buyables, state, strict=True)]
            pairs = list(zip(self.buyables, amounts, strict=True))
            units = {each.name: amount.units for each, amount in pairs if amount.units}
            starts = {each.name: amount.started for each, amount in pairs if amount.started}
            days, money = self.group.exposure(units, starts)
            found = self._weighed[state] = Option(
                state,
                sum(amount.cost for amount in amounts),
                sum(amount.yearly for amount in amounts),
                days,
                money,
            )
        return found

    def _climb_from_every_start(self) -> None:
        nothing = self.nothing.state
        self._climb(nothing)
        if len(self.buyables) > MOST_STARTED_ANEW:
            return
        for at, each in enumerate(self.buyables):
            if each.name in self.group.above and not each.is_route:
                for level in range(1, len(each.amounts)):
                    self._climb((*nothing[:at], level, *nothing[at + 1 :]))

    def _climb(self, start: tuple[int, ...]) -> None:
        """Always the step that saves most for its money, until none saves anything.

        A step's worth is reckoned anew when it comes to the head, since most only get worse; those
        that share a set with what was bought may get better and are reckoned at once.
        """
        here = self.weigh(start)
        waiting = [(-self._worth(here, step), step) for step in self._steps]
        heapify(waiting)
        while waiting:
            _, step = heappop(waiting)
            now = self._worth(here, step)
            if waiting and now < -waiting[0][0]:
                heappush(waiting, (-now, step))
                continue
            if now <= 0.0:
                return
            here = self.weigh(_after(here.state, step))
            near = self._near(step)
            waiting = [(-self._worth(here, each), each) if each in near else (known, each)
                       for known, each in [*waiting, (0.0, step)]]  # fmt: skip
            heapify(waiting)

    def _worth(self, here: Option, step: Step) -> float:
        state = _after(here.state, step)
        if any(state[at] >= len(self.buyables[at].amounts) for at, _ in step):
            return 0.0
        return worth(here, self.weigh(state))

    @cached_property
    def _steps(self) -> tuple[Step, ...]:
        """One or two things more of each, all amounts of operations, and one more of several
        members of a set."""
        found: list[Step] = []
        for at, each in enumerate(self.buyables):
            most = len(each.amounts) - 1
            found += [((at, more),) for more in range(1, most + 1) if each.is_route or more <= 2]
        for members in self._sets:
            for size in range(2, min(len(members), MOST_TOGETHER) + 1):
                found += [tuple((at, 1) for at in some) for some in combinations(members, size)]
        return tuple(found)

    def _near(self, step: Step) -> set[Step]:
        """The steps that touch what a step buys or what is drawn on together with it."""
        bought = {at for at, _ in step}
        touched = bought.union(*(members for members in self._sets if bought & set(members)))
        return {each for each in self._steps if touched.intersection(at for at, _ in each)}

    @cached_property
    def _sets(self) -> tuple[tuple[int, ...], ...]:
        """Places of the buyables that one failure draws on together."""
        place = {each.name: at for at, each in enumerate(self.buyables) if not each.is_route}
        found = {
            tuple(sorted(place[pool] for pool in pools if pool in place))
            for pools in self.group.drawn_together
        }
        return tuple(sorted(members for members in found if len(members) > 1))

    def _pool(self, pool: str) -> Buyable:
        terms = self.group.terms
        outset = terms.of(pool)
        prices = [price for part in outset.restock.parts if (price := terms.price(part))]
        most = self._most_units(pool, min((each.yearly for each in prices), default=0.0))
        amounts = [
            Amount(price.cost(qty), price.yearly * qty, qty, price)
            for price in prices
            for qty in range(price.min_qty, max(most, price.min_qty) + 1)
            if most
        ]
        amounts.sort(key=lambda each: (each.units, each.cost))
        return Buyable(pool, False, outset.last_buy, (NONE_BOUGHT, *amounts))

    def _most_units(self, pool: str, keeping: float) -> int:
        """The last unit that may save more than it costs to keep, whatever else is bought."""
        stakes = [self.group.stake(pool, 0)]
        nothing = NOTHING * stakes[0]
        most = 0
        while len(stakes) <= MOST_UNITS and stakes[-1] > max(keeping, nothing):
            stakes.append(self.group.stake(pool, len(stakes)))
            if stakes[-2] - stakes[-1] > max(keeping, nothing):
                most = len(stakes) - 1
        return most

    def _route(self, route: str) -> Buyable:
        """Sets of operations, each of which brings some part back sooner than all cheaper ones."""
        terms = self.group.terms
        parts = [part for part in terms.made_by(route) if part in set(self.group.parts)]
        amounts, soonest = [NONE_BOUGHT], [terms.restock(part, 0, {}).lead_days for part in parts]
        for started in terms.head_starts(route).sets if parts else ():
            leads = [terms.restock(part, 0, {route: started}).lead_days for part in parts]
            if any((new or 0.0) < (old or 0.0) - NOTHING
                   for new, old in zip(leads, soonest, strict=True)):  # fmt: skip
                amounts.append(Amount(started.cost, started=started))
                soonest = [min(new or 0.0, old or 0.0)
                           for new, old in zip(leads, soonest, strict=True)]  # fmt: skip
        return Buyable(route, True, False, tuple(amounts))


def _after(state: tuple[int, ...], step: Step) -> tuple[int, ...]:
    found = list(state)
    for at, more in step:
        found[at] += more
    return tuple(found)


def worth(here: Option, step: Option) -> float:
    """What a step saves for its money."""
    saved, cost = here.objective - step.objective, step.cost - here.cost
    if saved <= 0.0:
        return saved
    return saved / cost if cost > 0.0 else float("inf")


def efficient(options: Iterable[Option]) -> list[Option]:
    """The options that no other one beats, cheapest first."""
    found: list[Option] = []
    for each in sorted(options, key=lambda option: (option.cost, option.objective)):
        if not found or each.objective < found[-1].objective:
            found.append(each)
    return found
