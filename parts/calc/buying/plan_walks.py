"""Marginal analysis in a group too large to try every combination.

One walk goes up from nothing, each time by the step that saves most for its money; one goes down
from everything, each time by the step that loses least for its money, since the members of a set
pay only together and are seen better from above. Steps change one thing or some members of a set.
A step's worth is reckoned anew when it comes to the head, since most only get worse on the way;
those tied to what has changed may get better and are reckoned at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from heapq import heapify, heappop, heappush
from itertools import combinations
from math import inf

from parts.calc.buying.buyables import Buyable

# place of the amount of each buyable
State = tuple[int, ...]
# places of buyables, and how many amounts further each goes
Step = tuple[tuple[int, int], ...]

MOST_TOGETHER = 3
MOST_LOOKED_AT = 4000
# one thing goes so many amounts at once
MOST_AT_ONCE = 2


@dataclass(frozen=True)
class Walks:
    """Walks over the purchases of one group.

    `tied` are places of buyables that one failure draws on together; `weigh` gives the cost and
    the objective of a state and keeps what it has weighed.
    """

    buyables: Sequence[Buyable]
    tied: Sequence[tuple[int, ...]]
    weigh: Callable[[State], tuple[float, float]]

    def walk(self) -> None:
        """Up from nothing, and down from everything."""
        self._go((0,) * len(self.buyables), self._steps(1))
        self._go(tuple(len(each.amounts) - 1 for each in self.buyables), self._steps(-1))

    def look_around(self, states: Sequence[State]) -> None:
        """Weigh what lies one step up or down from each of these, if that is not too much."""
        steps = [*self._steps(1), *self._steps(-1)]
        if len(states) * len(steps) > MOST_LOOKED_AT:
            return
        for here in states:
            for step in steps:
                self._worth(here, step)

    def _go(self, here: State, steps: Sequence[Step]) -> None:
        waiting = [(-self._worth(here, step), step) for step in steps]
        heapify(waiting)
        while waiting:
            _, step = heappop(waiting)
            now = self._worth(here, step)
            if waiting and now < -waiting[0][0]:
                heappush(waiting, (-now, step))
                continue
            if now == -inf:
                return
            here = _after(here, step)
            near = self._near(step)
            waiting = [
                (-self._worth(here, each), each)
                if near.intersection(_places(each))
                else (key, each)
                for key, each in [*waiting, (-now, step)]
            ]
            heapify(waiting)

    def _worth(self, here: State, step: Step) -> float:
        """What a step saves for its money, or less what it loses for its money; -inf where it
        does neither or there is no such state."""
        there = _after(here, step)
        if any(not 0 <= there[at] < len(self.buyables[at].amounts) for at, _ in step):
            return -inf
        cost, objective = self.weigh(here)
        more_cost, less = self.weigh(there)
        paid, saved = more_cost - cost, objective - less
        if paid >= 0.0:
            return -inf if saved <= 0.0 else saved / paid if paid > 0.0 else inf
        return inf if saved >= 0.0 else saved / -paid

    def _steps(self, direction: int) -> list[Step]:
        found: list[Step] = []
        for at, each in enumerate(self.buyables):
            most = len(each.amounts) - 1
            at_once = most if each.is_route else min(most, MOST_AT_ONCE)
            found += [((at, direction * more),) for more in range(1, at_once + 1)]
        together = {
            some
            for members in self.tied
            for size in range(2, min(len(members), MOST_TOGETHER) + 1)
            for some in combinations(members, size)
        }
        found += [tuple((at, direction) for at in some) for some in sorted(together)]
        return found

    def _near(self, step: Step) -> set[int]:
        """Places of what a step changes, and of all that is tied to it."""
        return set().union(*(self._ties[at] for at in _places(step)))

    @cached_property
    def _ties(self) -> list[set[int]]:
        found = [{at} for at in range(len(self.buyables))]
        for members in self.tied:
            for at in members:
                found[at].update(members)
        return found


def _places(step: Step) -> Iterable[int]:
    return [at for at, _ in step]


def _after(state: State, step: Step) -> State:
    found = list(state)
    for at, more in step:
        found[at] += more
    return tuple(found)
