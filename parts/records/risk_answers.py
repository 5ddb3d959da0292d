"""The answers on how likely and how much: frozen results, as in `answers`.

None = not known. Days lost and money are a year's, in calendar days and the site's currency.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from parts.records.shares import percent

# A place in or out of the first ten that so many of the draws confirm is firm; a choice, no source
FIRM_SHARE = 0.9


@dataclass(frozen=True, slots=True)
class PositionRisk:
    """What a year may take through one position.

    exposure_days = failures_next_year x expected_restore_days x weight; `weight` is the share of
    the crane's work that one outage takes, joint outages counted once. `basis` says on what the
    failures rest. `waits_for` is the part whose wait sets the long run; `replaced` what is
    exchanged in the long run.
    """

    crane: str
    position: str
    part: str | None
    failures_next_year: float | None
    basis: str | None
    expected_wait_days: float | None
    expected_restore_days: float | None
    weight: float
    exposure_days: float | None
    exposure_cost: float | None
    waits_for: str | None
    replaced: str


@dataclass(frozen=True, slots=True)
class EventImportance:
    """How much one position has to do with its crane's being down.

    Fussell-Vesely here is the chance that a minimal cut set with the position is out, over the
    crane's unavailability.
    """

    position: str
    unavailability: float
    birnbaum: float
    criticality: float
    fussell_vesely: float


@dataclass(frozen=True, slots=True)
class CraneRisk:
    """One crane's year; `unknown` names positions that matter and about which too little is
    known, `notes` what must be said beside the figures."""

    crane: str
    unavailability: float | None
    lost_days_per_year: float | None
    cut_sets: tuple[tuple[str, ...], ...]
    importance: tuple[EventImportance, ...]
    unknown: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DriverAnswer:
    """One driver of the supply score: its value 0-100, its share of the weight, one sentence."""

    driver: str
    value: float | None
    weight: float
    sentence: str
    records: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PartRisk:
    """One line of the ranking. `top10_share` is how often the part is among the first ten when
    weights, rates and lead times are drawn: near 0 or 1 the rank is firm. `ahead_share` is how
    often it then stands ahead of `next_part`, the next of the ranking; None = it is the last."""

    part: str
    description: str
    supply_score: float | None
    drivers: tuple[DriverAnswer, ...]
    failures_next_year: float | None
    exposure_days: float | None
    exposure_cost: float | None
    waits_for: str | None
    worst_crane: str | None
    worst_lost_days: float | None
    top10_share: float
    positions: int
    unknown_positions: tuple[str, ...]
    next_part: str | None
    ahead_share: float | None


@dataclass(frozen=True, slots=True)
class LifeAnswer:
    """A Weibull life: scale and its limits in the unit of `basis`; limits are 95 %."""

    shape: float
    scale: float
    shape_low: float | None
    shape_high: float | None
    scale_low: float | None
    scale_high: float | None
    basis: str
    failures: int
    censored: int
    source: str
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PartOutlook:
    """How often a part is asked for and how long it can still be had.

    Rates are failures a year of one unit, with the limits that hold it with 90 %; `obtainable`
    gives the chance that it can still be bought after so many years; `jump_year` is the year in
    which restoring some crane from it takes half as long again.
    """

    part: str
    description: str
    stage: str | None
    rate_mean: float | None
    rate_low: float | None
    rate_high: float | None
    demand_class: str | None
    demand_per_year: float
    obtainable: dict[int, float | None]
    jump_year: int | None
    life: LifeAnswer | None
    closes_on: datetime.date | None


@dataclass(frozen=True, slots=True)
class DutyAnswer:
    """The working period of one mechanism, in full-load hours; an estimate, no proof of
    soundness. `readings` say which rules the factor of the recording method may follow."""

    crane: str
    mechanism: str
    group: str | None
    km: float | None
    used_hours: float | None
    group_hours: float | None
    used_share: float | None
    runs_out_on: datetime.date | None
    method_factor: float
    readings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LikelyAnswer:
    positions: tuple[PositionRisk, ...]
    parts: tuple[PartOutlook, ...]
    duty: tuple[DutyAnswer, ...]


def firmness(top10_share: float) -> str:
    """How firm a place among the first ten is, in words."""
    if top10_share >= FIRM_SHARE:
        return f"firm ({percent(top10_share)} in the first ten)"
    if top10_share <= 1.0 - FIRM_SHARE:
        return f"firmly outside ({percent(top10_share)})"
    return f"not firm ({percent(top10_share)})"
