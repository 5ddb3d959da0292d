"""Parts whose last day lies ahead: until when to order, and how many.

A part is in the list when every usable offer of a new one has a last day while the part is still
asked for, or when its end is announced and nobody offers it. Where one supplier goes on, nothing
presses.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from functools import cached_property

from parts.calc.buying.last_buy import LastBuys
from parts.calc.buying.order_dates import calendar_of, order_by
from parts.calc.getting.prices import Purchase
from parts.calc.getting.spread import confident_days
from parts.calc.getting.ways import earliest
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.ranking.exposures import Exposures
from parts.records.catalogue import Part
from parts.records.purchase_answers import Deadline, LastBuyAnswer
from parts.records.supply import Notice

Days = tuple[datetime.date | None, datetime.date | None]


class Deadlines:
    """The last days of a site's parts."""

    def __init__(self, exposures: Exposures) -> None:
        self.snapshot = exposures.snapshot
        self.market = exposures.outage.market
        self.last_buys = LastBuys(exposures)
        self.calendar = calendar_of(exposures.snapshot)

    def answer(self) -> tuple[Deadline, ...]:
        """The soonest first, then those without a day of their own."""
        found = [each for part in sorted(self.snapshot.parts) for each in self._of(part)]
        never = datetime.date.max
        return tuple(sorted(found, key=lambda each: (each.order_by or never, each.part)))

    def _of(self, part: str) -> Iterator[Deadline]:
        purchases = self.last_buys.prices.purchases(part, {"new"})
        if not purchases:
            announced = self._announced(part)
            if any(day is not None and day >= self.snapshot.today for day in announced):
                yield self._line(part, announced, None)
            return
        days = [self.market.closing_days(each.offer) for each in purchases]
        ends = [earliest(each) for each in days]
        if None not in ends and self._presses(part, max(end for end in ends if end is not None)):
            yield self._line(part, days[0], purchases[0])

    def _presses(self, part: str, last_on: datetime.date) -> bool:
        """Whether the part is still asked for when the last of its offers closes."""
        return (
            self.last_buys.horizon(part).years * DAYS_A_YEAR > (last_on - self.snapshot.today).days
        )

    def _line(self, part: str, days: Days, purchase: Purchase | None) -> Deadline:
        advice = self.last_buys.answer(part)
        lead_days = None if purchase is None else self._lead_days(purchase)
        by = order_by(*days, lead_days or 0.0, self.calendar)
        return Deadline(
            part=part,
            description=advice.description,
            supplier=advice.supplier,
            last_buy_on=days[0],
            last_ship_on=days[1],
            lead_days=lead_days,
            order_by=by,
            days_left=None if by is None else (by - self.snapshot.today).days,
            quantity=advice.quantity,
            cost=_cost(advice, purchase),
            chance_enough=advice.chance_enough,
            reason=advice.reason,
            record=self._record(part, purchase),
        )

    def _lead_days(self, purchase: Purchase) -> float:
        spread = self.market.corrections.log_spread
        return confident_days(purchase.way, spread, self.snapshot.site.confidence, further=True)

    def _announced(self, part: str) -> Days:
        """What the part and the latest notice on it say, nobody offering it."""
        row, notice = self.snapshot.parts[part], self._notices.get(part)
        ends: tuple[Part | Notice, ...] = (row,) if notice is None else (row, notice)
        return (
            earliest(each.last_buy_on for each in ends),
            earliest(each.last_ship_on for each in ends),
        )

    @cached_property
    def _notices(self) -> dict[str, Notice]:
        """The latest notice of each part's end."""
        rows = sorted(self.snapshot.notices, key=lambda row: row.notice_on)
        return {row.part: row for row in rows if row.kind == "discontinuance"}

    def _record(self, part: str, purchase: Purchase | None) -> str:
        notice = self._notices.get(part)
        if notice is not None:
            supplier = f"/{notice.supplier}" if notice.supplier else ""
            return f"notices {part}{supplier}/{notice.notice_on}"
        return f"parts {part}" if purchase is None else purchase.way.record


def _cost(advice: LastBuyAnswer, purchase: Purchase | None) -> float | None:
    if purchase is None or not advice.quantity:
        return None
    return purchase.lot_cost(advice.quantity)
