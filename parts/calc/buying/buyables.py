"""What can be bought in one group of parts: units of each pool, operations of each route.

Amounts stand in order, nothing first, up to the last that may save more than it costs to keep.
Knows nothing of how they are combined.
"""

from __future__ import annotations

from dataclasses import dataclass

from parts.calc.buying.head_starts import Started
from parts.calc.buying.plan_groups import Group
from parts.calc.buying.plan_prices import Terms

MOST_UNITS = 60
# what a further unit saves below this share of what hangs on its pool is nothing
NOTHING = 1e-9


@dataclass(frozen=True, slots=True)
class Amount:
    """How much of one thing is bought: so many units of a part, or operations of a route."""

    cost: float = 0.0
    yearly: float = 0.0
    units: int = 0
    price: Terms | None = None
    started: Started | None = None


NONE_BOUGHT = Amount()


@dataclass(frozen=True)
class Buyable:
    """One thing that can be bought, a pool's units or a route's operations."""

    name: str
    is_route: bool
    last_buy: bool
    amounts: tuple[Amount, ...]


def buyables_of(group: Group) -> tuple[Buyable, ...]:
    """All that can be bought in a group."""
    routes = sorted({route for part in group.parts for route in group.terms.routes_of(part)})
    found = [_pool(group, pool) for pool in group.pools]
    found += [buyable_route(group, route) for route in routes]
    return tuple(each for each in found if len(each.amounts) > 1)


def _pool(group: Group, pool: str) -> Buyable:
    outset = group.terms.of(pool)
    prices = [price for part in outset.restock.parts if (price := group.terms.price(part))]
    most = _most_units(group, pool, min((each.yearly for each in prices), default=0.0))
    amounts = [
        Amount(price.cost(qty), price.yearly * qty, qty, price)
        for price in prices
        for qty in range(price.min_qty, max(most, price.min_qty) + 1)
        if most
    ]
    amounts.sort(key=lambda each: (each.units, each.cost))
    return Buyable(pool, False, outset.restock.last_buy, (NONE_BOUGHT, *amounts))


def _most_units(group: Group, pool: str, keeping: float) -> int:
    """The last unit that may save more than it costs to keep, whatever else is bought."""
    stakes = [group.stake(pool, 0)]
    least = max(keeping, NOTHING * stakes[0])
    most = 0
    while len(stakes) <= MOST_UNITS and stakes[-1] > least:
        stakes.append(group.stake(pool, len(stakes)))
        if stakes[-2] - stakes[-1] > least:
            most = len(stakes) - 1
    return most


def buyable_route(group: Group, route: str) -> Buyable:
    """Sets of operations, each of which brings some part back sooner than all cheaper ones."""
    terms = group.terms
    parts = [part for part in terms.made_by(route) if part in group.parts]
    amounts = [NONE_BOUGHT]
    soonest = [terms.restock(part, 0, {}).lead_days or 0.0 for part in parts]
    for started in terms.head_starts(route).sets if parts else ():
        leads = [terms.restock(part, 0, {route: started}).lead_days or 0.0 for part in parts]
        if any(new < old - NOTHING for new, old in zip(leads, soonest, strict=True)):
            amounts.append(Amount(started.cost, started=started))
            soonest = list(map(min, leads, soonest))
    return Buyable(route, True, False, tuple(amounts))
