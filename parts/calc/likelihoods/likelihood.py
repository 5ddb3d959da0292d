"""How many failures of each position to expect in a coming year, and on what that rests.

The best that is known wins: the position's own rate, a life with a known age, the part's rate
updated by own records, the rate that the part states, its class's. Nothing known is nan, never a
guess. Knows nothing of what a failure does.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.calc.failing.fleet import Fleet
from parts.calc.likelihoods.ages import Ages
from parts.calc.likelihoods.lives import Life, Lives
from parts.calc.likelihoods.rates import PartRate, Rates
from parts.calc.likelihoods.renewals import expected_renewals
from parts.records.snapshot import Snapshot

Array = NDArray[np.float64]
Codes = NDArray[np.int8]

# What a figure rests on, best last; the place in this list is its code.
BASES = (None, "class", "stated", "own", "weibull", "position")
CODE = {basis: code for code, basis in enumerate(BASES)}


class Likelihood:
    """Failures to expect of every row of the fleet; rows of retired cranes are nan and None.

    An assembly with children fails by its parts: it has failures of its own only where its
    position states a rate, else 0 and no basis.
    """

    def __init__(self, snapshot: Snapshot, fleet: Fleet) -> None:
        self.snapshot = snapshot
        self.fleet = fleet
        self.ages = Ages(fleet)
        self.rates = Rates(fleet)
        self.lives = Lives(self.ages)

    def rate(self, part: str) -> PartRate | None:
        return self.rates.rate(part)

    def life(self, part: str) -> Life | None:
        return self.lives.life(part)

    @cached_property
    def failures_next_year(self) -> Array:
        """Expected failures of each position in the next 12 months; nan = not known."""
        return self.failures_in_year(1)

    @cached_property
    def basis(self) -> list[str | None]:
        """What each figure rests on, one of `BASES`."""
        return [BASES[code] for code in self._codes.tolist()]

    def failures_in_year(self, year: int) -> Array:
        """Expected failures of each position from `year` - 1 to `year` years from today."""
        found = self._at_constant_rate.copy()
        rows = np.flatnonzero(self._codes == CODE["weibull"])
        lives = self._life_of_part[self.rates.part_of_row[rows]]
        shapes, scales = lives[:, 0], lives[:, 1]
        ages, a_year = self._ages_in_life_units[0][rows], self._ages_in_life_units[1][rows]
        order = np.argsort(shapes, kind="stable")
        starts = np.flatnonzero(np.diff(shapes[order], prepend=np.nan))
        for at in np.split(order, starts[1:]) if len(order) else ():
            shape, scale, age = float(shapes[at[0]]), scales[at], ages[at]
            failures = expected_renewals(shape, scale, age, year * a_year[at])
            if year > 1:
                failures = failures - expected_renewals(shape, scale, age, (year - 1) * a_year[at])
            found[rows[at]] = self._qty[rows[at]] * failures
        return found

    @cached_property
    def _qty(self) -> Array:
        return np.array(self.snapshot.positions.qty, dtype=float)

    @cached_property
    def _life_of_part(self) -> Array:
        """Shape, scale and 1 for hours or 0 for years of each part's life; nan = none."""
        found = np.full((len(self.rates.part_names) + 1, 3), np.nan)
        for number, part in enumerate(self.rates.part_names):
            life = self.life(part)
            if life is not None:
                found[number] = life.shape, life.scale, life.basis == "hours"
        return found  # the last row serves positions without a part, whose number is -1

    @cached_property
    def _ages_in_life_units(self) -> tuple[Array, Array]:
        """Age of each row, and what a year adds, in the unit of its part's life; nan = unknown."""
        in_hours = self._life_of_part[self.rates.part_of_row, 2]
        either = [
            np.where(in_hours == 1.0, hours, np.where(in_hours == 0.0, years, np.nan))
            for hours, years in (
                (self.ages.hours, self.ages.years),
                (self.ages.year_of("hours"), self.ages.year_of("years")),
            )
        ]
        return either[0], either[1]

    @cached_property
    def _codes(self) -> Codes:
        """The code of what each row's figure rests on."""
        part_codes = np.zeros(len(self.rates.part_names) + 1, dtype=np.int8)
        for number, part in enumerate(self.rates.part_names):
            rate = self.rate(part)
            part_codes[number] = CODE[rate.basis if rate else None]
        codes = part_codes[self.rates.part_of_row]
        age, a_year = self._ages_in_life_units
        codes[~np.isnan(age) & ~np.isnan(a_year)] = CODE["weibull"]
        codes[self.fleet.is_assembly] = CODE[None]
        codes[~np.isnan(self._own_rate)] = CODE["position"]
        codes[~self.fleet.live] = CODE[None]
        return codes

    @cached_property
    def _own_rate(self) -> Array:
        stated = self.snapshot.positions.failures_per_year
        return np.array([np.nan if rate is None else rate for rate in stated], dtype=float)

    @cached_property
    def _at_constant_rate(self) -> Array:
        """Failures a year of each row without regard to its age."""
        unit_rate = np.full(len(self.rates.part_names) + 1, np.nan)
        for number, part in enumerate(self.rates.part_names):
            rate = self.rate(part)
            if rate is not None:
                unit_rate[number] = rate.mean
        found = self._qty * unit_rate[self.rates.part_of_row]
        found[self.fleet.is_assembly] = 0.0
        found = np.where(np.isnan(self._own_rate), found, self._own_rate)
        found[~self.fleet.live] = np.nan
        return found
