"""The chance that several stocks all serve one use within a given time, when the same events
empty them.

Each stock looks back over its own window, all windows ending at the use; they are nested, so the
common events are counted from the shortest window outwards, a stock leaves the count when its
window is full, and what else is asked of a stock is independent of the rest. Exact for fixed lead
times up to the limits below; beyond, the stock least likely to lack is reckoned apart, which can
only make the wait longer (counts that the same events push up are positively dependent).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.waiting.poisson import NEGLIGIBLE, Batches, Floats, at_least, exactly, units_at_most
from parts.calc.waiting.uses import Uses, Vector

# How much is told apart at once: combinations of units gone, how they lead to one another, and
# kinds of event. At these limits a set takes some ten milliseconds.
MOST_STATES = 400
MOST_STEPS = 4000
MOST_KINDS = 300
# From so many combinations on, how they lead to one another is held without its zeros.
MANY_STATES = 64


@dataclass(frozen=True)
class Drawn:
    """A stock that the use draws on: (units, chance) of what it needs, chances of 1 at most."""

    stock: str
    needs: tuple[tuple[int, float], ...]
    on_hand: int
    lead_days: float

    @cached_property
    def slack(self) -> int:
        """Units that may be gone and the least need is still met."""
        return self.on_hand - min(units for units, _ in self.needs)

    @cached_property
    def unneeded(self) -> float:
        """The chance that the use needs nothing of it."""
        return max(0.0, 1.0 - sum(chance for _, chance in self.needs))

    @property
    def last_level(self) -> int:
        """The most units gone that have to be told apart; all above it is alike."""
        return self.slack + 1 if self.unneeded > 0.0 else self.slack

    def window_years(self, days: Floats) -> Floats:
        """How far back demand still holds up a use that has waited so many days."""
        return np.maximum(self.lead_days - days, 0.0) / DAYS_A_YEAR

    def served(self, batches: Batches, days: Floats) -> Floats:
        """P(served) by days waited and units already gone, (days, last_level + 1)."""
        years = self.window_years(days)
        gone = np.arange(self.last_level + 1)
        within = np.zeros((len(days), self.slack + 2))  # column 0: more is needed than is kept
        within[:, 1:] = units_at_most(batches, self.slack, years) if batches else 1.0
        found = np.full((len(days), len(gone)), self.unneeded)
        for units, chance in self.needs:
            left = np.maximum(self.on_hand - units - gone + 1, 0)
            found += chance * within[:, left]
        found[years <= 0.0] = 1.0  # by then it has come, whatever was asked for before
        return found


def chance_all_served(drawn: Sequence[Drawn], uses: Uses, days: Floats) -> Floats:
    """P(every stock has served the use by each of these days), (number of days,).

    Arguments: drawn (stocks with slack of 0 or more, the one that matters least last), uses (all
    demand), days (waited since the use).
    """
    tied = list(drawn)
    while True:
        chances = _tied_served(tied, uses, days)
        if chances is not None:
            break
        tied.pop()
    for each in drawn[len(tied) :]:
        chances = chances * each.served(uses.batches(each.stock), days)[:, 0]
    return chances


def _tied_served(drawn: Sequence[Drawn], uses: Uses, days: Floats) -> Floats | None:
    """As `chance_all_served`, or None where too much would have to be told apart."""
    ordered = sorted(drawn, key=lambda each: each.lead_days)
    stocks = [each.stock for each in ordered]
    if len(ordered) > 1 and uses.kinds(stocks) > MOST_KINDS:
        return None
    together, alone = uses.told_apart(stocks)
    served = [each.served(batches, days) for each, batches in zip(ordered, alone, strict=True)]
    common = [at for at in range(len(ordered)) if any(vector[at] for vector in together)]
    chances = np.ones(len(days))
    for at, by_gone in enumerate(served):
        if at not in common:
            chances = chances * by_gone[:, 0]
    if not common:
        return chances
    levels = [ordered[at].last_level for at in common]
    soft = [ordered[at].unneeded > 0.0 for at in common]
    ladder = _ladder(_seen(together, common), levels, soft)
    if ladder is None:
        return None
    windows = [ordered[at].window_years(days) for at in common]
    counted = ladder.climb(windows, [served[at] for at in common])
    return chances * counted


def _seen(kinds: Mapping[Vector, float], kept: Sequence[int]) -> dict[Vector, float]:
    """Kinds of event as only the kept stocks see them."""
    found: dict[Vector, float] = {}
    for vector, rate in kinds.items():
        seen = tuple(vector[at] for at in kept)
        if any(seen):
            found[seen] = found.get(seen, 0.0) + rate
    return found


@dataclass(frozen=True)
class _Counts:
    """What common events may have taken of the stocks still counted, and how it grows.

    `states` are units gone by stock, the first one none; `step` is the chance that the next event
    leads from one to another, (states, states): what is missing in a row left a stock short.
    """

    states: list[Vector]
    step: NDArray[np.float64] | csr_array
    per_year: float

    def after(self, chances: Floats, years: Floats) -> Floats:
        """Chances of the states after a window more, (windows, states)."""
        means = self.per_year * years[:, None]
        most = float(means.max())
        found = exactly(0, means) * chances
        events, moved = 0, chances
        while float(at_least(events + 1, most)) > NEGLIGIBLE:
            events, moved = events + 1, moved @ self.step
            if not moved.any():
                break
            found = found + exactly(events, means) * moved
        return found


@dataclass(frozen=True)
class _Ladder:
    """The counts of each rung: on rung n the n shortest windows are full and left out."""

    rungs: list[_Counts]

    def climb(self, windows: Sequence[Floats], served: Sequence[Floats]) -> Floats:
        """P(all served) from each stock's window and chances of being served by units gone."""
        chances = np.zeros((1, len(self.rungs[0].states)))
        chances[0, 0] = 1.0
        before = np.zeros_like(windows[0])
        for number, (rung, window, by_gone) in enumerate(
            zip(self.rungs, windows, served, strict=True)
        ):
            if (window > before).any():
                chances = rung.after(chances, window - before)
            before = window
            gone = [state[0] for state in rung.states]
            chances = chances * by_gone[:, gone]
            if number + 1 < len(self.rungs):
                chances = _left_out(chances, rung.states, self.rungs[number + 1].states)
        all_served: Floats = chances.sum(axis=1)
        return all_served


