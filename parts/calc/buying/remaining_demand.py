"""How many units are still asked for by a time, when users go one after another.

Demand comes at random at a constant rate until each user goes; a use may take several units. The
rate of some users may itself be uncertain: a gamma, whose count is negative binomial. Everything
is a sum of positive terms; knows nothing of stock or money.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, reduce
from typing import Any

import numpy as np
from scipy.signal import fftconvolve
from scipy.special import gammaln, xlog1py, xlogy
from scipy.stats import rv_discrete

from parts.calc.waiting.poisson import Floats, exactly, sums_of_batches

# Chances below this count as never.
NEVER_ASKED = 1e-9
MOST_UNITS = 100_000


class TooMuchDemand(Exception):
    """More units than this way of reckoning can take one by one."""


@dataclass(frozen=True, slots=True)
class Stream:
    """Uses of one user: events a year until it goes, and the units that one takes.

    `takes` is (units, chance); what is missing to 1 takes none. `uncertain` = its rate shares the
    gamma of the demand that it is in, and `events_per_year` is the mean.
    """

    events_per_year: float
    until_years: float
    takes: tuple[tuple[int, float], ...] = ((1, 1.0),)
    uncertain: bool = False

    @property
    def units_per_year(self) -> float:
        return self.events_per_year * sum(units * chance for units, chance in self.takes)


class RemainingDemand:
    """Units asked for from today on.

    Arguments: streams, years (nothing is asked for after them), shape (of the gamma of the
    uncertain streams' common rate; they all take alike).
    """

    def __init__(self, streams: Iterable[Stream], years: float, shape: float | None = None) -> None:
        self.years = max(0.0, years)
        self.shape = shape
        self._streams = _merged(streams)
        self._sure = [each for each in self._streams if shape is None or not each.uncertain]
        self._unsure = [each for each in self._streams if shape is not None and each.uncertain]

    @property
    def units_per_year(self) -> float:
        """Units asked for a year at today's rate."""
        return sum(each.units_per_year for each in self._streams)

    def mean(self, times: Floats) -> Floats:
        """Expected units by each time (years)."""
        return _summed(self._streams, times, self.years, lambda each: each.units_per_year)

    @property
    def breaks(self) -> Floats:
        """Times at which the rate changes, from 0 to the end."""
        ends = (min(each.until_years, self.years) for each in self._streams)
        return np.unique([0.0, self.years, *(end for end in ends if end > 0.0)])

    def chances(self, times: Floats, top: int) -> Floats:
        """P(0..top units by each time), (number of times, top + 1)."""
        sizes = sorted({units for each in self._sure for units, _ in each.takes if units})
        counts = [self._of_size(size, times, top) for size in sizes]
        if self._unsure:
            counts.append(self._unsure_chances(times, top))
        if counts:
            return reduce(_together, counts)
        none = np.zeros((len(times), top + 1))
        none[:, 0] = 1.0
        return none

    def asked(self, times: Floats, top: int) -> Floats:
        """P(at least 0..top units by each time), (number of times, top + 1)."""
        fewer = np.cumsum(self.chances(times, top), axis=1)[:, :-1]
        at_least = np.ones((len(times), top + 1))
        at_least[:, 1:] = np.clip(1.0 - fewer, 0.0, 1.0)
        return at_least

    def at_most(self, units: int) -> float:
        """P(no more than so many units are ever asked for)."""
        if units >= self.reach:
            return 1.0
        return min(1.0, float(self.chances(np.array([self.years]), units).sum()))

    def enough(self, confidence: float) -> int:
        """The fewest units that last to the end with at least this confidence.

        The smallest n with P(N <= n) >= confidence; rounding of 1e-12 is forgiven.
        """
        last = self.chances(np.array([self.years]), self.reach)[0]
        return int(np.searchsorted(np.cumsum(last), confidence - 1e-12))

    def beyond(self, units: int) -> Any:
        """What is asked for to the end beyond so many units, as a distribution of SciPy.

        Raises TooMuchDemand.
        """
        chances = self.chances(np.array([self.years]), max(self.reach, units))[0]
        chances = np.append(chances[: units + 1].sum(), chances[units + 1 :])
        return rv_discrete(values=(np.arange(len(chances)), chances / chances.sum()))()

    @cached_property
    def reach(self) -> int:
        """A number of units that is as good as never exceeded.

        Raises TooMuchDemand.
        """
        top = 2 * int(self.mean(np.array([self.years]))[0]) + 16
        while top <= MOST_UNITS:
            cumulated = np.cumsum(self.chances(np.array([self.years]), top)[0])
            beyond = np.flatnonzero(1.0 - cumulated < NEVER_ASKED)
            if len(beyond):
                return int(beyond[0])
            top *= 2
        raise TooMuchDemand

    def _of_size(self, size: int, times: Floats, top: int) -> Floats:
        """The chances of the units that go in uses of one size, whose rate is certain."""

        def rate(each: Stream) -> float:
            return each.events_per_year * sum(c for units, c in each.takes if units == size)

        means = _summed(self._sure, times, self.years, rate)
        found = np.zeros((len(times), top + 1))
        found[:, ::size] = exactly(np.arange(top // size + 1)[None, :], means[:, None])
        return found

    def _unsure_chances(self, times: Floats, top: int) -> Floats:
        """Compound negative binomial: a Poisson count whose mean is a gamma's.

        P(N = n) = Gamma(a + n) / (Gamma(a) n!) (1 - q)^a q^n, q = m / (a + m), with m the mean
        count and a the gamma's shape. Source: NASA/SP-2009-569 (2009), section 4.2, posterior
        predictive of a Poisson count; the textbook identity.
        """
        shape = self.shape or 0.0
        takes = self._unsure[0].takes
        taking = sum(chance for units, chance in takes if units)
        means = (
            taking
            * _summed(self._unsure, times, self.years, lambda each: each.events_per_year)[:, None]
        )
        sums = np.array(list(sums_of_batches({u: c for u, c in takes if u and c > 0.0}, top)))
        count = np.arange(len(sums))[None, :]
        log_ways = gammaln(shape + count) - gammaln(shape) - gammaln(count + 1.0)
        odds = means / (shape + means)
        counts = np.exp(log_ways + xlog1py(shape, -odds) + xlogy(count, odds))
        return np.asarray(counts @ sums)


def _merged(streams: Iterable[Stream]) -> list[Stream]:
    """Users that go together and take alike as one."""
    found: dict[Stream, float] = {}
    for each in streams:
        if each.units_per_year > 0.0:
            alike = replace(each, events_per_year=0.0)
            found[alike] = found.get(alike, 0.0) + each.events_per_year
    return [replace(alike, events_per_year=rate) for alike, rate in found.items()]


def _summed(
    streams: Sequence[Stream], times: Floats, years: float, rate: Callable[[Stream], float]
) -> Floats:
    found = np.zeros(len(times))
    for each in streams:
        found += rate(each) * np.minimum(times, min(each.until_years, years))
    return found


def _together(one: Floats, other: Floats) -> Floats:
    """Chances of the sum of two independent counts, row by row; good to 1e-15."""
    total: Floats = fftconvolve(one, other, axes=1)[:, : one.shape[1]]
    return np.clip(total, 0.0, 1.0)
