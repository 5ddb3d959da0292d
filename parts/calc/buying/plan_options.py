"""Each way to spend in one group of parts, and what it leaves.

An option is a whole purchase of a group. Small groups are taken through combination by
combination; larger ones by marginal analysis, upwards from nothing and downwards from everything,
sets as sets, and every purchase weighed on the way is an option. Options that cost more and leave
no less are dropped.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from itertools import product

from parts.calc.buying.buyables import Buyable, buyables_of
from parts.calc.buying.plan_groups import Group
from parts.calc.buying.plan_savings import Saving, in_order, purchases_of
from parts.calc.buying.plan_walks import State, Walks

# so many combinations of one group are weighed one by one
MOST_COMBINATIONS = 4000


@dataclass(frozen=True, slots=True)
class Option:
    """One purchase of a group: the place of the amount of each buyable, and what it leaves."""

    state: State
    cost: float
    yearly: float
    days: float
    money: float

    @property
    def objective(self) -> float:
        """Money a year of exposure and of keeping."""
        return self.money + self.yearly


@dataclass
class Options:
    """The options of one group, cheapest first."""

    group: Group
    _weighed: dict[State, Option] = field(default_factory=dict)

    @cached_property
    def buyables(self) -> tuple[Buyable, ...]:
        return buyables_of(self.group)

    @cached_property
    def is_exact(self) -> bool:
        """Whether every combination is weighed."""
        count = 1
        for each in self.buyables:
            count *= len(each.amounts)
        return count <= MOST_COMBINATIONS

    @cached_property
    def efficient(self) -> tuple[Option, ...]:
        """Options that no cheaper one of the group beats."""
        if self.is_exact:
            for state in product(*(range(len(each.amounts)) for each in self.buyables)):
                self.weigh(state)
        else:
            walks = Walks(self.buyables, self._tied, self._worth_of)
            walks.walk()
            walks.look_around([each.state for each in efficient(self._weighed.values())])
        return tuple(efficient(self._weighed.values()))

    @property
    def nothing(self) -> Option:
        """What is left when nothing is bought."""
        return self.weigh((0,) * len(self.buyables))

    def _worth_of(self, state: State) -> tuple[float, float]:
        option = self.weigh(state)
        return option.cost, option.objective

    def weigh(self, state: State) -> Option:
        """What one purchase of the group costs and leaves."""
        found = self._weighed.get(state)
        if found is None:
            amounts = [each.amounts[at] for each, at in zip(self.buyables, state, strict=True)]
            pairs = list(zip(self.buyables, amounts, strict=True))
            units = {each.name: amount.units for each, amount in pairs if amount.units}
            starts = {each.name: amount.started for each, amount in pairs if amount.started}
            days, money = self.group.exposure(units, starts)
            cost = sum(amount.cost for amount in amounts)
            yearly = sum(amount.yearly for amount in amounts)
            found = self._weighed[state] = Option(state, cost, yearly, days, money)
        return found

    def savings(self, option: Option) -> list[Saving]:
        """The purchases of an option, each with what it saves on top of those before it."""
        pairs = zip(self.buyables, option.state, strict=True)
        purchases = [
            purchase
            for each, at in pairs
            for purchase in purchases_of(self.group.terms, each, each.amounts[at])
        ]
        return in_order(self.group, purchases) if purchases else []

    @cached_property
    def _tied(self) -> tuple[tuple[int, ...], ...]:
        """Places of what one failure draws on together: pools, and the routes they come by."""
        place = {(each.name, each.is_route): at for at, each in enumerate(self.buyables)}
        found = set()
        for pools in self.group.drawn_together:
            names = {(pool, False) for pool in pools}
            names |= {(route, True) for pool in pools for route in self.group.terms.routes_of(pool)}
            found.add(tuple(sorted(place[name] for name in names if name in place)))
        return tuple(sorted(members for members in found if len(members) > 1))


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
