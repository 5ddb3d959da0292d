"""Where a part is bought and for how much: usable offers with their price in the site's currency.

An offer without a price takes the part's unit cost; a currency without a known rate leaves it
unpriced. Knows no quantities and no dates.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from parts.calc.failing.fleet import Fleet
from parts.calc.getting.supply import NEVER, Supplies
from parts.calc.getting.ways import Way
from parts.records.snapshot import Snapshot
from parts.records.supply import Offer

BOUGHT = frozenset({"new", "made", "used"})


def in_site_currency(
    snapshot: Snapshot, amount: float | None, currency: str | None
) -> float | None:
    """An amount at the dated rate; None where the currency has none."""
    if amount is None or currency in (None, snapshot.site.currency):
        return amount
    rate = snapshot.currencies.get(currency or "")
    return None if rate is None else amount * rate.rate


@dataclass(frozen=True, slots=True)
class Purchase:
    """A usable offer, priced in the site's currency; price None = not known."""

    offer: Offer
    way: Way
    price: float | None
    order_cost: float

    @property
    def min_qty(self) -> int:
        return self.offer.min_qty

    @property
    def supplier(self) -> str:
        return self.offer.supplier

    def lot_cost(self, units: int) -> float | None:
        """Price of a lot with its order; None where a unit's is not known."""
        return None if self.price is None else units * self.price + self.order_cost


class Prices:
    """The offers of a snapshot as purchases."""

    def __init__(self, snapshot: Snapshot, supplies: Supplies, fleet: Fleet) -> None:
        self.snapshot = snapshot
        self.supplies = supplies
        self.fleet = fleet

    def purchases(self, part: str, kinds: Collection[str] = BOUGHT) -> list[Purchase]:
        """Usable offers of these kinds, cheapest first, unpriced last; the part must fit wherever
        it may go."""
        bearing = part in self.fleet.bearing_load_in_the_pool
        usable = {way.record: way for way in self.supplies.usable(part, bearing) if way.is_offer}
        offered = [way for way in self.supplies.market.ways(part) if way.is_offer]
        found = [
            self._purchase(offer, way)
            for offer, way in zip(self.supplies.market.offers(part), offered, strict=True)
            if way.kind in kinds and usable.get(way.record) is way
        ]
        return sorted(found, key=_cheapest_first)

    def cheapest(self, part: str, kinds: Collection[str] = BOUGHT) -> Purchase | None:
        """The offer to buy from; None where there is none."""
        return next(iter(self.purchases(part, kinds)), None)

    def _purchase(self, offer: Offer, way: Way) -> Purchase:
        order_cost = in_site_currency(self.snapshot, offer.order_cost, offer.currency)
        price = in_site_currency(self.snapshot, offer.unit_price, offer.currency)
        if offer.unit_price is None and order_cost is not None:
            price = self.snapshot.parts[offer.part].unit_cost
        return Purchase(offer, way, price, order_cost or 0.0)


def _cheapest_first(each: Purchase) -> tuple[float, float, int, str]:
    price = NEVER if each.price is None else each.price
    return price, each.order_cost, each.min_qty, each.supplier
