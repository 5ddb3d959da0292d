"""Which risks have risen since an earlier day, and why.

Compares the exposures of two days. The part's position that rose most tells which factor did it:
failures, wait or weight; then the rows that are new in between, or that have run out, tell why.
What carries no date (a limit, a position, a price) is taken as it is now on both days, and so is a
quotation that was renewed: only its last date is known.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from parts.calc.getting.ways import Market, Way
from parts.calc.ranking.exposures import Exposures
from parts.calc.ranking.risks import Risks
from parts.calc.waiting.part_sets import MemberTerm
from parts.calc.waiting.restocking import Restock

Array = NDArray[np.float64]
LEAST_RISE_DAYS = 0.1
"""A part that takes less than so many lost days a year more is not told; a choice, no source."""
LEAST_SHARE = 0.1
"""A factor whose share in a rise is less than this of the largest one's is not told."""
CLEARLY, JUST = 1.01, 1.0 + 1e-6
"""How many times as long or as often: what has risen less than clearly is told only where nothing
else has risen."""


@dataclass(frozen=True, slots=True)
class Cause:
    """One reason: of what kind, in words, and the record behind it."""

    kind: str
    text: str
    record: str


@dataclass(frozen=True, slots=True)
class Rise:
    """A part whose exposure rose, in lost days a year; `now_days` None = not known any more."""

    part: str
    then_days: float
    now_days: float | None
    causes: tuple[Cause, ...]

    @property
    def more_days(self) -> float | None:
        return None if self.now_days is None else self.now_days - self.then_days


