"""How long an exchange waits in the long run for a part and its companions together.

The members of a set are taken by the same failures, so they run out together: waits of
independent members would be overstated. Fixed lead times, base stock, first come first served.
The mean never falls below 0 and never exceeds the longest lead of a member.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.waiting.backorders import chance_uncovered, mean_wait_days
from parts.calc.waiting.nested_windows import Drawn, chance_all_served
from parts.calc.waiting.poisson import Floats
from parts.calc.waiting.uses import Uses

CERTAIN = 1.0 - 1e-12
# a member that on average holds up by less than this share of its lead is left out
HOLDS_UP = 1e-10
# nodes of Gauss and Legendre for each stretch in which so many events are expected
NODES, WEIGHTS = np.polynomial.legendre.leggauss(12)
EVENTS_IN_A_STRETCH = 6.0
MOST_STRETCHES = 200


@dataclass(frozen=True)
class Member:
    """A stock that a failure draws on.

    `needs` is (units, chance) of what the failure takes of it; `lead_days` is the fixed time in
    which a unit used is there again. `years_left` is set where nothing can be bought again: the
    stock has to last so long, and what it does not cover waits `lead_days`.
    """

    stock: str
    needs: tuple[tuple[int, float], ...]
    on_hand: int
    lead_days: float
    years_left: float | None = None

    @cached_property
    def needed(self) -> float:
        """The chance that the failure needs it at all."""
        return min(1.0, sum(chance for _, chance in self.needs))

    def own_wait_days(self, uses: Uses) -> float:
        """Mean wait if the failure drew on this stock alone."""
        batches = uses.batches(self.stock)
        if self.years_left is not None:
            return self._uncovered(uses) * self.lead_days
        return sum(
            chance * mean_wait_days(batches, units, self.on_hand, self.lead_days)
            for units, chance in self.needs
        )

    def hold_up(self, uses: Uses) -> tuple[float, float] | None:
        """(chance, days) of one that waits the same days whenever it waits, else None."""
        if self.years_left is not None:
            return self._uncovered(uses), self.lead_days
        if all(units > self.on_hand for units, _ in self.needs):
            return self.needed, self.lead_days
        return None

    def _uncovered(self, uses: Uses) -> float:
        batches = uses.batches(self.stock)
        return self.needed * chance_uncovered(batches, self.on_hand, self.years_left or 0.0)


def set_wait_days(members: Sequence[Member], uses: Uses) -> float:
    """Mean days until all members of a set are there.

    Arguments: members (lead times in days), uses (all demand on their stocks, this failure's own
    included, each event once).
    Returns: mean wait in days.
    W > t unless, for every member k, the demand on k in the L_k - t days before is at most
    S_k - b_k; E[W] is the integral of P(W > t) over t. Members by chance are averaged; a member
    that cannot be bought again is independent of the rest.
    """
    held = [each.hold_up(uses) for each in members]
    hold_ups = [row for row in held if row is not None]
    floor = max((days for chance, days in hold_ups if chance >= CERTAIN), default=0.0)
    hold_ups = [row for row in hold_ups if row[1] > floor]
    kept = [each for each, row in zip(members, held, strict=True) if row is None]
    drawn = _drawn([each for each in kept if each.lead_days > floor], uses)
    if not hold_ups and len(drawn) <= 1:
        return floor + sum(_beyond(each, uses, floor) for each in drawn)
    ends = {days for _, days in hold_ups} | {each.lead_days for each in drawn}
    days, weights = _nodes([floor, *sorted(ends)], _busiest(drawn, uses))
    free = np.ones(len(days))
    for chance, held_days in hold_ups:
        free[days < held_days] *= 1.0 - chance
    waits = 1.0 - free * chance_all_served(drawn, uses, days)
    return min(floor + max(0.0, float(weights @ waits)), max(ends))


def _drawn(members: Sequence[Member], uses: Uses) -> list[Drawn]:
    """The members that do hold up, the one that does so most first."""
    own = [(each.own_wait_days(uses), each) for each in members]
    return [
        Drawn(each.stock, each.needs, each.on_hand, each.lead_days)
        for days, each in sorted(own, key=lambda row: -row[0])
        if days > HOLDS_UP * each.lead_days
    ]


def _beyond(drawn: Drawn, uses: Uses, floor: float) -> float:
    """Mean wait for one stock beyond the days that are waited anyway."""
    batches = uses.batches(drawn.stock)
    return sum(
        chance * mean_wait_days(batches, units, drawn.on_hand, drawn.lead_days - floor)
        for units, chance in drawn.needs
    )


def _busiest(drawn: Sequence[Drawn], uses: Uses) -> float:
    """Events a year of the stock that is asked most often."""
    return max((sum(uses.batches(each.stock).values()) for each in drawn), default=0.0)


def _nodes(ends: Sequence[float], events_per_year: float) -> tuple[Floats, Floats]:
    """Days and weights by which to integrate over days from the first end to the last: from each
    end to the next in stretches so short that all chances are smooth in each."""
    edges = [ends[0]]
    for start, end in pairwise(ends):
        stretches = events_per_year * (end - start) / DAYS_A_YEAR / EVENTS_IN_A_STRETCH
        count = 1 + min(int(stretches), MOST_STRETCHES - 1)
        edges += [start + (end - start) * (step / count) for step in range(1, count)]
        edges.append(end)
    edge = np.array(edges)
    half = np.diff(edge)[:, None] / 2.0
    days = edge[:-1, None] + half * (1.0 + NODES)
    return days.ravel(), (half * WEIGHTS).ravel()
