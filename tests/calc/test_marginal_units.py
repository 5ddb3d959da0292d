"""What each unit of a last order saves and costs: closed forms, and a simulation beside them."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import gamma, poisson

from parts.calc.buying.marginal_units import MarginalUnits, Money
from parts.calc.buying.remaining_demand import RemainingDemand, Stream, TooMuchDemand

RUNS = 200_000
D = math.log(1.08)


def money(value: float = 10_000.0, price: float = 500.0, **facts: float) -> Money:
    return Money(value, price, discount_rate=0.08, holding_rate=0.20, **facts)


def steady(rate: float, years: float) -> RemainingDemand:
    return RemainingDemand([Stream(rate, years)], years)


@pytest.mark.parametrize("demand", [RemainingDemand([], 10.0), steady(0.0, 10.0), steady(2.0, 0.0)])
def test_nothing_asked_for_is_worth_nothing(demand: RemainingDemand) -> None:
    units = MarginalUnits(demand, 0, money())

    assert units.quantity(1, 0.0) == 0
    assert demand.at_most(0) == 1.0
    assert demand.enough(0.99) == 0


def test_a_price_of_nothing_buys_all_that_may_ever_be_asked_for() -> None:
    demand = steady(0.2, 15.0)
    units = MarginalUnits(demand, 0, money(price=0.0))

    assert units.quantity(1, 0.0) == demand.reach
    assert poisson.sf(demand.reach, 3.0) < 1e-9 <= poisson.sf(demand.reach - 1, 3.0)


def test_a_value_of_nothing_buys_nothing() -> None:
    assert MarginalUnits(steady(0.2, 15.0), 0, money(value=0.0)).quantity(1, 0.0) == 0


def test_a_large_stock_needs_nothing_more_and_is_not_counted_unit_by_unit() -> None:
    units = MarginalUnits(steady(0.2, 15.0), 10_000_000, money())

    assert units.quantity(1, 0.0) == 0
    assert units.demand.at_most(10_000_000) == 1.0


def test_demand_beyond_counting_is_refused() -> None:
    with pytest.raises(TooMuchDemand):
        MarginalUnits(steady(1e6, 15.0), 0, money()).quantity(1, 0.0)


@pytest.mark.parametrize(
    ("rate", "years", "on_hand"),
    [(0.7, 15.0, 0), (0.02, 3.0, 0), (50.0, 15.0, 10), (4.0, 1.5, 5)],
)
def test_one_user_with_a_certain_rate_has_a_closed_form(
    rate: float, years: float, on_hand: int
) -> None:
    units = MarginalUnits(steady(rate, years), on_hand, money(value=1.0, price=0.01))
    n = on_hand + np.arange(1, len(units.saving) - 2)
    closed = (rate / (rate + D)) ** n * gamma.cdf(years, n, scale=1.0 / (rate + D))

    assert units.saving[:-3] == pytest.approx(closed, abs=1e-12)


def test_without_interest_a_unit_saves_its_chance_and_is_held_until_it_is_used() -> None:
    rate, years = 0.5, 8.0
    facts = Money(1.0, 1.0, discount_rate=0.0, holding_rate=0.2)
    units = MarginalUnits(steady(rate, years), 0, facts)
    chance = gamma.cdf(years, 1, scale=1.0 / rate)
    held = (1.0 - math.exp(-rate * years)) / rate

    assert units.saving[0] == pytest.approx(chance)
    assert units.cost[0] == pytest.approx(1.0 + 0.2 * held)


def test_interest_above_the_holding_rate_leaves_the_price_alone() -> None:
    facts = Money(1.0, 3.0, discount_rate=0.25, holding_rate=0.20)

    assert MarginalUnits(steady(0.5, 8.0), 0, facts).cost == pytest.approx(3.0)


def test_a_shelf_life_cuts_what_comes_after_it() -> None:
    rate, years, shelf = 0.5, 12.0, 2.0
    units = MarginalUnits(steady(rate, years), 0, money(value=1.0, price=0.01, shelf_years=shelf))
    closed = rate / (rate + D) * gamma.cdf(shelf, 1, scale=1.0 / (rate + D))

    assert units.saving[0] == pytest.approx(closed, abs=1e-12)
    assert MarginalUnits(steady(rate, years), 0, money(shelf_years=0.0)).quantity(1, 0.0) == 0


def test_a_lot_is_raised_to_what_is_sold_only_where_that_pays() -> None:
    units = MarginalUnits(steady(0.5, 15.0), 0, money())
    worth = units.worth
    raised = units.lot(worth + 5, 0.0)

    assert units.quantity(worth + 5, 0.0) == worth + 5
    assert units.quantity(worth + 5, raised.gain - 1e-6) == worth + 5
    assert units.quantity(worth + 5, raised.gain + 1e-6) == 0
    assert units.quantity(1, units.lot(worth, 0.0).gain + 1e-6) == 0
    assert units.quantity(1_000_000, 0.0) == 0


def test_neighbours_of_the_quantity_gain_no_more() -> None:
    for rate in (0.05, 0.3, 2.0, 9.0):
        units = MarginalUnits(steady(rate, 15.0), 1, money())
        best = units.quantity(1, 0.0)
        gains = [units.lot(max(0, best + step), 0.0).gain for step in (-1, 0, 1)]

        assert max(gains) == gains[1]


def simulated(
    demand: RemainingDemand, streams: list[Stream], nth: int, seed: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Discount factors at the time of the nth unit (0 = never), and years until it or the end;
    event by event, by its own means; no user's later events than the nth can matter."""
    rng = np.random.default_rng(seed)
    shape = demand.shape or 1.0
    doubt = rng.gamma(shape, 1.0 / shape, RUNS)
    times: list[NDArray[np.float64]] = []
    sizes: list[NDArray[np.int64]] = []
    for each in streams:
        rate = each.events_per_year * (doubt if each.uncertain else np.ones(RUNS))
        at = np.cumsum(rng.exponential(1.0, (RUNS, nth)) / rate[:, None], axis=1)
        at[at > each.until_years] = np.inf
        units, chances = zip(*each.takes, strict=True)
        sizes.append(rng.choice(units, p=chances, size=(RUNS, nth)))
        times.append(at)
    at, size = np.concatenate(times, axis=1), np.concatenate(sizes, axis=1)
    order = np.argsort(at, axis=1)
    taken = np.cumsum(np.take_along_axis(size, order, axis=1), axis=1)
    at = np.take_along_axis(at, order, axis=1)
    reached = (taken >= nth) & np.isfinite(at)
    first = np.where(reached.any(axis=1), reached.argmax(axis=1), 0)
    when = np.where(reached.any(axis=1), at[np.arange(RUNS), first], np.inf)
    return np.exp(-D * when), np.minimum(when, demand.years)