class Risen:
    """The rises from one day to another of one site."""

    def __init__(self, now: Exposures, then: Exposures, ranking: Risks | None = None) -> None:
        self.now = now
        self.then = then
        self.since = then.snapshot.today
        self.rows: Mapping[str, list[int]] = (ranking or Risks(now)).rows
        self.market, self.market_then = now.outage.market, then.outage.market

    def answer(self) -> tuple[Rise, ...]:
        """The parts that rose, what is not known any more first, then the most."""
        found = [rise for part, rows in self.rows.items() if (rise := self._rise(part, rows))]
        unknown = math.inf
        return tuple(
            sorted(
                found,
                key=lambda r: (-(unknown if r.more_days is None else r.more_days), r.part),
            )
        )

    def _rise(self, part: str, rows: list[int]) -> Rise | None:
        now, then = self.now.days[rows], self.then.days[rows]
        then_days = float(np.nansum(then))
        lost_sight = np.isnan(now) & ~np.isnan(then)
        if lost_sight.any():
            row = rows[int(np.argmax(lost_sight))]
            return Rise(part, then_days, None, self._causes(part, row))
        both = ~np.isnan(now) & ~np.isnan(then)
        more = np.where(both, now - then, 0.0)
        if float(more.sum()) < LEAST_RISE_DAYS:
            return None
        row = rows[int(np.argmax(more))]
        return Rise(part, then_days, then_days + float(more.sum()), self._causes(part, row))

    # Why

    def _causes(self, part: str, row: int) -> tuple[Cause, ...]:
        """The causes of the factor that rose most first."""
        now, then = self.now, self.then
        figures = (
            (now.likelihood.failures_next_year, then.likelihood.failures_next_year),
            (now.long_run.restore_days, then.long_run.restore_days),
            (now.weights, then.weights),
        )
        tells = (lambda: self._failures(part, row), lambda: self._wait(row),
                 lambda: self._weight(row))  # fmt: skip
        rises = [_rise_of(float(a[row]), float(b[row])) for a, b in figures]
        telling = max(rises) * LEAST_SHARE
        ranked = sorted(range(len(rises)), key=lambda at: -rises[at])
        causes = [each for at in ranked if 0.0 < rises[at] >= telling for each in tells[at]()]
        once = {cause.text: cause for cause in reversed(causes)}
        return tuple(reversed(once.values())) or (
            Cause("time", "days have passed: what ends is nearer", f"parts {part}"),
        )

    def _failures(self, part: str, row: int) -> Iterator[Cause]:
        """New failures of the part, else its age."""
        held = {
            (self.now.snapshot.positions.crane[at], self.now.snapshot.positions.position[at])
            for at in self.rows[part]
        }
        new = [
            each
            for each in self.now.snapshot.failures
            if each.failed_on > self.since
            and (each.part == part or (each.crane, each.position) in held)
        ]
        for each in new:
            place = f"{each.crane}/{each.position}"
            yield Cause("failure", f"{place} failed on {each.failed_on}", f"positions {place}")
        if not new and self.now.likelihood.basis[row] == "weibull":
            yield Cause(
                "age", "it is older, and fails the more often the older it is", f"parts {part}"
            )

    def _wait(self, row: int) -> Iterator[Cause]:
        """What has changed for the members of the set that is waited for, then or now."""
        members = {
            term.restock.pool: term.part
            for exposures in (self.then, self.now)
            for term in _members(exposures, row)
        }
        pairs = [
            (self.now.long_run.restocking.of(part), self.then.long_run.restocking.of(part))
            for part in members.values()
        ]
        found = [
            each
            for restock, before in pairs
            if restock.stock < before.stock
            for part in restock.parts
            for each in self._stock(part)
        ]
        found += self._slower(pairs, CLEARLY)
        yield from found or [*self._slower(pairs, JUST), *self._asked_more(members)]

    def _slower(self, pairs: list[tuple[Restock, Restock]], times: float) -> Iterator[Cause]:
        for restock, before in pairs:
            if _days(restock) > _days(before) * times:
                yield from self._lead(before, restock)

    def _asked_more(self, pools: Iterable[str]) -> Iterator[Cause]:
        for pool in pools:
            more = self.now.long_run.demand_per_year(pool)
            before = self.then.long_run.demand_per_year(pool)
            if more > before * JUST:
                text = f"{pool} is asked for {more:.3g} times a year, {before:.3g} before"
                yield Cause("demand", text, f"parts {pool}")

    def _stock(self, part: str) -> Iterator[Cause]:
        """What took units out of store or off the orders that count."""
        if _kept(self.market, part, "stock") < _kept(self.market_then, part, "stock"):
            yield from self._taken(part)
            yield from self._expired(part)
        before = {way.record: way for way in self.market_then.ways(part) if _counts(way)}
        for way in self.market.ways(part):
            if way.kind == "order" and way.record in before and way.why_not and way.qty:
                text = f"{way.source} of {part} from {way.supplier} is {way.why_not}"
                yield Cause("order", text, way.record)

    def _taken(self, part: str) -> Iterator[Cause]:
        rows = [row for row in self.now.snapshot.movements if row.part == part]
        undone = {row.reverses for row in rows if row.reverses}
        for row in rows:
            if row.date > self.since and row.qty < 0 and row.key not in undone:
                kind = {"issue": "issue", "scrap": "scrapping", "count": "count"}.get(row.kind)
                place = f" for {'/'.join(filter(None, (row.crane, row.position)))}"
                text = (
                    f"{-row.qty} of {part} left the store on {row.date} ({kind or row.kind})"
                    f"{place if row.crane else ''}"
                )
                yield Cause(row.kind, text, f"movements {part}")

    def _expired(self, part: str) -> Iterator[Cause]:
        held = self.market.stock.get(part)
        for (_, expires_on, condition), qty in held.lots.items() if held else ():
            if condition != "usable" or expires_on is None or qty <= 0:
                continue
            if self.since <= expires_on < self.now.snapshot.today:
                text = f"{qty} of {part} in store past shelf life since {expires_on}"
                yield Cause("expiry", text, f"movements {part}")

    def _lead(self, before: Restock, restock: Restock) -> Iterator[Cause]:
        """Why the way that brought one more is gone or slower."""
        if before.assumed:
            yield from _quoted(before, restock)
            return
        found = None if before.way is None else _same(self.market, before.way)
        if found is None:
            return
        if found.why_not is None:
            text = f"deliveries since then came late, so {found.supplier} is reckoned slower"
            yield Cause("deliveries", text, found.record)
            return
        new = [
            row
            for row in self.now.snapshot.notices
            if row.part == found.part and row.notice_on > self.since
        ]
        for notice in new:
            text = f"notice of {notice.notice_on} on {found.part}: {found.why_not}"
            yield Cause("notice", text, found.record)
        if not new:
            text = f"{found.part} from {found.supplier}: {found.why_not}"
            yield Cause("offer", text, found.record)

    def _weight(self, row: int) -> Iterator[Cause]:
        """Stand-ins that are out more often than before."""
        crane = self.now.snapshot.positions.crane[row]
        before = self.then.partners(row)
        for name, out in self.now.partners(row).items():
            if _chance(out) > _chance(before.get(name)) * JUST:
                place = f"{crane}/{name}"
                text = f"{place}, which stands in for it, is out more of the time"
                yield Cause("stand-in", text, f"positions {place}")


def _members(exposures: Exposures, row: int) -> tuple[MemberTerm, ...]:
    wait = exposures.long_run.set_wait(row)
    return () if wait is None else wait.members


def _rise_of(now: float, then: float) -> float:
    """The logarithm of how many times as much, so that factors add up; without end where it is
    not known any more."""
    if np.isnan(then) or now <= then:
        return 0.0
    return math.inf if np.isnan(now) or then == 0.0 else math.log(now / then)


def _chance(out: float | None) -> float:
    """A chance to be out; what nobody can restore counts as out for good."""
    return 1.0 if out is None else 0.0 if np.isnan(out) else out


def _days(restock: Restock) -> float:
    return math.inf if restock.lead_days is None else restock.lead_days


def _quoted(before: Restock, restock: Restock) -> Iterator[Cause]:
    """A first quotation that is longer than what was assumed until then."""
    way = restock.way
    if way is not None and not restock.assumed:
        text = (
            f"{way.supplier} says {restock.lead_days:.0f} days for {way.part}, where "
            f"{before.lead_days:.0f} were assumed"
        )
        yield Cause("quotation", text, way.record)


def _counts(way: Way) -> bool:
    return way.kind == "order" and way.why_not is None and bool(way.qty)


def _kept(market: Market, part: str, kind: str) -> int:
    return sum(way.qty or 0 for way in market.ways(part) if way.kind == kind and not way.why_not)


def _same(market: Market, way: Way) -> Way | None:
    return next((each for each in market.ways(way.part) if each.record == way.record), None)
