"""One order for one period: the textbook's newsvendor, for any distribution of demand.

What is short at the end costs so much a unit, what is left over so much; nothing is discounted,
held or ordered again. Takes any frozen distribution of SciPy, continuous or in whole units. Knows
neither parts nor stock.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.integrate import quad
from scipy.stats import rv_discrete

# chances below this end a sum over whole units
NEVER = 1e-16


@dataclass(frozen=True)
class SinglePeriod:
    """One period of demand (units), with what a unit short and a unit too many cost (both money
    above 0).

    The best quantity Q is the smallest with P(D <= Q) >= cu / (cu + co): where one unit more is as
    likely to be short as it is dear to be left. Source: Snyder and Shen, Fundamentals of Supply
    Chain Theory, 2nd ed. (2019), chapter 4; the textbook identity.
    """

    demand: Any
    short_cost: float
    over_cost: float

    @property
    def critical_ratio(self) -> float:
        return self.short_cost / (self.short_cost + self.over_cost)

    @property
    def quantity(self) -> float:
        return float(self.demand.ppf(self.critical_ratio))

    def expected_short(self, quantity: float) -> float:
        """E[(D - Q)+], the sum of P(D > x) over all x from Q on."""
        if isinstance(self.demand.dist, rv_discrete):
            first, last = np.floor(quantity), float(self.demand.isf(NEVER))
            beyond = self.demand.sf(np.arange(first, max(first, last) + 1.0))
            return float(beyond.sum() - (quantity - first) * beyond[0])
        mean, scale = float(self.demand.mean()), float(self.demand.std())
        if quantity >= mean:
            return scale * _tail(lambda x: self.demand.sf(quantity + scale * x))
        return mean - quantity + scale * _tail(lambda x: self.demand.cdf(quantity - scale * x))

    def expected_left(self, quantity: float) -> float:
        """E[(Q - D)+]."""
        return quantity - float(self.demand.mean()) + self.expected_short(quantity)

    def expected_cost(self, quantity: float) -> float:
        """What is short and what is left over, in money."""
        short, left = self.expected_short(quantity), self.expected_left(quantity)
        return self.short_cost * short + self.over_cost * left


def _tail(chance: Callable[[float], float]) -> float:
    """The integral from 0 on of a chance that falls to nothing within some tens."""
    integral, _ = quad(chance, 0.0, np.inf, epsabs=1e-14, epsrel=1e-12)
    return float(integral)
