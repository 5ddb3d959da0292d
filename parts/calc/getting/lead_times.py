"""Every way to get units of a part today, and the day on which they are together.

No position is named here, so a way that needs an approval does not count if the part bears load
anywhere in the live fleet: the pool must fit everywhere.
"""

from __future__ import annotations

from dataclasses import replace

from parts.calc.failing.fleet import Fleet
from parts.calc.getting.prices import in_site_currency
from parts.calc.getting.spread import confident_days
from parts.calc.getting.supply import NEVER, Delay, Lot, StandIn, Supplies, Supply, with_default
from parts.calc.getting.ways import Market, Way
from parts.records.answers import LeadTimeAnswer, RouteAnswer, WayAnswer
from parts.records.snapshot import Snapshot

HOLIDAYS_NOTE = "days are calendar days; holidays move order-by dates only"
SPREAD_NOTE = (
    "the days to be safe add how widely quoted days run and how far this supplier has strayed from "
    "its word; those of a route are taken from many runs drawn at random, the same every time"
)


class LeadTimes:
    """Lead times of parts in a snapshot, no position named."""

    def __init__(self, snapshot: Snapshot) -> None:
        self.snapshot = snapshot
        self.market = Market(snapshot)
        self.supplies = Supplies(snapshot, self.market)
        self.fleet = Fleet(snapshot)

    def answer(self, part: str, qty: int) -> LeadTimeAnswer:
        """The ways of a part, and when `qty` units are together by way of them."""
        bearing = part in self.fleet.bearing_load_in_the_pool
        lots = self._lots(part, bearing)
        defaults = self.supplies.default_lots(part)
        delay = with_default(lots, defaults).delay(qty)
        confident = with_default(self._confident(lots), self._confident(defaults)).delay(qty)
        days = None if delay.days == NEVER else delay.days
        return LeadTimeAnswer(
            part=part,
            qty=qty,
            days_mean=days,
            days_confident=None if confident.days == NEVER else confident.days,
            confidence=self.snapshot.site.confidence,
            assumed=days is not None and delay.assumed,
            ways=self._way_answers(part, qty, bearing, delay),
            route=self._route(lots, delay),
            notes=(HOLIDAYS_NOTE, SPREAD_NOTE),
        )

    def _cores(self, part: str) -> int:
        return 1 if part in self.fleet.live_parts else 0

    def _lots(self, part: str, bearing: bool) -> list[Lot]:
        lots = self.supplies.own_lots(part, bearing, self._cores(part))
        for stand_in in self.supplies.stand_ins(part, bearing):
            lots += self.supplies.stand_in_lots(stand_in, bearing)
        return lots

    def _confident(self, lots: list[Lot]) -> list[Lot]:
        spread = self.market.corrections.log_spread
        confidence = self.snapshot.site.confidence
        found = []
        for lot in lots:
            days = confident_days(lot.way, spread, confidence, lot.further)
            found.append(replace(lot, days=days))
        return found

    def _way_answers(
        self, part: str, qty: int, bearing: bool, delay: Delay
    ) -> tuple[WayAnswer, ...]:
        answers = [
            self._way_answer(way, qty, self._why_not(way, part, bearing))
            for way in self.market.ways(part)
        ]
        for stand_in in self.supplies.all_stand_ins(part):
            for way in self.market.ways(stand_in.part):
                if way.kind in ("repair", "donor"):
                    continue
                why_not = self._why_not_standing_in(way, stand_in, bearing)
                answers.append(self._way_answer(way, qty, why_not, stand_in))
        answers += [
            self._way_answer(lot.way, qty, None) for lot in delay.drawn if lot.way.kind == "default"
        ]
        return tuple(sorted(answers, key=_in_reading_order))

    def _why_not(self, way: Way, part: str, bearing: bool) -> str | None:
        if way.why_not is None and way.kind == "repair" and not self._cores(part):
            return "no removed unit to repair: the part sits in no live position"
        return way.why_not or (way.why_not_on_load_bearing() if bearing else None)

    def _why_not_standing_in(self, way: Way, stand_in: StandIn, bearing: bool) -> str | None:
        if bearing and stand_in.approval is None:
            return f"{stand_in.part} as substitute without a recorded approval: it would bear load"
        return way.why_not or (way.why_not_on_load_bearing() if bearing else None)

    def _way_answer(
        self, way: Way, qty: int, why_not: str | None, stand_in: StandIn | None = None
    ) -> WayAnswer:
        spread = self.market.corrections.log_spread
        dated = way.days < NEVER
        price, price_note = self._price(way)
        order_cost = in_site_currency(self.snapshot, way.order_cost, way.currency)
        return WayAnswer(
            part=way.part,
            source=way.source,
            kind="substitute" if stand_in is not None else way.kind,
            supplier=way.supplier,
            route=way.route.name if way.route is not None else None,
            qty=way.qty,
            days_mean=way.days if dated else None,
            days_confident=confident_days(way, spread, self.snapshot.site.confidence)
            if dated
            else None,
            price=price,
            currency=self.snapshot.site.currency,
            usable=why_not is None,
            why_not=why_not,
            notes=(
                *way.notes,
                *price_note,
                *(("assumed",) if way.assumed else ()),
                *((f"corrected by {way.ratio:.2f}",) if way.ratio != 1.0 else ()),
            ),
            min_qty=way.min_qty,
            order_cost=order_cost if way.is_offer else None,
            landed_price=_landed(price, order_cost, max(qty, way.min_qty)),
        )

    def _price(self, way: Way) -> tuple[float | None, tuple[str, ...]]:
        """Price of a unit in the site's currency, and what must be said of it."""
        price = in_site_currency(self.snapshot, way.price, way.currency)
        if way.price is None or way.currency in (None, self.snapshot.site.currency):
            return price, ()
        if price is None:
            return None, (f"{way.price:g} {way.currency}, no rate known",)
        return price, (f"at the rate of {self.snapshot.currencies[way.currency or ''].dated}",)

    def _route(self, lots: list[Lot], delay: Delay) -> RouteAnswer | None:
        """The route of the fastest usable way that has one."""
        by_route = Supply(lot for lot in (*lots, *delay.drawn) if lot.way.route is not None)
        route = by_route.lots[0].way.route if by_route.lots else None
        return None if route is None else route.answer()


def _landed(price: float | None, order_cost: float | None, units: int) -> float | None:
    """What one of so many units comes to with its share of the order."""
    return None if price is None or order_cost is None else price + order_cost / units


def _in_reading_order(answer: WayAnswer) -> tuple[bool, float, str, str]:
    days = NEVER if answer.days_mean is None else answer.days_mean
    return not answer.usable, days, answer.kind, answer.source
