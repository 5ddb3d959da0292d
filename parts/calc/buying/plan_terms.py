"""What every plan of a site starts from: how each pool is kept up before anything is bought.

A pool of which every usable `new` offer has a closing day before its last user goes is of fixed
stock, before and after: what its units do not cover waits for the fastest other way. All other
pools are replenished as today.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from parts.calc.buying.head_starts import HeadStarts, Started
from parts.calc.buying.order_dates import WorkingCalendar, calendar_of
from parts.calc.buying.plan_prices import Terms, terms_of
from parts.calc.getting.prices import BOUGHT, Prices, Purchase
from parts.calc.getting.ways import Way, earliest
from parts.calc.likelihoods.years import years_between
from parts.calc.ranking.exposures import Exposures
from parts.calc.waiting.long_run import LongRun
from parts.calc.waiting.poisson import Floats
from parts.calc.waiting.restocking import Restock, Restocking

LAST_BOUGHT = frozenset({"new"})
AGAIN = BOUGHT | {"repair"}
Starts = Mapping[str, Started]


@dataclass(frozen=True, slots=True)
class Outset:
    """One pool before a plan, and the ways by which it can come back."""

    restock: Restock
    ways: tuple[Way, ...]


class PlanTerms:
    """The pools, prices and head starts of a site, for all of its plans."""

    def __init__(self, exposed: Exposures) -> None:
        self.exposed = exposed
        self.snapshot = exposed.snapshot
        self.fleet = exposed.fleet
        self.market = exposed.outage.market
        self.supplies = exposed.outage.exchanges.supplies
        self.today = exposed.long_run.restocking
        self.horizons = exposed.long_run.sets.horizons
        self.prices = Prices(self.snapshot, self.supplies, self.fleet)
        self._terms: dict[str, Terms | None] = {}
        self._outsets: dict[str, Outset] = {}
        self._head_starts: dict[str, HeadStarts] = {}
        self._blank_shares: dict[str, float] = {}

    def of(self, part: str) -> Outset:
        """The pool that a part is in."""
        found = self._outsets.get(part)
        if found is None:
            found = self._outset(self.today.of(part))
            self._outsets |= dict.fromkeys(found.restock.parts, found)
        return found

    def price(self, part: str) -> Terms | None:
        """The terms on which a unit of a part is bought; None = nobody offers it at a price."""
        if part not in self._terms:
            kinds = LAST_BOUGHT if self.of(part).restock.last_buy else BOUGHT
            self._terms[part] = terms_of(self.snapshot, self.prices.cheapest(part, kinds))
        return self._terms[part]

    @cached_property
    def calendar(self) -> WorkingCalendar:
        return calendar_of(self.snapshot)

    @cached_property
    def own_uses(self) -> dict[str, float]:
        """Failures and planned uses of each part a year, what is restored through it left out."""
        demand, planned = self.exposed.demand, self.exposed.planned_per_year
        return {
            part: demand.failures(part) + planned.get(part, 0.0) for part in self.snapshot.parts
        }

    @cached_property
    def fixed(self) -> tuple[str, ...]:
        """Parts in use whose stock a plan holds fixed, since they can soon no longer be bought."""
        live = self.fleet.live_parts
        return tuple(sorted(part for part in live if self.of(part).restock.last_buy))

    @cached_property
    def any_last_buy(self) -> bool:
        return any(self.of(part).restock.last_buy for part in self.snapshot.parts)

    def _outset(self, restock: Restock) -> Outset:
        again = self._again(restock)
        ways = tuple(each.way for each in again)
        if not self._closes(restock, [each for each in again if each.way.kind == "new"]):
            return Outset(restock, ways or self._defaults(restock))
        return self._left_with(restock, tuple(way for way in ways if way.kind != "new"), True)

    def _left_with(self, restock: Restock, others: tuple[Way, ...], last_buy: bool) -> Outset:
        """A pool that comes back by these ways, or by the defaults where there is none."""
        left = others or self._defaults(restock)
        fastest = min(left, key=lambda way: way.further_days, default=None)
        lead_days = None if fastest is None else fastest.further_days
        changed = replace(restock, lead_days=lead_days, assumed=not others, way=fastest,
                          last_buy=last_buy)  # fmt: skip
        return Outset(changed, left)

    def _again(self, restock: Restock) -> list[Purchase]:
        """Usable ways to buy or make one more unit; a repair needs a unit that was removed."""
        live = self.fleet.live_parts
        return [
            each
            for part in restock.parts
            for each in self.prices.purchases(part, AGAIN if part in live else BOUGHT)
        ]

    def _defaults(self, restock: Restock) -> tuple[Way, ...]:
        found = (self.market.default(part) for part in restock.parts)
        return tuple(way for way in found if way is not None)

    def _closes(self, restock: Restock, new: Sequence[Purchase]) -> bool:
        """Whether there are `new` offers and the last closes while a part is still used."""
        ends = [earliest(self.market.closing_days(each.offer)) for each in new]
        last = max((end for end in ends if end is not None), default=None)
        if last is None or None in ends:
            return False
        years = self.horizons.of(restock.parts).years
        return years_between(self.snapshot.today, last) <= years

    def head_starts(self, route: str) -> HeadStarts:
        """The operations of a route that can be done ahead.

        Raises KeyError for a route that is not there.
        """
        found = self._head_starts.get(route)
        if found is None:
            found = self._head_starts[route] = HeadStarts(self.market.routes[route])
        return found

    def routes_of(self, part: str) -> tuple[str, ...]:
        """The routes by which the pool of a part comes back."""
        return tuple(sorted({way.route.name for way in self.of(part).ways if way.route}))

    @cached_property
    def _parts_by_route(self) -> dict[str, tuple[str, ...]]:
        found: dict[str, list[str]] = {}
        for part in sorted(self.snapshot.parts):
            for route in {way.route.name for way in self.of(part).ways if way.route}:
                found.setdefault(route, []).append(part)
        return {route: tuple(parts) for route, parts in found.items()}

    def made_by(self, route: str) -> tuple[str, ...]:
        """The parts whose pools come back by a route, by name."""
        return self._parts_by_route.get(route, ())

    def _blank_share(self, route: str) -> float:
        """Of all units that will be asked of a route, the share that one blank serves."""
        found = self._blank_shares.get(route)
        if found is None:
            parts = self.made_by(route)
            units = sum(self.exposed.demand.per_year(part) for part in parts)
            units *= self.horizons.of(parts).years
            found = self._blank_shares[route] = min(1.0, 1.0 / units) if units > 0.0 else 1.0
        return found

    def restock(self, part: str, units: int, starts: Starts) -> Restock:
        """A pool with so many units added, and operations done ahead."""
        outset = self.of(part)
        found = outset.restock
        if units:
            found = replace(found, stock=found.stock + units)
        if not any(way.route and way.route.name in starts for way in outset.ways):
            return found
        days, way = min(((self._days(way, starts), way) for way in outset.ways),
                        key=lambda row: row[0])  # fmt: skip
        return replace(found, lead_days=days, way=way)

    def _days(self, way: Way, starts: Starts) -> float:
        if way.route is None or way.route.name not in starts:
            return way.further_days
        started = starts[way.route.name]
        share = self._blank_share(way.route.name)
        head_starts = self.head_starts(way.route.name)
        return way.ratio * head_starts.further_days(started.operations, share)


class PlanRestocking(Restocking):
    """Restocking as a plan leaves it: units added by part, operations done ahead by route."""

    def __init__(self, terms: PlanTerms, units: Mapping[str, int], starts: Starts) -> None:
        super().__init__(terms.snapshot, terms.supplies, terms.fleet)
        self.terms = terms
        self.starts = starts
        self.units: dict[str, int] = {}
        for part, qty in units.items():
            pool = terms.of(part).restock.pool
            self.units[pool] = self.units.get(pool, 0) + qty

    def of(self, part: str) -> Restock:
        found = self._found.get(part)
        if found is None:
            pool = self.terms.of(part).restock.pool
            found = self.terms.restock(part, self.units.get(pool, 0), self.starts)
            self._found |= dict.fromkeys(found.parts, found)
        return found


def long_run_under(
    terms: PlanTerms, units: Mapping[str, int], starts: Starts, failures: Floats | None = None
) -> LongRun:
    """Long-run waits under a plan; failures of each row in a year, the coming one unless told."""
    exposed = terms.exposed
    if failures is None:
        failures = exposed.likelihood.failures_next_year
    restocking = PlanRestocking(terms, units, starts)
    planned = exposed.planned_per_year
    return LongRun(exposed.outage, failures, planned, restocking, terms.horizons)
