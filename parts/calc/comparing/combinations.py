"""Which projects can be carried out together within a budget, the most promising first.

How promising is the sum of what each saves alone. Where there are more combinations than asked
for, a depth-first walk leaves out every branch that cannot hold a better one than those kept; it
ends after so many steps, which is said. Knows no site: what a combination is really worth is
reckoned elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from heapq import heappush, heappushpop
from math import inf

MOST_STEPS = 100_000


@dataclass(frozen=True, slots=True)
class Choosable:
    """One thing to choose: its price, and what it saves on its own (below 0 = it costs more)."""

    price: float
    saving: float


@dataclass(frozen=True, slots=True)
class Together:
    """Combinations of two or more, as places; `all_of_them` = none is left out, and `proven` = no
    better sum is left out."""

    combinations: tuple[tuple[int, ...], ...]
    all_of_them: bool
    proven: bool


def combinations_within(
    things: Sequence[Choosable], excludes: Callable[[int, int], bool], budget: float, most: int
) -> Together:
    """Up to `most` combinations of two or more things that do not exclude one another and cost
    no more than the budget together."""
    walk = _Walk(things, excludes, budget, most)
    walk.run()
    ranked = sorted(walk.kept, key=lambda each: (-each[0], len(each[1]), each[1]))
    found = tuple(tuple(sorted(places)) for _, places in ranked)
    return Together(found, not walk.left_out, walk.steps <= MOST_STEPS)


class _Walk:
    def __init__(
        self,
        things: Sequence[Choosable],
        excludes: Callable[[int, int], bool],
        budget: float,
        most: int,
    ) -> None:
        # what saves most comes first, so that good combinations are met early
        self.order = sorted(range(len(things)), key=lambda at: (-things[at].saving, at))
        self.things = things
        self.excludes = excludes
        self.budget = budget
        self.most = most
        self.kept: list[tuple[float, tuple[int, ...]]] = []
        self.left_out = False
        self.steps = 0
        # the most that the things from a place on can still save
        self.still = [0.0] * (len(things) + 1)
        for at in reversed(range(len(things))):
            saving = things[self.order[at]].saving
            self.still[at] = self.still[at + 1] + max(0.0, saving)

    def run(self) -> None:
        # next place, chosen, price, saving
        waiting: list[tuple[int, tuple[int, ...], float, float]] = [(0, (), 0.0, 0.0)]
        while waiting:
            at, chosen, price, saving = waiting.pop()
            if at == len(self.order):
                continue
            self.steps += 1
            if self.steps > MOST_STEPS:
                self.left_out = True
                return
            if saving + self.still[at] <= self._least:
                self.left_out = True
                continue
            waiting.append((at + 1, chosen, price, saving))
            place = self.order[at]
            thing = self.things[place]
            if price + thing.price > self.budget or any(
                self.excludes(place, other) for other in chosen
            ):
                continue
            with_it = (*chosen, place)
            self._keep(with_it, saving + thing.saving)
            waiting.append((at + 1, with_it, price + thing.price, saving + thing.saving))

    @property
    def _least(self) -> float:
        """No combination that saves less is kept any more."""
        return self.kept[0][0] if len(self.kept) == self.most else -inf

    def _keep(self, chosen: tuple[int, ...], saving: float) -> None:
        if len(chosen) < 2:
            return
        if len(self.kept) < self.most:
            heappush(self.kept, (saving, chosen))
        else:
            heappushpop(self.kept, (saving, chosen))
            self.left_out = True
