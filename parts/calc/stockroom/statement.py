"""All that the ledger says is in store, at the cost on record.

What is past its shelf life, in quarantine or in repair is on hand and not usable; promises to jobs
are not taken off. Invariant: a part without a cost is named, and never worth nothing.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from parts.calc.getting.stock import USABLE, PartStock
from parts.records.snapshot import Snapshot
from parts.records.stock_statement import StatedStock, StockStatement


def statement_of(snapshot: Snapshot, stock: Mapping[str, PartStock]) -> StockStatement:
    """The statement of the day of the snapshot, by part and store."""
    held: dict[tuple[str, str], tuple[int, int]] = {}
    for part, found in stock.items():
        for (store, expires_on, condition), qty in found.lots.items():
            in_life = expires_on is None or expires_on >= snapshot.today
            usable = qty if condition == USABLE and in_life else 0
            on_hand, so_far = held.get((part, store or ""), (0, 0))
            held[part, store or ""] = on_hand + qty, so_far + usable
    lines = []
    for (part, place), (on_hand, usable) in sorted(held.items()):
        row = snapshot.parts[part]
        value = None if row.unit_cost is None else on_hand * row.unit_cost
        lines.append(StatedStock(part, row.description or "", place or None, on_hand, usable,
                                 row.unit_cost, value))  # fmt: skip
    return StockStatement(
        lines=tuple(lines),
        total=math.fsum(line.value or 0.0 for line in lines),
        without_cost=tuple(dict.fromkeys(line.part for line in lines if line.value is None)),
    )
