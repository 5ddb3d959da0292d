"""The answers that are drawn rather than read: what hangs on what, and where money, days and age
gather.

Frozen results, as in `answers`: days are calendar days, money is in the site's currency, shares
run from 0 to 1; None = not known, which is never drawn as nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from statistics import median

from parts.records.states import State


class Effect(Enum):
    """What a failure does to one function or position."""

    FAILED = "failed"
    DEAD = "dead"
    WEAKER = "weaker"
    CARRIES_ON = "carries_on"


class NeedKind(Enum):
    """What a line of the needs stands for; a place is a position with nothing inside."""

    FUNCTION = "function"
    GROUP = "group"
    ASSEMBLY = "assembly"
    PLACE = "place"


@dataclass(frozen=True, slots=True)
class NeedLine:
    """One line of a crane's needs, indented by `depth` below what needs it.

    A group says how many of how many must work, and for what. What was unfolded further up comes
    `again` without what it needs.
    """

    name: str
    kind: NeedKind
    depth: int
    part: str | None = None
    lost_share: float | None = None
    at_least: int | None = None
    members: int | None = None
    needed_by: str | None = None
    load_bearing: bool = False
    again: bool = False

    @property
    def can_fail(self) -> bool:
        return self.kind in (NeedKind.ASSEMBLY, NeedKind.PLACE)


@dataclass(frozen=True, slots=True)
class NeedEffects:
    """What follows when positions of one crane fail together.

    `effects` names every function and position, `working` counts the members that work of each
    group, by what needs it and its name; `decide` says who decides on running where a
    load-bearing position is out and the crane would not be down.
    """

    failed: tuple[str, ...]
    effects: Mapping[str, Effect]
    working: Mapping[tuple[str, str], int]
    state: State
    lost_share: float
    functions_dead: tuple[str, ...]
    functions_weaker: tuple[str, ...]
    assemblies_dead: tuple[str, ...]
    assemblies_weaker: tuple[str, ...]
    load_bearing: bool
    decide: str | None


@dataclass(frozen=True, slots=True)
class HeatCell:
    """What a year may take through one system of one crane.

    `value` = sum of what is known, None where nothing is; `unknown` = positions that are not;
    `worst` = the position with the most, else one that is not known.
    """

    positions: int
    unknown: int
    value: float | None
    worst: str


@dataclass(frozen=True, slots=True)
class HeatRow:
    """One crane, a cell for each system; None = it has no such system."""

    crane: str
    name: str
    value: float | None
    unknown: int
    cells: tuple[HeatCell | None, ...]


@dataclass(frozen=True, slots=True)
class HeatAnswer:
    """The fleet by systems; cranes and systems with the most first.

    `by` is what the systems are, `unit` what the values are; `most` is the highest cell.
    """

    by: str
    unit: str
    systems: tuple[str, ...]
    rows: tuple[HeatRow, ...]
    most: float
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Delivery:
    """One received order: what was quoted and what it took, in days."""

    quoted_days: float
    actual_days: float

    @property
    def ratio(self) -> float:
        return self.actual_days / self.quoted_days


@dataclass(frozen=True, slots=True)
class SupplierDays:
    """How a supplier keeps to its days.

    `factor` is what its quotations are multiplied by; `overdue` counts open orders past the day
    they were due, which teach the factor nothing until they come.
    """

    supplier: str
    deliveries: tuple[Delivery, ...]
    factor: float
    overdue: int
    active: bool

    @property
    def quoted_days(self) -> float | None:
        return _median([each.quoted_days for each in self.deliveries])

    @property
    def actual_days(self) -> float | None:
        return _median([each.actual_days for each in self.deliveries])

    @property
    def ratio(self) -> float | None:
        """Median of actual over quoted days."""
        return _median([each.ratio for each in self.deliveries])

    @property
    def late(self) -> int:
        """Deliveries that took longer than quoted."""
        return sum(each.actual_days > each.quoted_days for each in self.deliveries)


def _median(figures: list[float]) -> float | None:
    return median(figures) if figures else None


class Stand(Enum):
    """Where an age stands against the life of its part."""

    BEYOND_RANGE = "beyond_range"
    BEYOND_MEAN = "beyond_mean"
    WITHIN = "within"
    NOT_KNOWN = "not_known"


@dataclass(frozen=True, slots=True)
class AgeAnswer:
    """The age of the unit at one position against the life of its part, both in `basis` units.

    `low` and `high` are the ages that 10 % and 90 % of such units fail before.
    """

    crane: str
    position: str
    part: str | None
    basis: str | None
    age: float | None
    mean: float | None
    low: float | None
    high: float | None
    source: str | None
    load_bearing: bool

    @property
    def share(self) -> float | None:
        """Age over the mean life."""
        return None if self.age is None or self.mean is None else self.age / self.mean

    @property
    def stand(self) -> Stand:
        if self.age is None or self.mean is None or self.high is None:
            return Stand.NOT_KNOWN
        if self.age > self.high:
            return Stand.BEYOND_RANGE
        return Stand.BEYOND_MEAN if self.age > self.mean else Stand.WITHIN


@dataclass(frozen=True, slots=True)
class AgesAnswer:
    """Ages, those that have used up most of a life first, those not known last.

    `by_half_lives` counts how many have used up less than half a mean life, a half to one, and so
    on, the last all from two lives on; `widest` is the highest age or end of a range, in mean
    lives.
    """

    part: str | None
    ages: tuple[AgeAnswer, ...]
    counts: Mapping[Stand, int]
    by_half_lives: tuple[int, ...]
    widest: float
