"""Counts of events that come at random at a constant rate, singly or in batches.

A batch is the number of units that one event takes; `Batches` holds events a year by that number.
Knows nothing of stock. Chances are sums of positive terms, so that small ones keep their digits.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import gammainc, gammaincc, gammaln, xlogy

# Chances below this are rounding.
NEGLIGIBLE = 1e-15

Batches = Mapping[int, float]
Floats = NDArray[np.float64]


def exactly(count: ArrayLike, mean: ArrayLike) -> Floats:
    """P(N = count) of a Poisson count; 0 below 0.

    P = mean^count e^-mean / count!
    """
    n, m = np.asarray(count, dtype=float), np.asarray(mean, dtype=float)
    chance: Floats = np.exp(xlogy(n, m) - m - gammaln(n + 1.0))
    return np.where(n < 0.0, 0.0, chance)


def at_most(count: ArrayLike, mean: ArrayLike) -> Floats:
    """P(N <= count) of a Poisson count: no stock-out in a period begun with `count` spares.

    Equals the regularised upper incomplete gamma function Q(count + 1, mean).
    """
    n = np.asarray(count, dtype=float)
    return np.where(n < 0.0, 0.0, gammaincc(np.maximum(n, 0.0) + 1.0, mean))


def at_least(count: ArrayLike, mean: ArrayLike) -> Floats:
    """P(N >= count) of a Poisson count, without loss of digits where it is small.

    Equals the regularised lower incomplete gamma function P(count, mean).
    """
    n = np.asarray(count, dtype=float)
    return np.where(n <= 0.0, 1.0, gammainc(np.maximum(n, 1.0), mean))


def smallest_stock(mean: float, confidence: float) -> int:
    """The fewest spares with which a period is survived with at least this confidence.

    Arguments: mean demand of the period (units), confidence (0-1, below 1).
    Returns: the smallest n with P(N <= n) >= confidence, N Poisson; exact at small means, where
    a normal approximation buys too many.
    """
    if not 0.0 <= confidence < 1.0:
        raise ValueError(f"a confidence lies from 0 to below 1, not {confidence}")
    low, high = -1, 0
    while at_most(high, mean) < confidence:
        low, high = high, 2 * high + 1
    while high - low > 1:
        middle = (low + high) // 2
        if at_most(middle, mean) >= confidence:
            high = middle
        else:
            low = middle
    return high


def units_a_year(batches: Batches) -> float:
    return sum(size * rate for size, rate in batches.items())


def sums_of_batches(batches: Batches, top: int) -> Iterator[Floats]:
    """The chances that 0, 1, 2, ... batches together hold 0..top units, (top + 1,) each.

    Ends when no sum fits any more: batches hold one unit at least.
    """
    rate = sum(batches.values())
    chances = np.zeros(top + 1)
    chances[0] = 1.0
    while chances.any():
        yield chances
        more = np.zeros(top + 1)
        for size, size_rate in batches.items():
            if size <= top:
                more[size:] += size_rate / rate * chances[: top + 1 - size]
        more[more < 1e-300] = 0.0
        chances = more


def units_at_most(batches: Batches, top: int, years: Floats) -> Floats:
    """P(units demanded in a window <= 0..top), (number of windows, top + 1).

    Arguments: batches (events a year by size), top, years (length of each window).
    D = sum of N batches, N Poisson: P(D <= n) = sum over j of P(N = j) P(j batches hold <= n).
    """
    means = sum(batches.values()) * years
    if len(batches) == 1:
        (size,) = batches
        return at_most(np.arange(top + 1)[None, :] // size, means[:, None])
    found = np.zeros((len(years), top + 1))
    for count, chances in enumerate(sums_of_batches(batches, top)):
        found += exactly(count, means)[:, None] * np.cumsum(chances)[None, :]
    return found
