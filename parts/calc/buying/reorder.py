"""When a part is ordered again, and up to what: reorder point and maximum beside the site's own.

The rule is: order again as soon as usable stock and counted orders fall below the reorder point.
What is on hand and on order is then never below it, so a lead time's demand is covered with the
confidence asked for; this is no rule for parts whose absence costs a crane for months.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from parts.calc.failing.poles import way_words
from parts.calc.getting.prices import Prices, Purchase
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.ranking.exposures import Exposures
from parts.calc.waiting.poisson import smallest_stock
from parts.calc.waiting.restocking import Restock
from parts.records.purchase_answers import ReorderLine


def reorder_point(demand_per_year: float, lead_days: float, confidence: float) -> int:
    """The stock, on hand and on order, below which a part is ordered again.

    Arguments: demand_per_year (units), lead_days (fixed), confidence (0-1, below 1).
    Returns: the smallest n with P(N <= n) >= confidence, N Poisson with mean demand x lead time.
    With n on hand and on order at all times, nobody waits with that confidence; whether the next
    one is served at once is P(N <= n - 1).
    """
    return smallest_stock(demand_per_year * lead_days / DAYS_A_YEAR, confidence)


@dataclass(frozen=True, slots=True)
class _Trigger:
    """What is on hand and on order, and the limits that it is held against."""

    stock: int
    min_stock: int | None
    max_stock: int | None
    point: int | None

    @property
    def at(self) -> int | None:
        """Below this a part is ordered again: the site's minimum, else the reorder point."""
        return self.point if self.min_stock is None else self.min_stock

    @property
    def is_due(self) -> bool:
        return self.at is not None and self.stock < self.at

    def maximum(self, purchase: Purchase | None) -> int | None:
        least = 1 if purchase is None else purchase.min_qty
        return None if self.point is None else self.point + least

    def order_qty(self, purchase: Purchase | None) -> int:
        """Up to the site's maximum where it states one, else just enough; 0 where none is due."""
        if purchase is None or not self.is_due:
            return 0
        up_to = max(self.at or 0, self.max_stock or 0)
        return max(purchase.min_qty, up_to - self.stock)

    def words(self) -> Iterator[str]:
        if self.at is None:
            yield "No lead time is known, so no reorder point is either."
            return
        named = "the reorder point" if self.min_stock is None else "the site's minimum"
        yield f"{'Below' if self.is_due else 'Not below'} {named} of {self.at}."
        if self.min_stock is not None and self.point is not None and self.point > self.min_stock:
            yield f"Demand and lead time ask for {self.point}."


class Reorders:
    """Reorder points of a site's parts."""

    def __init__(self, exposures: Exposures) -> None:
        self.exposures = exposures
        self.snapshot = exposures.snapshot
        self.market = exposures.outage.market
        self.restocking = exposures.long_run.restocking
        self.prices = Prices(self.snapshot, exposures.outage.exchanges.supplies, exposures.fleet)

    def answer(self) -> tuple[ReorderLine, ...]:
        """All parts that are asked for, kept or limited; those to order now first."""
        lines = (self.line(part) for part in sorted(self.snapshot.parts))
        kept = [each for each in lines if _matters(each)]
        return tuple(sorted(kept, key=lambda each: (each.order_now == 0, each.part)))

    def demand_per_year(self, pool: Restock) -> float:
        return sum(self.exposures.demand.per_year(part) for part in pool.parts)

    def point(self, part: str) -> int | None:
        """The reorder point of a part's pool; None where no lead time is known."""
        pool = self.restocking.of(part)
        if pool.lead_days is None:
            return None
        confidence = self.snapshot.site.confidence
        return reorder_point(self.demand_per_year(pool), pool.lead_days, confidence)

    def held(self, part: str) -> tuple[int, int]:
        """Usable units of a part and units on counted orders."""
        ways = [way for way in self.market.ways(part) if way.why_not is None]
        usable, coming = (
            sum(way.qty or 0 for way in ways if way.kind == kind) for kind in ("stock", "order")
        )
        return usable, coming

    def line(self, part: str) -> ReorderLine:
        row, pool = self.snapshot.parts[part], self.restocking.of(part)
        own_limit = row.min_stock is not None
        held = [self.held(each) for each in ((part,) if own_limit else pool.parts)]
        usable, on_order = sum(each[0] for each in held), sum(each[1] for each in held)
        trigger = _Trigger(usable + on_order, row.min_stock, row.max_stock, self.point(part))
        purchase = self.prices.cheapest(part)
        bought_as = part if own_limit else self._bought_as(part, pool)
        qty = trigger.order_qty(purchase) if bought_as == part else 0
        return ReorderLine(
            part=part,
            description=row.description or "",
            demand_per_year=self.demand_per_year(pool),
            lead_days=pool.lead_days,
            lead_from="" if pool.way is None else way_words(pool.way),
            reorder_point=trigger.point,
            maximum=trigger.maximum(purchase),
            min_stock=row.min_stock,
            max_stock=row.max_stock,
            usable=usable,
            on_order=on_order,
            below=trigger.at if trigger.is_due else None,
            order_now=qty,
            supplier=None if purchase is None else purchase.supplier,
            cost=purchase.lot_cost(qty) if purchase is not None and qty else None,
            why=" ".join((*trigger.words(), *_whom_to_ask(trigger, purchase, bought_as, part))),
            record=pool.record or f"parts {part}",
            pooled_with=tuple(each for each in pool.parts if each != part),
        )

    def _bought_as(self, part: str, pool: Restock) -> str:
        """Which part of a pool is ordered: the cheapest that can be bought, else itself."""
        offers = [(self.prices.cheapest(each), each) for each in pool.parts]
        priced = [(bought.price, each) for bought, each in offers if bought and bought.price]
        return min(priced)[1] if priced else part


def _whom_to_ask(
    trigger: _Trigger, purchase: Purchase | None, bought_as: str, part: str
) -> Iterator[str]:
    if trigger.is_due and bought_as != part:
        yield f"Stands in both ways with {bought_as}, which is cheaper: order that."
    elif trigger.is_due and purchase is None:
        yield "Nobody offers it: see how else it can be had."


def _matters(line: ReorderLine) -> bool:
    kept = line.usable + line.on_order > 0
    limited = line.min_stock is not None or line.max_stock is not None
    return kept or limited or line.demand_per_year > 0.0
