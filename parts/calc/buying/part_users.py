"""Who still asks for a part, how often, and until when.

Users are the positions that hold it, the planned use of it, and both of the parts that take it
along; those of parts that stand in for it both ways count too. Each asks until its crane goes.
Knows neither prices nor what a wait costs.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from parts.calc.buying.remaining_demand import Stream
from parts.calc.likelihoods.renewals import expected_renewals
from parts.calc.likelihoods.years import years_between
from parts.calc.ranking.exposures import Exposures
from parts.calc.waiting.horizons import Horizon


@dataclass(frozen=True, slots=True)
class User:
    """One stream of demand; `row` is the position that fails, None for planned use."""

    stream: Stream
    name: str
    record: str
    row: int | None = None

    @property
    def uses_per_year(self) -> float:
        """Its events a year that take any units."""
        return self.stream.events_per_year * sum(c for units, c in self.stream.takes if units)


class PartUsers:
    """The users of each part until its last crane goes, or until a day that is asked for."""

    def __init__(self, exposures: Exposures, until: datetime.date | None = None) -> None:
        self.exposures = exposures
        self.snapshot = exposures.snapshot
        self.sets = exposures.long_run.sets
        self.restocking = exposures.long_run.restocking
        self.until = until

    def horizon(self, part: str) -> Horizon:
        """How long the part is asked for."""
        if self.until is not None:
            return Horizon(max(0.0, years_between(self.snapshot.today, self.until)), False)
        return self.sets.horizons.of(self.restocking.of(part).parts)

    def of(self, part: str) -> Iterator[User]:
        """The users of a part, its failures marked as uncertain where own records teach them."""
        pool, demand = self.restocking.of(part), self.exposures.demand
        takers = {row.part for each in pool.parts for row in demand.taken_along_by.get(each, ())}
        horizon = self.horizon(part)
        ends = self._ends(horizon)
        for name in sorted({*pool.parts, *takers}):
            vectors = self.sets.takes(name).vectors([pool.pool]).items()
            takes = tuple((units, chance) for (units,), chance in sorted(vectors) if chance > 0.0)
            yield from self._failing(name, takes, ends, name == part)
            planned = demand.planned_term(name)
            if planned is not None and planned.units_per_year:
                stream = Stream(planned.units_per_year, horizon.years, takes)
                words = "" if name == part else f"{name}: "
                yield User(stream, words + planned.name, planned.record)

    def _failing(
        self, name: str, takes: tuple[tuple[int, float], ...], ends: dict[str, float], own: bool
    ) -> Iterator[User]:
        positions, basis = self.snapshot.positions, self.exposures.likelihood.basis
        rows = self.exposures.demand.rows.get(name, [])
        for row, rate in zip(rows, self._rates(name, rows, ends), strict=True):
            crane = positions.crane[row]
            place = f"{crane}/{positions.position[row]}"
            stream = Stream(rate, ends[crane], takes, uncertain=own and basis[row] == "own")
            yield User(stream, f"failures of {place}", f"positions {place}", row)

    def _rates(self, name: str, rows: list[int], ends: dict[str, float]) -> list[float]:
        """Failures a year of positions of a part; one with a life has the constant rate that
        gives as many until its crane goes."""
        likelihood = self.exposures.likelihood
        rates = np.nan_to_num(likelihood.failures_next_year[rows])
        life = likelihood.life(name)
        aged = [at for at, row in enumerate(rows) if likelihood.basis[row] == "weibull"]
        if life is not None and aged:
            at = np.array(rows)[aged]
            years = np.array([ends[self.snapshot.positions.crane[row]] for row in at.tolist()])
            ages, a_year = likelihood.ages.of(life.basis)[at], likelihood.ages.year_of(life.basis)
            failures = expected_renewals(life.shape, life.scale, ages, years * a_year[at])
            qty = np.array([self.snapshot.positions.qty[row] for row in at.tolist()])
            rates[aged] = np.divide(qty * failures, years, where=years > 0.0, out=rates[aged])
        found: list[float] = rates.tolist()
        return found

    def _ends(self, horizon: Horizon) -> dict[str, float]:
        """Years until each live crane goes, or until demand ends."""
        site, today = self.snapshot.site, self.snapshot.today
        undated = site.horizon_years if self.until is None else horizon.years
        found = {}
        for name, row in self.snapshot.cranes.items():
            if self.snapshot.is_live(name):
                goes = undated if row.retire_on is None else years_between(today, row.retire_on)
                found[name] = min(horizon.years, goes)
        return found
