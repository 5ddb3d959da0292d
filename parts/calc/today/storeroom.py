"""What waits for the storeroom: goods, limits, shelves, and what lies aside.

Rules that are findings too are read where the findings read them. Says what to look at; what may
be fitted is for others to decide.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Mapping

from parts.calc.buying.enquiries import Enquiries
from parts.calc.getting.stock import USABLE, PartStock
from parts.calc.getting.storage_care import care_due
from parts.calc.ranking.findings_of_supply import PRACTICE, issued_and_not_ordered
from parts.calc.today.counts import Account, Counts, counts_due, last_counts
from parts.calc.today.lines import SOON_DAYS, Morning
from parts.records.today_answers import Place, TodayLine, Urgency

ASIDE = {
    "quarantine": ("quarantine", "in quarantine", "not usable until somebody who may has decided"),
    "in_repair": ("repair", "taken out and in repair", "not usable until it is back and passed"),
}


class Storeroom:
    """The storeroom's lines of one day; `counted` adds counts that changed nothing."""

    def __init__(
        self, morning: Morning, counted: Mapping[Account, datetime.date] | None = None
    ) -> None:
        self.morning = morning
        self.exposures = morning.exposures
        self.snapshot = morning.snapshot
        self.today = morning.today
        self.stock: Mapping[str, PartStock] = self.exposures.outage.market.stock
        self.counts = self._counts(counted or {})

    def lines(self) -> Iterator[TodayLine]:
        yield from self._due_in()
        yield from self._below()
        yield from self._not_reordered()
        yield from self._shelf_lives()
        yield from self._care()
        yield from self._aside()
        yield from self._to_count()

    def notes(self) -> Iterator[str]:
        due, listed = len(self.counts.due), min(len(self.counts.due), self.counts.a_week)
        if due > listed:
            yield (
                f"{due:,} places in store are due to be counted; listed is this week's share of "
                f"{listed}, with which all are counted as often as their wait asks for"
            )

    def _due_in(self) -> Iterator[TodayLine]:
        enquiries = Enquiries(self.exposures)
        for row in self.snapshot.orders:
            way = None if row.received_on is not None else enquiries.way_of(row)
            if way is None or not way.qty or math.isinf(way.days) or way.days > 0.0:
                continue
            due_on = self.today + datetime.timedelta(days=round(way.days))
            over = due_on < self.today
            when = f"was due on {due_on}" if over else "is due today"
            yield self.morning.dated(
                "due_in",
                row.order,
                due_on,
                Place("order" if over else "part", part=row.part, order=row.order),
                sentence=f"{way.qty} of {row.part} from {row.supplier} {when}",
                why=way.why_not or "as promised",
                record=way.record,
            )

    def _below(self) -> Iterator[TodayLine]:
        for line in self.morning.reorders:
            if line.below is None:
                continue
            urgency = Urgency.SOON if line.usable + line.on_order else Urgency.NOW
            yield TodayLine(
                "below",
                line.part,
                f"{line.usable} usable and {line.on_order} on order, below {line.below}",
                line.why,
                None,
                urgency,
                self.morning.lost_days(line.part),
                Place("part", part=line.part),
                line.record,
            )

    def _not_reordered(self) -> Iterator[TodayLine]:
        for part, issued_on in issued_and_not_ordered(self.exposures.outage):
            yield TodayLine(
                "not_reordered",
                part,
                f"issued on {issued_on} and nothing has been ordered since",
                "order it again, or have its owner say that it is not wanted",
                None,
                Urgency.NOW,
                float((self.today - issued_on).days),
                Place("part", part=part),
                f"movements {part}",
            )

    def _shelf_lives(self) -> Iterator[TodayLine]:
        for part, held in sorted(self.stock.items()):
            ages = self.snapshot.parts[part].shelf_life_months is not None
            for (store, expires_on, condition), qty in held.lots.items():
                if condition != USABLE or qty <= 0:
                    continue
                if expires_on is not None:
                    yield from self._shelf_life(part, store, expires_on, qty)
                elif ages:
                    yield TodayLine(
                        "shelf_life",
                        part,
                        f"{qty} in {store or 'store'} without a date, though it ages on the shelf",
                        "find the date of making; without it nobody knows when it is over",
                        None,
                        Urgency.LATER,
                        0.0,
                        Place("part", part=part),
                        f"movements {part}",
                    )

    def _shelf_life(
        self, part: str, store: str | None, expires_on: datetime.date, qty: int
    ) -> Iterator[TodayLine]:
        days_left = (expires_on - self.today).days
        if days_left > SOON_DAYS:
            return
        over = days_left < 0
        yield self.morning.dated(
            "shelf_life",
            part,
            # the last day is one of life, so it is over on the day after
            expires_on + datetime.timedelta(days=1),
            Place("part", part=part),
            sentence=f"{qty} in {store or 'store'}, "
            + (f"past shelf life since {expires_on}" if over else f"in life until {expires_on}"),
            why="not for use: set it aside" if over else "after that day it counts as none",
            record=f"movements {part}",
        )

    def _care(self) -> Iterator[TodayLine]:
        for due in care_due(self.snapshot, self.stock):
            yield self.morning.dated(
                "care",
                due.part,
                due.due_on,
                Place("part", part=due.part),
                sentence=f"{due.qty} in {due.store or 'store'} untouched since {due.since}: "
                "turning, re-forming or inspecting is due",
                why=f"every {due.every_months:g} months; {due.source or PRACTICE}",
                record=f"movements {due.part}",
            )

    def _aside(self) -> Iterator[TodayLine]:
        for part, held in sorted(self.stock.items()):
            for lot, qty in held.lots.items():
                if lot[2] not in ASIDE or qty <= 0:
                    continue
                kind, words, why = ASIDE[lot[2]]
                since = held.lying_since[lot]
                yield TodayLine(
                    kind,
                    part,
                    f"{qty} in {lot[0] or 'store'} {words} since {since}",
                    why,
                    None,
                    Urgency.LATER,
                    float((self.today - since).days),
                    Place("part", part=part),
                    f"movements {part}",
                )

    def _counts(self, counted: Mapping[Account, datetime.date]) -> Counts:
        latest = last_counts(self.snapshot.movements)
        for account, day in counted.items():
            if day <= self.today:
                latest[account] = max(day, latest.get(account, day))
        restocking = self.exposures.long_run.restocking
        return counts_due(
            self.stock, latest, lambda part: restocking.of(part).lead_days, self.today
        )

    def _to_count(self) -> Iterator[TodayLine]:
        for due in self.counts.due[: self.counts.a_week]:
            last = f"last on {due.counted_on}" if due.counted_on else "no count on record"
            wait = "nobody knows how long one takes to come"
            if due.lead_days is not None:
                wait = f"one takes {due.lead_days:.0f} days to come"
            yield TodayLine(
                "count",
                due.part,
                f"count it in {due.store or 'store'}: {last}",
                f"every {due.every_days} days, as {wait}; common practice, the days are a choice",
                due.due_on,
                Urgency.SOON,
                due.lead_days,
                Place("part", part=due.part),
                f"movements {due.part}",
            )
