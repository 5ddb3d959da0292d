"""What a year takes of each part: failures, planned use, and what other parts take along.

Every term names its record. Knows neither stock nor lead times, and pools nothing with a
substitute.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.calc.failing.fleet import Fleet
from parts.calc.likelihoods.planned_use import PlannedUse
from parts.records.catalogue import Companion
from parts.records.snapshot import Snapshot


@dataclass(frozen=True, slots=True)
class DemandTerm:
    """One term of a demand; None = a rate that nobody knows, which counts 0."""

    name: str
    units_per_year: float | None
    record: str


@dataclass(frozen=True)
class Demand:
    """Demand on the parts of a snapshot.

    `failures_per_year` are failures of each position in the coming year, (number of positions,),
    nan where not known; `planned` is what the movements tell.
    """

    fleet: Fleet
    failures_per_year: NDArray[np.float64]
    planned: Mapping[str, PlannedUse]

    @property
    def snapshot(self) -> Snapshot:
        return self.fleet.snapshot

    @cached_property
    def rows(self) -> dict[str, list[int]]:
        """Live positions of each part."""
        parts, found = self.snapshot.positions.part, dict[str, list[int]]()
        for row in np.flatnonzero(self.fleet.live & self.fleet.has_part).tolist():
            found.setdefault(parts[row] or "", []).append(row)
        return found

    @cached_property
    def companions_of(self) -> dict[str, list[Companion]]:
        """What each part takes along."""
        found: dict[str, list[Companion]] = {}
        for row in self.snapshot.companions:
            if row.chance > 0.0:
                found.setdefault(row.part, []).append(row)
        return found

    @cached_property
    def taken_along_by(self) -> dict[str, list[Companion]]:
        """By which parts each part is taken along."""
        found: dict[str, list[Companion]] = {}
        for rows in self.companions_of.values():
            for row in rows:
                found.setdefault(row.companion, []).append(row)
        return found

    def failures(self, part: str) -> float:
        """Failures a year over all live positions; a rate that is not known counts 0."""
        return float(np.nansum(self.failures_per_year[self.rows.get(part, [])]))

    def planned_term(self, part: str) -> DemandTerm | None:
        """The site's own figure, else twelve months of what the movements tell."""
        stated = self.snapshot.parts[part].planned_per_year
        if stated is not None:
            return DemandTerm("planned use, as stated", stated, f"parts {part}")
        told = self.planned.get(part)
        per_year = None if told is None else told.per_year
        if told is None or per_year is None:
            return None
        name = f"planned use, {told.method} over {len(told.monthly)} months"
        return DemandTerm(name, per_year, f"movements {part}")

    def planned_per_year(self, part: str) -> float:
        """Units a year that are used without a failure; nothing told counts 0."""
        term = self.planned_term(part)
        return 0.0 if term is None else term.units_per_year or 0.0

    def per_year(self, part: str) -> float:
        """Units a year: failures, planned use, and uses of other parts x chance x quantity."""
        along = sum(self._along(row) for row in self.taken_along_by.get(part, ()))
        return self._own(part) + along

    def _own(self, part: str) -> float:
        return self.failures(part) + self.planned_per_year(part)

    def _along(self, row: Companion) -> float:
        return self._own(row.part) * row.chance * row.qty

    def terms(self, part: str) -> tuple[DemandTerm, ...]:
        """The demand of a part unfolded; the terms that are known add up to it."""
        planned = self.planned_term(part)
        return (
            *self._failure_terms(part),
            *((planned,) if planned is not None else ()),
            *(
                DemandTerm(
                    f"taken along by {row.part}: {self._own(row.part):.3g} a year "
                    f"x chance {row.chance:g} x {row.qty}",
                    self._along(row),
                    f"companions {row.part}/{part}",
                )
                for row in self.taken_along_by.get(part, ())
            ),
        )

    def _failure_terms(self, part: str) -> Iterator[DemandTerm]:
        positions = self.snapshot.positions
        for row in self.rows.get(part, ()):
            place = f"{positions.crane[row]}/{positions.position[row]}"
            rate = float(self.failures_per_year[row])
            units = None if np.isnan(rate) else rate
            yield DemandTerm(f"failures of {place}", units, f"positions {place}")
