"""A store run through event by event: what is on the shelf, what is on order, who still waits.

Slow and plain on purpose, to check the reckoned waits against. Uses come at random; each takes
units from several shelves at once, every unit is ordered again the moment it is asked for and
comes after a fixed lead time, and who came first is served first.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from random import Random

from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.waiting.uses import Takes

WARM_UP = 0.02


@dataclass
class Shelf:
    on_hand: int
    lead_days: float
    coming: deque[tuple[float, int]] = field(default_factory=deque)
    waiting: deque[list[float]] = field(default_factory=deque)  # [who, units still owed]
    served: dict[int, float] = field(default_factory=dict)

    def ask(self, who: int, now: float, units: int) -> None:
        self.arrive(now)
        self.coming.append((now + self.lead_days, units))
        self.waiting.append([who, units])
        self._hand_out(now)

    def arrive(self, until: float) -> None:
        while self.coming and self.coming[0][0] <= until:
            day, units = self.coming.popleft()
            self.on_hand += units
            self._hand_out(day)

    def _hand_out(self, day: float) -> None:
        while self.waiting and self.on_hand:
            first = self.waiting[0]
            handed = min(self.on_hand, first[1])
            self.on_hand -= int(handed)
            first[1] -= handed
            if not first[1]:
                self.served[int(first[0])] = day
                self.waiting.popleft()


def mean_waits(
    shelves: Mapping[str, tuple[int, float]],
    uses: Sequence[tuple[float, Takes]],
    events: int,
    seed: int,
) -> list[float]:
    """Mean days that each kind of use waited for the last of what it took.

    Arguments: shelves (units kept, lead days), uses (a year, what it takes), events, seed.
    """
    rng = Random(seed)  # noqa: S311 - a simulation, not a secret
    stores = {name: Shelf(*each) for name, each in shelves.items()}
    rates = [per_year for per_year, _ in uses]
    kinds = rng.choices(range(len(uses)), rates, k=events)
    came, asked, now = [], [], 0.0
    for who, kind in enumerate(kinds):
        now += rng.expovariate(sum(rates)) * DAYS_A_YEAR
        wanted: dict[str, int] = dict(uses[kind][1].certain)
        for name, units, chance in uses[kind][1].by_chance:
            if rng.random() < chance:
                wanted[name] = wanted.get(name, 0) + units
        for name, units in wanted.items():
            stores[name].ask(who, now, units)
        came.append(now)
        asked.append(wanted)
    for store in stores.values():
        store.arrive(float("inf"))
    sums, counts = [0.0] * len(uses), [0] * len(uses)
    for who in range(int(events * WARM_UP), events):
        last = max(stores[name].served[who] for name in asked[who])
        sums[kinds[who]] += last - came[who]
        counts[kinds[who]] += 1
    return [total / count for total, count in zip(sums, counts, strict=True)]