FALLING = [Stream(0.15, 4.0), Stream(0.10, 9.0), Stream(0.05, 15.0)]
DOUBTFUL = [
    Stream(0.25, 6.0, uncertain=True),
    Stream(0.15, 15.0, uncertain=True),
    Stream(0.1, 15.0, ((1, 0.6), (2, 0.4))),
]


@pytest.mark.parametrize(
    ("streams", "shape", "on_hand", "seed"),
    [([Stream(0.4, 15.0)], None, 1, 1), (FALLING, None, 0, 2), (DOUBTFUL, 1.5, 1, 3),
     (DOUBTFUL, 0.5, 0, 4)],
    ids=["steady", "falling", "uncertain and falling", "very uncertain"],
)  # fmt: skip
def test_a_simulation_event_by_event_agrees_within_one_percent(
    streams: list[Stream], shape: float | None, on_hand: int, seed: int
) -> None:
    demand = RemainingDemand(streams, 15.0, shape)
    units = MarginalUnits(demand, on_hand, money(value=1.0, price=1e-4))

    for bought in (1, 2, 3):
        factors, years = simulated(demand, streams, on_hand + bought, seed)
        held = -np.expm1(-D * years) / D
        saved = units.saving[bought - 1]
        assert saved == pytest.approx(factors.mean(), rel=0.01)
        assert units.cost[bought - 1] * 1e4 == pytest.approx(1.0 + 0.12 * held.mean(), rel=0.01)
        never = float((factors == 0.0).mean())
        assert demand.at_most(on_hand + bought - 1) == pytest.approx(never, abs=0.003)


def test_batches_add_up_to_the_units_of_their_events() -> None:
    demand = RemainingDemand(DOUBTFUL, 15.0, 1.5)
    chances = demand.chances(np.array([15.0]), 200)[0]

    assert chances.sum() == pytest.approx(1.0, abs=1e-9)
    assert chances @ np.arange(201) == pytest.approx(float(demand.mean(np.array([15.0]))[0]))
    assert demand.units_per_year == pytest.approx(0.25 + 0.15 + 0.1 * 1.4)
