"""The supply score of a part: how old, how few sources, how long a wait, 0 to 100 at worst.

Value functions and weights are the site's, else the defaults here. A driver that is not known
drops out and the others share its weight; the sentence of each driver names its figures.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import inf
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parts.calc.failing.fleet import Fleet
from parts.calc.getting.supply import Supplies
from parts.calc.likelihoods.years import years_between
from parts.records.pairs import pairs
from parts.records.risk_answers import DriverAnswer
from parts.records.site import Score

DRIVERS = ("age", "sources", "lead_time")
WORST = 100.0
# common practice, no source: defaults that a site is expected to edit
DEFAULTS = (
    Score(driver="age", weight=0.30, points="0:0+0.5:20+1:70+1.5:100"),
    Score(driver="sources", weight=0.35, points="0:100+1:75+2:40+3:15+4:0"),
    Score(driver="lead_time", weight=0.35, points="7:0+30:25+90:55+180:80+365:100"),
)


@dataclass(frozen=True, slots=True)
class ValueFunction:
    """Points of a value function, linear between them and flat outside; x rises."""

    x: tuple[float, ...]
    y: tuple[float, ...]

    def __call__(self, figures: ArrayLike) -> NDArray[np.float64]:
        """The values of figures of any shape; nan stays nan."""
        return np.asarray(np.interp(np.asarray(figures, dtype=float), self.x, self.y))


@dataclass(frozen=True, slots=True)
class Figure:
    """What a driver is scored on, in words, and the records that it rests on; None = unknown."""

    value: float | None
    words: str
    records: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SupplyScore:
    """A part's score, None where no driver with a weight is known."""

    score: float | None
    drivers: tuple[DriverAnswer, ...]


def weighted_score(values: ArrayLike, weights: ArrayLike) -> NDArray[np.float64]:
    """Sum of weight x value over sum of weights, along the last axis; nan values drop out.

    The weighted sum model, Fishburn 1967 (from memory); nan where no weight is left.
    """
    known = np.asarray(values, dtype=float)
    counts = np.where(np.isnan(known), 0.0, np.asarray(weights, dtype=float))
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray((counts * np.nan_to_num(known)).sum(-1) / counts.sum(-1))


class Life(Protocol):
    """A life as it is needed here: its unit ("years" or "hours") and its mean."""

    @property
    def basis(self) -> str: ...

    @property
    def mean(self) -> float: ...


def expected_life_years(
    life: Life | None, hours_per_year: float | None, failures_per_year: float | None
) -> float | None:
    """Mean life of a unit in years, None where nothing is known.

    Args:
        life: of the part, if it has one.
        hours_per_year: running hours of the crane, which make years of a life in hours.
        failures_per_year: mean rate of a unit, whose inverse counts where no life does.
    """
    if life is not None:
        if life.basis == "years":
            return life.mean
        if hours_per_year:
            return life.mean / hours_per_year
    if failures_per_year is None:
        return None
    return inf if failures_per_year == 0.0 else 1.0 / failures_per_year