def _left_out(chances: Floats, states: list[Vector], fewer: list[Vector]) -> Floats:
    """The chances once the first stock is no longer told apart."""
    place = {state: at for at, state in enumerate(fewer)}
    found = np.zeros((len(chances), len(fewer)))
    for at, state in enumerate(states):
        found[:, place[state[1:]]] += chances[:, at]
    return found


def _ladder(
    kinds: Mapping[Vector, float], levels: Sequence[int], soft: Sequence[bool]
) -> _Ladder | None:
    rungs = []
    for first in range(len(levels)):
        seen = _seen(kinds, range(first, len(levels)))
        counts = _counts(seen, levels[first:], soft[first:])
        if counts is None:
            return None
        rungs.append(counts)
    return _Ladder(rungs)


def _counts(
    kinds: Mapping[Vector, float], levels: Sequence[int], soft: Sequence[bool]
) -> _Counts | None:
    """The states within reach; a soft stock may run short and stays on its last level."""
    states: list[Vector] = [(0,) * len(levels)]
    place = {states[0]: 0}
    steps: list[tuple[int, int, float]] = []
    for state in states:
        for vector, rate in kinds.items():
            reached = tuple(map(sum, zip(state, vector, strict=True)))
            if any(
                gone > level and not is_soft
                for gone, level, is_soft in zip(reached, levels, soft, strict=True)
            ):
                continue
            reached = tuple(map(min, reached, levels))
            if reached not in place:
                if len(states) == MOST_STATES or len(steps) > MOST_STEPS:
                    return None
                place[reached] = len(states)
                states.append(reached)
            steps.append((place[state], place[reached], rate))
    per_year = sum(kinds.values())
    return _Counts(states, _step(len(states), steps, per_year), per_year)


def _step(
    count: int, steps: list[tuple[int, int, float]], per_year: float
) -> NDArray[np.float64] | csr_array:
    if count < MANY_STATES:
        chances = np.zeros((count, count))
        for start, end, rate in steps:
            chances[start, end] += rate / per_year
        return chances
    starts, ends, rates = (np.array(column) for column in zip(*steps, strict=True))
    return csr_array((rates / per_year, (starts, ends)), shape=(count, count))
