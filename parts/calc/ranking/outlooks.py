"""What is likely: rates and lives, demand, how long each part can be had, working periods."""

from __future__ import annotations

import datetime
from functools import cached_property

import numpy as np

from parts.calc.getting.ways import earliest
from parts.calc.likelihoods.duty import load_factor, working_period
from parts.calc.likelihoods.lives import Life
from parts.calc.likelihoods.obtainable import Outlook, jump_year
from parts.calc.ranking.exposures import Exposures
from parts.records.risk_answers import DutyAnswer, LifeAnswer, LikelyAnswer, PartOutlook


class Outlooks:
    """The outlook of a site's parts, positions and mechanisms."""

    def __init__(self, exposures: Exposures) -> None:
        self.exposures = exposures
        self.snapshot = exposures.snapshot
        self.fleet = exposures.fleet
        self.outlook = Outlook(exposures.fleet, exposures.outage.exchanges.supplies)

    def answer(self) -> LikelyAnswer:
        return LikelyAnswer(
            positions=tuple(map(self.exposures.position, self.fleet.listed.tolist())),
            parts=tuple(map(self.part, sorted(self.snapshot.parts))),
            duty=self.duty(),
        )

    def part(self, name: str) -> PartOutlook:
        """One part's outlook."""
        row = self.snapshot.parts[name]
        rate = self.exposures.likelihood.rate(name)
        life = self.exposures.likelihood.life(name)
        told = self.exposures.demand.planned.get(name)
        demand_class = None if told is None else told.demand_class
        return PartOutlook(
            part=name,
            description=row.description or "",
            stage=row.stage or self._stage(name),
            rate_mean=None if rate is None else rate.mean,
            rate_low=None if rate is None else rate.low,
            rate_high=None if rate is None else rate.high,
            demand_class=None if demand_class is None else demand_class.value,
            demand_per_year=self.exposures.demand.per_year(name),
            obtainable=self.outlook.obtainable(name),
            jump_year=jump_year(
                self.outlook.fates(name), self._restores(name), self.snapshot.today
            ),
            life=None if life is None else _life(life),
            closes_on=self.closes_on(name),
        )

    @cached_property
    def _rows(self) -> dict[str, list[int]]:
        parts, found = self.snapshot.positions.part, dict[str, list[int]]()
        for row in self.fleet.listed.tolist():
            found.setdefault(parts[row] or "", []).append(row)
        return found

    def _restores(self, part: str) -> list[tuple[float | None, float | None]]:
        """For each live position, the expected restore days, and those with the default alone."""
        default = self.exposures.outage.market.default(part)
        long_run, hours_per_day = self.exposures.long_run, self.snapshot.site.hours_per_day
        found = []
        for row in self._rows.get(part, ()):
            today = float(long_run.restore_days[row])
            hands_on = float(self.fleet.exchange_hours[row]) / hours_per_day
            then = None if default is None else default.further_days + hands_on
            found.append((None if np.isnan(today) else today, then))
        return found

    def closes_on(self, part: str) -> datetime.date | None:
        """The last day on which the last of a part's new offers still takes orders; None where
        one has no end, or where there is none."""
        market = self.exposures.outage.market
        offers = [row for row in market.offers(part) if row.kind == "new"]
        ends = [earliest(market.closing_days(row)) for row in offers]
        known = [end for end in ends if end is not None]
        return max(known) if known and len(known) == len(ends) else None

    def _stage(self, part: str) -> str:
        """Where a part stands on the market, from its ways; stages in the sense of IEC 62402
        (2019): available, end announced, no longer available from its maker."""
        market, today = self.exposures.outage.market, self.snapshot.today
        offers = [way for way in market.ways(part) if way.is_offer]
        if not any(way.why_not is None for way in offers):
            return "no known source"
        if not any(way.why_not is None and way.kind == "new" for way in offers):
            return "obsolete" if self.closes_on(part) else "made, repaired or used only"
        closes_on = self.closes_on(part)
        return "end announced" if closes_on is not None and closes_on >= today else "current"

    def duty(self, hours_factor: float = 1.0, km: float | None = None) -> tuple[DutyAnswer, ...]:
        """The working periods, those used up most first, as used or with other use from today on:
        `hours_factor` times the hours a year, a load-spectrum factor of `km` where it is less."""
        found = []
        for row in self.snapshot.duty:
            heavier = None if km is None else max(km, load_factor(row) or 0.0)
            period = working_period(row, self.snapshot.today, hours_factor=hours_factor, km=heavier)
            found.append(
                DutyAnswer(
                    crane=period.crane,
                    mechanism=period.mechanism,
                    group=row.group,
                    km=period.km,
                    used_hours=period.used_hours,
                    group_hours=period.group_hours,
                    used_share=period.used_share,
                    runs_out_on=period.runs_out_on,
                    method_factor=period.method_factor,
                    readings=period.readings,
                )
            )
        return tuple(sorted(found, key=lambda each: (-(each.used_share or 0.0), each.crane)))


def _life(life: Life) -> LifeAnswer:
    return LifeAnswer(
        shape=life.shape,
        scale=life.scale,
        shape_low=life.shape_low,
        shape_high=life.shape_high,
        scale_low=life.scale_low,
        scale_high=life.scale_high,
        basis=life.basis,
        failures=life.failures,
        censored=life.censored,
        source=life.source,
        warnings=life.warnings,
    )
