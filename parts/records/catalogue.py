"""Parts and what belongs to them: classes, other people's numbers, companions, substitutes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from parts.records.fields import amount, day, flag, share, text, whole

LIFE_BASES = ("years", "hours")
RECOMMISSION_LEVELS = ("none", "functional", "loaded", "rated_load")


@dataclass(frozen=True, slots=True, kw_only=True)
class PartClass:
    """What is usual for a kind of part; `source` says where that comes from."""

    part_class: str = text(required=True)
    failures_per_year: float | None = amount()
    rate_weight: float = amount(1.0)
    lead_days: float | None = amount()
    life_basis: str | None = text(choices=LIFE_BASES)
    life_shape: float | None = amount()
    life_scale: float | None = amount()
    market_shape: float | None = amount()
    market_scale: float | None = amount()
    recommission: str | None = text(choices=RECOMMISSION_LEVELS)
    storage_months: float | None = amount()
    source: str | None = text()


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """The catalogue item that sits in positions."""

    part: str = text(required=True)
    description: str | None = text()
    part_class: str | None = text()
    unit_cost: float | None = amount()
    introduced: date | None = day()
    stage: str | None = text()
    last_buy_on: date | None = day()
    last_ship_on: date | None = day()
    shelf_life_months: float | None = amount()
    drawing: bool | None = flag()
    default_route: str | None = text(refers_to="routes")
    default_lead_days: float | None = amount()
    life_basis: str | None = text(choices=LIFE_BASES)
    life_shape: float | None = amount()
    life_scale: float | None = amount()
    failures_per_year: float | None = amount()
    planned_per_year: float | None = amount()
    care_per_year: float = amount(0.0)
    min_stock: int | None = whole(lowest=0)
    max_stock: int | None = whole(lowest=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class PartNumber:
    """What somebody else calls the part."""

    part: str = text(required=True, refers_to="parts")
    number: str = text(required=True)
    owner: str | None = text()


@dataclass(frozen=True, slots=True, kw_only=True)
class Companion:
    """What must be exchanged or used up with the part; chance 1 = always."""

    part: str = text(required=True, refers_to="parts")
    companion: str = text(required=True, refers_to="parts")
    qty: int = whole(1, lowest=1)
    chance: float = share(1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Substitute:
    """Another part that may stand in for the part; with approval where it bears load."""

    part: str = text(required=True, refers_to="parts")
    substitute: str = text(required=True, refers_to="parts")
    extra_hours: float = amount(0.0)
    both_ways: bool = flag(False)
    approval: str | None = text()
