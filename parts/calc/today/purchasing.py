"""What waits for purchasing: late orders, orders to place, days that end, what to ask.

Every line stands in an answer of purchasing already; here is only picked what cannot wait, and
put in order by what a year takes through the part.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator

from parts.calc.buying.enquiries import Enquiries
from parts.calc.today.lines import Morning, many
from parts.records.purchase_answers import Deadline, Enquiry, EnquiryLine, LateOrder
from parts.records.today_answers import Place, TodayLine, Urgency

HEAVIEST = 10
"""One source only is told of so many parts, those through which a year takes most."""
NAMED = 3


class Purchasing:
    """Purchasing's lines of one day."""

    def __init__(self, morning: Morning, deadlines: Iterable[Deadline]) -> None:
        self.morning = morning
        self.today = morning.today
        self.deadlines = deadlines
        self.questions = Enquiries(morning.exposures)

    def lines(self) -> Iterator[TodayLine]:
        yield from map(self._late, self.questions.late_orders())
        yield from self._orders()
        yield from self._last_orders()
        for enquiry in self.questions.enquiries(head_starts=False):
            yield from self._asks(enquiry)

    def _late(self, order: LateOrder) -> TodayLine:
        overdue = order.days_overdue > 0
        if overdue:
            why = "an overdue order counts for nothing until there is a new date"
        elif order.due_on is None:
            why = "without a date it counts for nothing"
        else:
            why = f"ordered on {order.ordered_on}, promised for {order.due_on}"
        return TodayLine(
            "late_order",
            order.order,
            f"{order.open_qty} of {order.part} from {order.supplier}: {order.sentence}",
            why,
            order.due_on,
            Urgency.NOW if overdue or order.due_on is None else Urgency.SOON,
            float(order.days_overdue),
            Place("order", part=order.part, order=order.order, supplier=order.supplier),
            order.record,
        )

    def _orders(self) -> Iterator[TodayLine]:
        for line in self.morning.reorders:
            if line.order_now:
                yield TodayLine(
                    "order_now",
                    line.part,
                    f"order {line.order_now:,} from {line.supplier}",
                    line.why,
                    self.today,
                    Urgency.NOW,
                    self.morning.lost_days(line.part),
                    Place("to order", part=line.part, supplier=line.supplier),
                    line.record,
                )

    def _last_orders(self) -> Iterator[TodayLine]:
        for each in self.deadlines:
            place = Place("last buy", part=each.part, supplier=each.supplier)
            if each.order_by is not None:
                yield self.morning.dated(
                    "last_order",
                    each.part,
                    each.order_by,
                    place,
                    sentence=self._last_order_words(each, each.order_by),
                    why=each.reason or "after that day it cannot be bought new",
                    record=each.record,
                )
                continue
            yield TodayLine(
                "last_order",
                each.part,
                f"by when to order from {each.supplier or 'anybody'} is not known",
                each.reason or "ask the supplier",
                None,
                Urgency.LATER,
                None,
                place,
                each.record,
            )

    def _last_order_words(self, each: Deadline, order_by: datetime.date) -> str:
        if each.supplier is None:
            return f"nobody offers it; its last day is {order_by}"
        if order_by < self.today:
            return f"the day to order from {each.supplier} was {order_by}: ask today"
        if not each.quantity:
            return f"{each.supplier} takes orders until {order_by}; none is advised"
        return f"order {each.quantity:,} from {each.supplier} by {order_by}"

    def _asks(self, enquiry: Enquiry) -> Iterator[TodayLine]:
        """What to ask one supplier: old quotations as one letter, the rest part by part."""
        old = [line for line in enquiry.lines if line.about == "quotation"]
        if old:
            yield self._old_quotations(enquiry.supplier, old)
        heavy = self._heaviest
        for line in enquiry.lines:
            if line.about == "price":
                yield self._ask("no_price", enquiry.supplier, line)
            elif line.about == "only source" and line.part in heavy:
                yield self._ask("sole_source", enquiry.supplier, line)

    @property
    def _heaviest(self) -> set[str]:
        """The parts at the head of the ranking; one that nobody has reckoned heads it."""
        ranking = self.morning.ranking
        return {ranking.parts[at] for at in ranking.order[:HEAVIEST]}

    def _ask(self, kind: str, supplier: str, line: EnquiryLine) -> TodayLine:
        return TodayLine(
            kind,
            line.part,
            f"{supplier}: {line.sentence}",
            "among the parts through which a year takes most"
            if kind == "sole_source"
            else "what it costs and saves cannot be weighed without",
            None,
            Urgency.LATER,
            self.morning.lost_days(line.part),
            Place("questions", part=line.part, supplier=supplier),
            line.record,
        )

    def _old_quotations(self, supplier: str, old: list[EnquiryLine]) -> TodayLine:
        """The heaviest parts named first; a part that is not known heads the list."""
        days = {line.part: self.morning.lost_days(line.part) for line in old}
        ranked = sorted(days, key=lambda part: (days[part] is not None, -(days[part] or 0.0), part))
        named, more = ranked[:NAMED], len(ranked) - NAMED
        told = [f"{line.part}: {line.sentence}" for part in named for line in old
                if line.part == part]  # fmt: skip
        rest = f" and {more} more" if more > 0 else ""
        return TodayLine(
            "old_quotation",
            supplier,
            f"ask again for {many(len(ranked), 'part')}: {', '.join(named)}{rest}",
            "; ".join(dict.fromkeys(told)),
            None,
            Urgency.LATER,
            sum(value for value in days.values() if value is not None),
            Place("questions", supplier=supplier),
            old[0].record,
        )
