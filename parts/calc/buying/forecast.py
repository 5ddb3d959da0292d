"""Exposure year by year, as is and with a plan: ageing, ways that close, cranes that go, purchases
that arrive.

A year counts twelve months from today's date. A way that closes in one year is gone from the next
on; a part left without any has the stock that it has. Totals are those of cranes whose other parts
stand still while they are down.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.calc.buying.plan_pricing import Bought
from parts.calc.buying.plan_terms import Outset, PlanTerms, long_run_under
from parts.calc.getting.prices import Purchase
from parts.calc.getting.ways import earliest
from parts.calc.likelihoods.years import DAYS_A_YEAR, years_between
from parts.calc.needs.availability import lost_days_per_year
from parts.calc.ranking.exposures import Exposures
from parts.calc.waiting.long_run import LongRun
from parts.calc.waiting.restocking import Restock
from parts.errors import LongpoleError
from parts.records.plan_answers import (
    HEAD_START,
    ForecastAnswer,
    ForecastYear,
    PlanAnswer,
    PlanLine,
)

Array = NDArray[np.float64]
# a year in which more than so many lines arrive one after the other is split by months instead
MOST_ARRIVALS = 24
MONTHS = 12
MOST_YEARS = 200
NOTES = (
    "year 1 starts today; a part whose last chance to be bought lies in a year has fixed stock "
    "from the next year on",
    "fixed stock is spread evenly over the years that it has to last",
)


class TooFarAhead(LongpoleError):
    def __init__(self, years: int, most: int) -> None:
        super().__init__(f"{years} years cannot be foreseen; give 1 to {most} years")


class YearTerms(PlanTerms):
    """How each pool is kept up in one year: by the ways that have not closed before it."""

    def __init__(self, exposed: Exposures, year: int) -> None:
        super().__init__(exposed)
        self.year = year

    def _outset(self, restock: Restock) -> Outset:
        again = self._again(restock)
        standing = tuple(each.way for each in again if self._stands(each))
        if len(standing) == len(again):
            return Outset(restock, standing or self._defaults(restock))
        return self._left_with(restock, standing, False)

    def _stands(self, purchase: Purchase) -> bool:
        """Whether its last chance lies in this year or later."""
        chance = last_chance(self, purchase)
        return chance is None or years_between(self.snapshot.today, chance) > self.year - 1

    @cached_property
    def closed(self) -> frozenset[str]:
        """Offers that can no longer be used, by their records."""
        return frozenset(
            each.way.record
            for part in self.snapshot.parts
            for each in self._again(self.today.of(part))
            if not self._stands(each)
        )


def last_chance(terms: PlanTerms, purchase: Purchase) -> datetime.date | None:
    """The last day on which an offer can be used; None = it stands open."""
    buy_on, ship_on = terms.market.closing_days(purchase.offer)
    if ship_on is not None:
        ship_on -= datetime.timedelta(days=int(np.ceil(purchase.way.days)))
    return earliest((buy_on, ship_on))


@dataclass(frozen=True, slots=True)
class _Span:
    """A part of a year, in years from its start, with the lines that protect all through it."""

    start: float
    end: float
    lines: tuple[PlanLine, ...]


class Forecast:
    """Coming years of one site, with the plan of a budget if there is one."""

    def __init__(self, exposed: Exposures, plan: PlanAnswer | None = None) -> None:
        self.exposed = exposed
        self.snapshot = exposed.snapshot
        self.plan = plan
        self._terms: list[YearTerms] = []

    def answer(self, years: int) -> ForecastAnswer:
        """So many years from today.

        Raises ValueError for a number below 0, TooFarAhead for more years than can be told.
        """
        if years < 0:
            raise ValueError(f"a number of years is 0 or more, not {years}")
        # the calendar ends, so no year may begin beyond it
        most = min(MOST_YEARS, datetime.MAXYEAR - self.snapshot.today.year + 1)
        if years > most:
            raise TooFarAhead(years, most)
        found = tuple(self._year(year) for year in range(1, years + 1))
        notes = (*NOTES, *self._beside_the_plan(found[0])) if found else ()
        return ForecastAnswer(found, self.plan, notes)

    def _beside_the_plan(self, first: ForecastYear) -> Iterator[str]:
        """Why the plan does not start from what the first year shows."""
        if (
            self.plan is None
            or f"{self.plan.exposure_before:,.0f}" == f"{first.exposure_cost:,.0f}"
        ):
            return
        fixed = ", ".join(PlanTerms(self.exposed).fixed)
        held = f"holds the stock of {fixed} fixed from today and " if fixed else ""
        until = "lets a part be bought until its last day and " if fixed else ""
        yield (
            f"the plan starts from {self.plan.exposure_before:,.0f}, year 1 from "
            f"{first.exposure_cost:,.0f}: the plan {held}adds up what each part takes by itself, "
            f"a year {until}counts the time with several parts of a crane out once"
        )

    def _year(self, year: int) -> ForecastYear:
        days, cost = self._total(year, [_Span(0.0, 1.0, ())])
        with_plan: tuple[float, float] | tuple[None, None] = (None, None)
        if self.plan is not None:
            with_plan = self._total(year, list(self._spans(year, self.plan.lines)))
        return ForecastYear(year, _years_on(self.snapshot.today, year - 1), days, cost, *with_plan)

    def _total(self, year: int, spans: Sequence[_Span]) -> tuple[float, float]:
        """Lost days and money of a year, each span by what protects in it."""
        failures = self.exposed.likelihood.failures_in_year(year)
        days, cost = 0.0, 0.0
        for span in spans:
            lost = self._lost_days(year, failures, self._long_run(year, failures, span.lines))
            for crane, in_a_year in lost.items():
                row = self.snapshot.cranes[crane]
                at_work = max(0.0, min(span.end, self._end(crane, year)) - span.start)
                days += at_work * in_a_year
                cost += at_work * in_a_year * (row.down_cost_per_day or 0.0) * (
                    1.0 - row.cover_share
                )  # fmt: skip
        return days, cost

    def _long_run(self, year: int, failures: Array, lines: Sequence[PlanLine]) -> LongRun:
        terms = self._terms_of(year)
        bought = Bought(terms, (line.purchase for line in lines))
        asked = failures.copy()
        for crane, rows in self.exposed.fleet.slices.items():
            asked[rows] *= self._end(crane, year)
        return long_run_under(terms, bought.units, bought.starts, asked)

    def _lost_days(self, year: int, failures: Array, long_run: LongRun) -> dict[str, float]:
        """Days a year that each crane still at work loses, never more than the year has."""
        ratios = failures * long_run.restore_days / DAYS_A_YEAR * self.exposed.weights
        ratios = np.nan_to_num(np.where(self.exposed.weights == 0.0, 0.0, ratios))
        return {
            crane: lost_days_per_year(ratios[rows].tolist())
            for crane, rows in self.exposed.fleet.slices.items()
            if self.snapshot.is_live(crane) and self._end(crane, year) > 0.0
        }

    def _end(self, crane: str, year: int) -> float:
        """How far into a year a crane works, as a share of it."""
        retire_on = self.snapshot.cranes[crane].retire_on
        if retire_on is None:
            return 1.0
        return min(1.0, max(0.0, years_between(self.snapshot.today, retire_on) - (year - 1)))

    def _terms_of(self, year: int) -> YearTerms:
        """The terms of a year; those of the year before where nothing has closed since."""
        while len(self._terms) < year:
            terms = YearTerms(self.exposed, len(self._terms) + 1)
            if self._terms and terms.closed == self._terms[-1].closed:
                terms = self._terms[-1]
            self._terms.append(terms)
        return self._terms[year - 1]

    def _spans(self, year: int, lines: Sequence[PlanLine]) -> Iterator[_Span]:
        """A year split where lines arrive."""
        arrivals = {line: self._arrives(line) - (year - 1) for line in lines}
        within = {at for at in arrivals.values() if 0.0 < at < 1.0}
        if len(within) > MOST_ARRIVALS:
            arrivals = {line: round(at * MONTHS) / MONTHS for line, at in arrivals.items()}
            within = {at for at in arrivals.values() if 0.0 < at < 1.0}
        start = 0.0
        for end in [*sorted(within), 1.0]:
            yield _Span(start, end, tuple(line for line in lines if arrivals[line] <= start))
            start = end

    def _arrives(self, line: PlanLine) -> float:
        """Years from today until a line protects; a head start does at once."""
        if line.action == HEAD_START:
            return 0.0
        lead_days = self.exposed.long_run.restocking.of(line.part).lead_days
        return (lead_days or 0.0) / DAYS_A_YEAR


def _years_on(day: datetime.date, years: int) -> datetime.date:
    try:
        return day.replace(year=day.year + years)
    except ValueError:  # 29 February
        return day.replace(year=day.year + years, day=28)
