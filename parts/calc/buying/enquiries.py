"""What to ask suppliers: orders that are late, quotations that are old, what only one can give.

Names the record of each line. Only parts that a live crane uses are asked about; head starts only
where they bring the part sooner.
"""

from __future__ import annotations

import datetime
import math
from collections import defaultdict
from collections.abc import Iterator
from functools import cached_property

from parts.calc.getting.prices import BOUGHT, Prices, Purchase
from parts.calc.getting.routes import Route
from parts.calc.getting.ways import Way
from parts.calc.ranking.exposures import Exposures
from parts.calc.ranking.findings_of_supply import OLD_QUOTE_DAYS
from parts.records.purchase_answers import Enquiry, EnquiryLine, LateOrder
from parts.records.supply import Order

ASKED_KINDS = BOUGHT | {"repair"}
SOONER_DAYS = 0.5  # a head start that saves less is not worth a question


class Enquiries:
    """Questions to the suppliers of a site."""

    def __init__(self, exposures: Exposures) -> None:
        self.exposures = exposures
        self.snapshot = exposures.snapshot
        self.today = exposures.snapshot.today
        self.market = exposures.outage.market
        self.prices = Prices(self.snapshot, exposures.outage.exchanges.supplies, exposures.fleet)

    # Orders

    def late_orders(self) -> tuple[LateOrder, ...]:
        """Open orders that are overdue, promised later than quoted, or without a promise; the
        longest overdue first."""
        found: list[LateOrder] = []
        for row in self.snapshot.orders:
            if row.received_on is None:
                way = self.way_of(row)
                found.extend(self._late(row, way) if way.qty else ())
        return tuple(sorted(found, key=lambda each: (-each.days_overdue, each.order, each.part)))

    def way_of(self, row: Order) -> Way:
        """The way that an open order is."""
        record = f"orders {row.order}/{row.part}"
        return next(way for way in self.market.ways(row.part) if way.record == record)

    def _late(self, row: Order, way: Way) -> Iterator[LateOrder]:
        overdue = 0 if math.isinf(way.days) else max(0, round(-way.days))
        promised = row.due_on
        if promised is None and not math.isinf(way.days):
            promised = self.today + datetime.timedelta(days=round(way.days))
        late = None
        if row.quoted_days is not None:
            until = max(self.today, promised or self.today)
            late = (until - row.ordered_on).days - row.quoted_days
        if way.why_not is None and (late is None or late <= 0):
            return
        yield LateOrder(
            order=row.order,
            part=row.part,
            supplier=row.supplier,
            open_qty=way.qty or 0,
            ordered_on=row.ordered_on,
            due_on=promised,
            days_overdue=overdue,
            days_late=None if late is None else max(0.0, late),
            sentence=way.why_not or f"promised {late:g} days later than quoted",
            record=way.record,
        )

    # Enquiries

    def enquiries(self, *, head_starts: bool = True) -> tuple[Enquiry, ...]:
        """All that is to be asked, by supplier; head starts take the longest to reckon."""
        found = defaultdict[str, list[EnquiryLine]](list)
        for part in sorted(self._asked_parts):
            purchases = self.prices.purchases(part, ASKED_KINDS)
            for purchase in purchases:
                found[purchase.supplier] += self._of_offer(part, purchase)
                if head_starts and purchase.way.route and self._is_fastest(part, purchase):
                    found[purchase.supplier] += self._head_start(part, purchase.way.route)
            bought = [each for each in purchases if each.way.kind in BOUGHT]
            sources = {each.supplier: each for each in reversed(bought)}
            if len(sources) == 1:
                ((supplier, only),) = sources.items()
                text = "only source: ask how long it goes on, and look for a second one"
                found[supplier].append(EnquiryLine(part, "only source", text, only.way.record))
        return tuple(
            Enquiry(name, self.snapshot.suppliers[name].name or "", tuple(lines))
            for name, lines in sorted(found.items())
            if lines
        )

    @cached_property
    def _asked_parts(self) -> set[str]:
        """Parts in live positions, what they take along, and what is used by plan."""
        demand = self.exposures.demand
        live = set(self.exposures.fleet.live_parts)
        along = {row.companion for part in live for row in demand.companions_of.get(part, ())}
        planned = {part for part in self.snapshot.parts if demand.planned_per_year(part) > 0.0}
        return live | along | planned

    def _of_offer(self, part: str, purchase: Purchase) -> Iterator[EnquiryLine]:
        offer, record = purchase.offer, purchase.way.record
        if offer.valid_until is not None and offer.valid_until < self.today:
            text = f"quotation expired on {offer.valid_until}: ask again"
            yield EnquiryLine(part, "quotation", text, record)
        elif offer.quoted_on and (self.today - offer.quoted_on).days > OLD_QUOTE_DAYS:
            text = f"quotation is of {offer.quoted_on}: ask again"
            yield EnquiryLine(part, "quotation", text, record)
        if purchase.price is None:
            yield EnquiryLine(part, "price", "no price is known: ask for one", record)

    def _is_fastest(self, part: str, purchase: Purchase) -> bool:
        """Whether the part's lead time is that of this offer."""
        return self.exposures.long_run.restocking.of(part).record == purchase.way.record

    def _head_start(self, part: str, route: Route) -> Iterator[EnquiryLine]:
        """The head start that saves most; what comes before it is done ahead too."""
        for start in route.head_starts()[:1]:
            if start.saves_days >= SOONER_DAYS:
                cost = "ask what it costs" if start.cost is None else f"noted at {start.cost:,.0f}"
                steps = ", ".join(start.operations)
                text = f"ahead of need: {steps}; saves {start.saves_days:.0f} days, {cost}"
                record = f"routes {route.name}/{start.operation}"
                yield EnquiryLine(part, "head start", text, record)