class SupplyScores:
    """Scores of the parts of a snapshot.

    `age_years` is the age of each position, (number of positions,), nan where not known; `life`
    and `failures_per_year` tell those of one unit of a part, None where not known.
    """

    def __init__(
        self,
        fleet: Fleet,
        supplies: Supplies,
        age_years: NDArray[np.float64],
        life: Callable[[str], Life | None],
        failures_per_year: Callable[[str], float | None],
    ) -> None:
        self.snapshot = fleet.snapshot
        self.fleet = fleet
        self.supplies = supplies
        self.age_years = age_years
        self.life = life
        self.failures_per_year = failures_per_year

    @cached_property
    def settings(self) -> dict[str, Score]:
        """Each driver's weight and points: the site's own, else the defaults."""
        return {row.driver: row for row in (*DEFAULTS, *self.snapshot.scores)}

    @cached_property
    def functions(self) -> dict[str, ValueFunction]:
        found = {}
        for driver, row in self.settings.items():
            x, y = zip(*pairs(row.points), strict=True)
            found[driver] = ValueFunction(x, y)
        return found

    @cached_property
    def weights(self) -> NDArray[np.float64]:
        """Weights of the drivers, in the order of `DRIVERS`."""
        return np.array([self.settings[driver].weight for driver in DRIVERS])

    @cached_property
    def _oldest(self) -> dict[str, int]:
        """The live position of each part whose age is the highest known."""
        parts, found = self.snapshot.positions.part, dict[str, int]()
        wanted = self.fleet.live & self.fleet.has_part & ~np.isnan(self.age_years)
        for row in np.flatnonzero(wanted).tolist():
            part = parts[row] or ""
            if part not in found or self.age_years[row] > self.age_years[found[part]]:
                found[part] = row
        return found

    def age(self, part: str) -> Figure:
        """The larger of age over expected life and years over market life."""
        shares = [each for each in (self._installed(part), self._on_market(part)) if each]
        if not shares:
            return Figure(None, "neither age over expected life nor over market life is known")
        return max(shares, key=lambda each: each.value or 0.0)

    def _installed(self, part: str) -> Figure | None:
        row = self._oldest.get(part)
        if row is None:
            return None
        positions, age = self.snapshot.positions, float(self.age_years[row])
        hours = self.snapshot.cranes[positions.crane[row]].hours_per_year
        life = expected_life_years(self.life(part), hours, self.failures_per_year(part))
        if not life:
            return None
        place = f"{positions.crane[row]}/{positions.position[row]}"
        words = f"{place} is {age:.1f} years old, expected life {life:.1f} years"
        return Figure(age / life, words, (f"positions {place}", f"parts {part}"))

    def _on_market(self, part: str) -> Figure | None:
        row = self.snapshot.parts[part]
        part_class = self.snapshot.classes.get(row.part_class or "")
        if row.introduced is None or part_class is None or not part_class.market_scale:
            return None
        years = max(0.0, years_between(row.introduced, self.snapshot.today))
        scale = part_class.market_scale
        words = f"{years:.1f} years on the market, {scale:g} usual for {part_class.part_class}"
        records = (f"parts {part}", f"classes {part_class.part_class}")
        return Figure(years / scale, words, records)

    def sources(self, part: str) -> Figure:
        """Distinct active suppliers with an offer that is usable wherever the part may go."""
        bearing = part in self.fleet.bearing_load_in_the_pool
        offers = [
            way
            for way in self.supplies.usable(part, bearing)
            if way.is_offer and (way.kind != "repair" or part in self.fleet.live_parts)
        ]
        suppliers = sorted({way.source for way in offers})
        words = f"{len(suppliers)} active with a usable offer"
        if suppliers:
            words += f": {', '.join(suppliers)}"
        records = tuple(way.record for way in offers) or (f"parts {part}",)
        return Figure(float(len(suppliers)), words, records)

    def value(self, driver: str, figure: float | None) -> float | None:
        """The value of a driver's figure; no source and no lead time are the worst there is."""
        if figure is None:
            return WORST if driver == "lead_time" else None
        if driver == "sources" and figure == 0.0:
            return WORST
        return float(self.functions[driver](figure))

    def score(self, part: str, lead_time: Figure) -> SupplyScore:
        """The score of a part whose mean lead time in days is the one given."""
        figures = {"age": self.age(part), "sources": self.sources(part), "lead_time": lead_time}
        values = {driver: self.value(driver, figures[driver].value) for driver in DRIVERS}
        known = np.array([np.nan if values[each] is None else values[each] for each in DRIVERS])
        counts = np.where(np.isnan(known), 0.0, self.weights)
        total = counts.sum()
        shares: Sequence[float] = (counts / total if total else counts).tolist()
        drivers = tuple(
            self._driver(driver, figures[driver], values[driver], share)
            for driver, share in zip(DRIVERS, shares, strict=True)
        )
        return SupplyScore(float(weighted_score(known, counts)) if total else None, drivers)

    def _driver(
        self, driver: str, figure: Figure, value: float | None, share: float
    ) -> DriverAnswer:
        if value is None:
            sentence = f"{figure.words}: left out, the other weights scaled up"
        else:
            sentence = f"{figure.words}: {value:.0f} of 100, weight {share:.2f}"
        own = any(row.driver == driver for row in self.snapshot.scores)
        records = (*figure.records, *((f"scores {driver}",) if own else ()))
        return DriverAnswer(driver, value, share, sentence, records)
