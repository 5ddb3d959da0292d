"""On which terms a plan buys a part, and what keeping one unit costs a year.

The cheapest usable offer counts. Knows nothing of what a unit saves.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from math import inf

from parts.calc.buying.order_dates import WorkingCalendar, order_by
from parts.calc.getting.prices import Purchase
from parts.calc.getting.spread import confident_days
from parts.calc.getting.ways import Market
from parts.records.snapshot import Snapshot

MONTHS_A_YEAR = 12.0


@dataclass(frozen=True, slots=True)
class Terms:
    """One offer in a plan's terms: money for a line, and keeping one unit for a year."""

    offer: Purchase
    unit_price: float
    yearly: float

    @property
    def part(self) -> str:
        return self.offer.way.part

    @property
    def supplier(self) -> str:
        return self.offer.supplier

    @property
    def min_qty(self) -> int:
        return self.offer.min_qty

    def cost(self, qty: int) -> float:
        """Money for a line of so many units; the order itself costs once."""
        return qty * self.unit_price + self.offer.order_cost if qty else 0.0


def terms_of(snapshot: Snapshot, offer: Purchase | None) -> Terms | None:
    """An offer in a plan's terms; None where its price is not known."""
    if offer is None or offer.price is None:
        return None
    return Terms(offer, offer.price, yearly_per_unit(snapshot, offer.way.part, offer.price))


def yearly_per_unit(snapshot: Snapshot, part: str, unit_price: float) -> float:
    """Money tied up, renewing what passes its shelf life, and care in store, a year.

    (holding_rate + 12 / shelf_life_months) x price + care_per_year
    """
    row = snapshot.parts[part]
    share = snapshot.site.holding_rate
    if row.shelf_life_months is not None:
        share += MONTHS_A_YEAR / row.shelf_life_months if row.shelf_life_months > 0.0 else inf
    return (share * unit_price if unit_price else 0.0) + row.care_per_year


def last_order_day(market: Market, terms: Terms, calendar: WorkingCalendar) -> datetime.date | None:
    """The last worked day on which the supplier takes an order and still ships it."""
    site = market.snapshot.site
    spread = market.corrections.log_spread
    days = confident_days(terms.offer.way, spread, site.confidence, further=True)
    return order_by(*market.closing_days(terms.offer.offer), days, calendar)
