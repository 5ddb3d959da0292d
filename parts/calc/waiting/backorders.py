"""How long a use waits for its units where each unit used is ordered again at once.

Base stock with a fixed lead time, uses served in the order in which they come, nothing lost. All
demand comes at a constant rate however many cranes are down: with few cranes this overstates the
wait a little; where a supplier repairs one unit at a time it understates it.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from scipy.special import gammainc

from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.waiting.poisson import (
    NEGLIGIBLE,
    Batches,
    at_least,
    exactly,
    sums_of_batches,
    units_a_year,
)


def expected_backorders(mean: float, stock: int) -> float:
    """Units owed on average, E[(N - stock)+], N Poisson.

    Arguments: mean units on order (rate x lead time), stock (base stock, units).
    EBO(S) = m P(N >= S) - S P(N >= S + 1). Palm (1938): N is Poisson with mean rate x mean lead
    time whatever the shape of the lead time; Sherbrooke, Optimal Inventory Modeling of Systems
    (2nd ed. 2004), chapter 2 (from memory).
    """
    # `at_least` for one figure; the plan of a fleet asks for a hundred thousand
    at_least_stock = gammainc(stock, mean) if stock > 0 else 1.0
    owed = mean * at_least_stock - stock * gammainc(stock + 1, mean)
    return max(0.0, float(owed))


def expected_batch_backorders(batches: Batches, stock: int, years: float) -> float:
    """Units demanded in a time beyond the stock, on average, E[(D - stock)+].

    Arguments: batches (events a year by size), stock (units), years.
    D is compound Poisson; the sum runs over the number of events, every term positive.
    """
    rate = sum(batches.values())
    if rate <= 0.0:
        return 0.0
    if set(batches) == {1}:
        return expected_backorders(rate * years, stock)
    mean, units_each = rate * years, units_a_year(batches) / rate
    owed, events = 0.0, 0
    for events, chances in enumerate(sums_of_batches(batches, max(stock - 1, 0))):
        left = float((stock - np.arange(len(chances))) @ chances)
        owed += float(exactly(events, mean)) * max(0.0, events * units_each - stock + left)
    beyond = events + 1
    owed += units_each * mean * float(at_least(beyond - 1, mean))
    owed -= stock * float(at_least(beyond, mean))
    return max(0.0, owed)


def mean_wait_days(batches: Batches, units: int, stock: int, lead_days: float) -> float:
    """Mean days that a use of so many units waits for them.

    Arguments: batches (all demand on the stock, events a year by size), units (of this use),
    stock (base stock), lead_days (fixed).
    Returns: between 0 and lead_days; lead_days where the use takes more than is ever kept.
    The use waits longer than t where demand in the lead_days - t before it exceeds
    stock - units: wait = integral over u in 0..L of P(D(u) > S - b) du. Integrated in closed
    form: sum over j of P(j batches exceed S - b) P(N(L) >= j + 1) / rate; for single units this
    is expected_backorders(S) / rate.
    """
    if stock < units:
        return lead_days
    return _mean_wait_days(tuple(batches.items()), stock - units, lead_days)


@lru_cache(maxsize=100_000)
def _mean_wait_days(demand: tuple[tuple[int, float], ...], slack: int, lead_days: float) -> float:
    """Kept, since a bearing or a seal is a member of many sets."""
    batches = dict(demand)
    rate = sum(batches.values()) / DAYS_A_YEAR
    mean = rate * lead_days
    if mean <= 0.0:
        return 0.0
    if len(batches) == 1:
        (size,) = batches
        events = expected_backorders(mean, slack // size + 1)
    else:
        events = _late_events(batches, slack, mean)
    return min(lead_days, events / rate)


def _late_events(batches: Batches, slack: int, mean: float) -> float:
    """Sum over j >= 0 of P(j batches exceed the slack) P(N >= j + 1)."""
    late, count = 0.0, 0
    for count, chances in enumerate(sums_of_batches(batches, slack)):
        exceed = 1.0 - float(chances.sum())
        if exceed > NEGLIGIBLE:
            late += exceed * float(at_least(count + 1, mean))
    return late + expected_backorders(mean, count + 1)


def chance_uncovered(batches: Batches, stock: int, years: float) -> float:
    """The chance that a unit asked for is beyond a stock that is never filled up again.

    Arguments: batches (events a year by size), stock (units today), years (how long it is asked
    for).
    Uncovered units / units = E[(D - S)+] / E[D] over the years; for single units the numerator is
    the sum over n > S of P(N >= n).
    """
    units = units_a_year(batches) * years
    if units <= 0.0:
        return 0.0 if stock > 0 else 1.0
    return min(1.0, expected_batch_backorders(batches, stock, years) / units)
