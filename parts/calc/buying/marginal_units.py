"""What the first, second, ... unit of a last order saves and costs, in today's money.

The n-th unit bought serves the (stock + n)-th unit asked for. Savings fall from unit to unit and
costs rise, so that the units worth it come first. Knows neither cranes nor suppliers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from parts.calc.buying.remaining_demand import RemainingDemand
from parts.calc.waiting.poisson import Floats

NODES, WEIGHTS = np.polynomial.legendre.leggauss(16)
FIRST_LOOK = 8
SHOWN_BEYOND = 3  # rows after the last unit that is worth it
AT_ONCE = 4_000_000  # chances held at a time


@dataclass(frozen=True, slots=True)
class Money:
    """What a unit is worth when it is asked for, and what it costs to have it until then.

    `value_per_unit` is saved by a unit that is there when asked for; `price` is paid today;
    `discount_rate` and `holding_rate` are shares a year; a unit older than `shelf_years` is of no
    use (None = it keeps).
    """

    value_per_unit: float
    price: float
    discount_rate: float
    holding_rate: float
    shelf_years: float | None = None

    @property
    def discount(self) -> float:
        """Continuous rate, d = ln(1 + discount_rate)."""
        return math.log1p(self.discount_rate)

    @property
    def holding(self) -> float:
        """Holding beyond the interest, which discounting already counts."""
        return max(0.0, self.holding_rate - self.discount_rate)


@dataclass(frozen=True, slots=True)
class Lot:
    """So many units bought at once: what they save and cost together, the order included."""

    units: int
    saving: float
    cost: float

    @property
    def gain(self) -> float:
        return self.saving - self.cost


class MarginalUnits:
    """The units of a last order, one by one.

    With T the time until unit S + n is asked for, H the end of all demand, W = min(H, shelf life),
    saving = V E[exp(-d T); T <= W] and cost = price + holding price E[(1 - exp(-d min(T, H)))/d].
    Both follow from F(t) = P(T <= t) = P(at least S + n units asked for by t):
    E[exp(-d T); T <= W] = exp(-d W) F(W) + d times the integral of exp(-d t) F(t) over 0..W, and
    E[(1 - exp(-d min(T, H)))/d] = the integral of exp(-d t) (1 - F(t)) over 0..H. Integrated by
    Gauss's rule over panels of about two standard deviations of the count, cut where the rate
    jumps. With one user and a certain rate r the first is (r/(r + d))^n P(Erlang(n, r + d) <= H).
    """

    def __init__(self, demand: RemainingDemand, on_hand: int, money: Money) -> None:
        self.demand = demand
        self.on_hand = on_hand
        self.money = money

    @property
    def saving(self) -> Floats:
        """Of unit 1, 2, ...; units beyond are as good as never asked for."""
        return self._table[0]

    @property
    def cost(self) -> Floats:
        return self._table[1]

    @property
    def worth(self) -> int:
        """The largest n with every unit up to n worth it."""
        not_worth = np.flatnonzero(self.saving <= self.cost)
        return int(not_worth[0]) if len(not_worth) else len(self.saving)

    def lot(self, units: int, order_cost: float) -> Lot:
        """A lot of any size, also beyond the table."""
        beyond = max(0, units - len(self.cost))
        cost = float(self.cost[:units].sum()) + beyond * self._cost_if_never_asked
        return Lot(units, float(self.saving[:units].sum()), cost + (order_cost if units else 0.0))

    def quantity(self, min_qty: int, order_cost: float) -> int:
        """The units worth it, raised to the least that is sold; 0 where the lot is not."""
        if not self.worth:
            return 0
        lot = self.lot(max(self.worth, min_qty), order_cost)
        return lot.units if lot.gain > 0.0 else 0

    @cached_property
    def _table(self) -> tuple[Floats, Floats]:
        """Saving and cost of each unit, up to a few that are not worth it."""
        ever_asked = max(0, self.demand.reach - self.on_hand)
        units = min(FIRST_LOOK, ever_asked)
        saving, cost = self._reckoned(units)
        while units < ever_asked and saving[-1] > cost[-1]:
            units = min(4 * units, ever_asked)
            saving, cost = self._reckoned(units)
        never = np.full(SHOWN_BEYOND, self._cost_if_never_asked)
        return np.append(saving, np.zeros(SHOWN_BEYOND)), np.append(cost, never)

    @property
    def _cost_if_never_asked(self) -> float:
        d, years = self.money.discount, self.demand.years
        held = years if d == 0.0 else -math.expm1(-d * years) / d
        return self.money.price * (1.0 + self.money.holding * held)

    def _reckoned(self, units: int) -> tuple[Floats, Floats]:
        money, years = self.money, self.demand.years
        shelf = years if money.shelf_years is None else min(years, money.shelf_years)
        times, weights = self._quadrature(shelf)
        discounted = weights * np.exp(-money.discount * times)
        early, held = np.zeros(units), np.zeros(units)
        rows = max(1, AT_ONCE // (self.on_hand + units + 1))
        for start in range(0, len(times) if units else 0, rows):
            some = slice(start, start + rows)
            asked = self._asked(times[some], units)
            early += (discounted[some] * (times[some] < shelf)) @ asked
            held += discounted[some] @ (1.0 - asked)
        by_shelf = self._asked(np.array([shelf]), units)[0] if units else early
        used = math.exp(-money.discount * shelf) * by_shelf + money.discount * early
        return money.value_per_unit * used, money.price * (1.0 + money.holding * held)

    def _asked(self, times: Floats, units: int) -> Floats:
        return self.demand.asked(times, self.on_hand + units)[:, self.on_hand + 1 :]

    def _quadrature(self, shelf: float) -> tuple[Floats, Floats]:
        """Times from 0 to the end, and weights; `shelf` lies between two panels."""
        breaks = self.demand.breaks
        means = self.demand.mean(breaks)
        squares = np.arange(math.sqrt(means[-1]) + 1.0) ** 2
        inner = np.interp(squares, means, breaks)
        edges = np.unique([*breaks, *inner, shelf])
        half = np.diff(edges)[:, None] / 2.0
        times = (edges[:-1, None] + half) + half * NODES[None, :]
        return times.ravel(), (half * WEIGHTS[None, :]).ravel()
