"""The parts of the fleet ranked by what a year may take through them, or by their supply.

A part's exposure is the sum over its live positions. What is not known stands at the head of the
list, never as zero. How firm a rank is comes from drawing weights, rates and lead times anew.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.calc.failing.poles import way_words
from parts.calc.getting.supply import NEVER
from parts.calc.ranking.exposures import Exposures, known
from parts.calc.ranking.scores import DRIVERS, Figure, SupplyScore, SupplyScores, weighted_score
from parts.calc.ranking.stability import Draws, ahead_shares, draws_of, top10_shares
from parts.calc.waiting.restocking import Restock
from parts.calc.waiting.unit_waits import unit_wait_days
from parts.records.risk_answers import PartRisk

Array = NDArray[np.float64]
RANKINGS = ("exposure", "supply")


class Risks:
    """The ranking of all parts that sit in a listed position of a live crane."""

    def __init__(self, exposures: Exposures, by: str = "exposure") -> None:
        self.exposures = exposures
        self.snapshot = exposures.snapshot
        self.fleet = exposures.fleet
        self.by = by

    @cached_property
    def rows(self) -> dict[str, list[int]]:
        """Listed rows of each part, by part name."""
        parts, found = self.snapshot.positions.part, dict[str, list[int]]()
        for row in self.fleet.listed.tolist():
            if (part := parts[row]) is not None:
                found.setdefault(part, []).append(row)
        return dict(sorted(found.items()))

    @cached_property
    def parts(self) -> tuple[str, ...]:
        return tuple(self.rows)

    @cached_property
    def _scoring(self) -> SupplyScores:
        likelihood = self.exposures.likelihood

        def rate(part: str) -> float | None:
            found = likelihood.rate(part)
            return None if found is None else found.mean

        supplies = self.exposures.outage.exchanges.supplies
        return SupplyScores(self.fleet, supplies, likelihood.ages.years, likelihood.life, rate)

    @cached_property
    def scores(self) -> dict[str, SupplyScore]:
        return {part: self._scoring.score(part, self._lead_figure(part)) for part in self.parts}

    def _restock(self, part: str) -> Restock:
        return self.exposures.long_run.restocking.of(part)

    def _lead_figure(self, part: str) -> Figure:
        restock = self._restock(part)
        if restock.lead_days is None or restock.way is None:
            return Figure(None, "nobody knows how to get it")
        words = f"{restock.lead_days:.0f} days, {way_words(restock.way)}"
        return Figure(restock.lead_days, words, restock.records)

    @cached_property
    def days_of(self) -> dict[str, float]:
        """Lost days of each part a year; nan where none of its exposure is known."""
        return dict(zip(self.parts, self._sums[0].tolist(), strict=True))

    @cached_property
    def _sums(self) -> tuple[Array, Array]:
        """Lost days and money of each part a year; nan where none of its exposure is known."""
        return self._by_part(self.exposures.days), self._by_part(self.exposures.costs)

    def _by_part(self, figures: Array) -> Array:
        own = (figures[rows] for rows in self.rows.values())
        return np.array([np.nan if np.isnan(each).all() else np.nansum(each) for each in own])

    @cached_property
    def _has_costs(self) -> bool:
        """Whether any live crane has a cost a day; without, parts rank by days."""
        cranes = self.snapshot.cranes.values()
        return any(row.down_cost_per_day for row in cranes if self.snapshot.is_live(row.crane))

    @cached_property
    def _figures(self) -> list[Array]:
        """What ranks the parts, the first counts most; each (parts,)."""
        if self.by == "supply":
            scores = (self.scores[part].score for part in self.parts)
            return [np.array([np.nan if score is None else score for score in scores])]
        days, costs = self._sums
        return [costs, days] if self._has_costs else [days]

    @cached_property
    def order(self) -> tuple[int, ...]:
        """Places of the parts in rank order: not known first, then the most; ties by name."""
        figures = [np.where(np.isnan(each), np.inf, each) for each in self._figures]
        names = np.arange(len(self.parts))
        return tuple(np.lexsort((names, *(-each for each in reversed(figures)))).tolist())

    @cached_property
    def _draws(self) -> Draws:
        rates = [self.exposures.likelihood.rate(part) for part in self.parts]
        return draws_of(
            self.parts,
            self._scoring.weights,
            [None if rate is None else rate.shape for rate in rates],
            [self._restock(part).way for part in self.parts],
            log_spread=self.exposures.outage.market.corrections.log_spread,
        )

    @cached_property
    def top10_shares(self) -> dict[str, float]:
        """How often each part is among the first ten of this ranking when inputs are drawn."""
        return top10_shares(self.parts, self._draws, lambda _: self._drawn)

    @cached_property
    def ahead(self) -> dict[str, tuple[str, float]]:
        """The next of this ranking for each part but the last, and how often it stays behind."""
        ranked = [self.parts[at] for at in self.order]
        behind = zip(ranked[1:], ahead_shares(self.order, self._drawn), strict=True)
        return dict(zip(ranked, behind, strict=False))

    @cached_property
    def _drawn(self) -> Sequence[Array]:
        ranked = self._drawn_scores if self.by == "supply" else self._drawn_exposures
        return ranked(self._draws)

    def _drawn_exposures(self, draws: Draws) -> Sequence[Array]:
        """Exposures with each wait moved by as many days as that of the part's own stock moves."""
        factors = np.column_stack(
            [self._factor(part, column, draws) for column, part in enumerate(self.parts)]
        )
        return [figure * factors for figure in self._figures]

    def _factor(self, part: str, column: int, draws: Draws) -> Array:
        restock = self._restock(part)
        rates = draws.rate_factors[:, column]
        rows = self.rows[part]
        waits, hands_on = self.exposures.long_run.wait_days[rows], self._hands_on(rows)
        if restock.lead_days is None or np.isnan(waits).any():
            return np.asarray(rates)
        demand = self.exposures.long_run.demand_per_year(part)
        mean = unit_wait_days(np.array([demand]), np.array([restock.lead_days]), restock.stock)[0]
        drawn = unit_wait_days(demand * rates, draws.lead_days[:, column], restock.stock)
        total = waits.mean() + hands_on
        moved = np.maximum(waits.mean() + drawn - mean, 0.0) + hands_on
        return np.asarray(rates * moved / total if total > 0.0 else rates)

    def _hands_on(self, rows: list[int]) -> float:
        return float(self.exposures.long_run.hands_on_days[rows].mean())

    def _drawn_scores(self, draws: Draws) -> Sequence[Array]:
        values = np.array(
            [
                [np.nan if d.value is None else d.value for d in self.scores[part].drivers]
                for part in self.parts
            ]
        )
        drawn = np.broadcast_to(values, (len(draws.weights), *values.shape)).copy()
        lead = DRIVERS.index("lead_time")
        values_of_leads = self._scoring.functions["lead_time"](draws.lead_days)
        # what nobody knows how to get stays at its worst
        drawn[:, :, lead] = np.where(np.isnan(draws.lead_days), drawn[:, :, lead], values_of_leads)
        return [weighted_score(drawn, draws.weights[:, None, :])]

    def answer(self, top: int | None = None) -> tuple[PartRisk, ...]:
        """The ranking, or its first so many lines."""
        return tuple(self._line(at) for at in self.order[:top])

    def line(self, part: str) -> PartRisk:
        """One part's line; ValueError where it is not ranked."""
        return self._line(self.parts.index(part))

    def _line(self, at: int) -> PartRisk:
        part = self.parts[at]
        rows = self.rows[part]
        worst = min(self.exposures.outage.rank_of_row(row) for row in rows)
        worst_outage = self.exposures.outage.row(worst)
        days, costs = self._sums
        row = self.snapshot.parts[part]
        score = self.scores[part]
        following, ahead_share = self.ahead.get(part, (None, None))
        failures = self.exposures.likelihood.failures_next_year[rows]
        return PartRisk(
            part=part,
            description=row.description or "",
            supply_score=score.score,
            drivers=score.drivers,
            failures_next_year=None if np.isnan(failures).all() else float(np.nansum(failures)),
            exposure_days=known(days[at]),
            exposure_cost=known(costs[at]),
            waits_for=self._waits_for(rows),
            worst_crane=worst_outage.crane,
            worst_lost_days=worst_outage.lost_days,
            top10_share=self.top10_shares[part],
            next_part=following,
            ahead_share=ahead_share,
            positions=len(rows),
            unknown_positions=self._unknown(rows),
        )

    def _waits_for(self, rows: list[int]) -> str | None:
        """The member whose wait sets that of the position with the largest exposure."""
        days = np.nan_to_num(self.exposures.days[rows], nan=NEVER)
        wait = self.exposures.long_run.set_wait(rows[int(np.argmax(days))])
        return None if wait is None else wait.waits_for.part

    def _unknown(self, rows: list[int]) -> tuple[str, ...]:
        positions = self.snapshot.positions
        return tuple(
            f"{positions.crane[row]}/{positions.position[row]}"
            for row in rows
            if np.isnan(self.exposures.days[row])
        )
