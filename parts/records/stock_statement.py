"""What lies in the stores and what it cost: the answer that finance is given."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class StatedStock:
    """One part in one store; value = on hand x unit cost, both None where no cost is on record."""

    part: str
    description: str
    store: str | None
    on_hand: int
    usable: int
    unit_cost: float | None
    value: float | None


@dataclass(frozen=True, slots=True)
class StockStatement:
    """All stock by part and store; `total` leaves out the parts `without_cost`."""

    lines: tuple[StatedStock, ...]
    total: float
    without_cost: tuple[str, ...]
