"""How long a supplier really takes, against what it quotes.

The ratio of actual to quoted days is learnt on the log scale from received orders and shrunk:
a supplier toward all suppliers, all suppliers toward 1. Only received orders teach, so a supplier
that is late and has not delivered yet still looks punctual here; `check` names it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from parts.records.picture_answers import Delivery
from parts.records.supply import Order

SUPPLIER_WEIGHT = 3.0
POOL_WEIGHT = 10.0


@dataclass(frozen=True, slots=True)
class Corrections:
    """Ratios by supplier; a supplier without received orders takes the pooled one.

    `log_spread` is the standard deviation of the logs about each supplier's own mean; it widens
    the quantiles of every quoted lead time.
    """

    pooled_log: float = 0.0
    log_spread: float = 0.0
    by_supplier: dict[str, float] = field(default_factory=dict)
    counts: dict[str, int] = field(default_factory=dict)

    def ratio(self, supplier: str | None) -> float:
        """Actual over quoted days; 1 for what nobody has quoted."""
        if supplier is None:
            return 1.0
        return math.exp(self.by_supplier.get(supplier, self.pooled_log))


def deliveries_of(orders: Iterable[Order]) -> dict[str, list[Delivery]]:
    """What each supplier quoted and took, by received orders with quoted days above 0 that came
    after they were ordered."""
    found: dict[str, list[Delivery]] = {}
    for order in orders:
        if order.received_on is None or not order.quoted_days:
            continue
        actual_days = (order.received_on - order.ordered_on).days
        if actual_days > 0:
            found.setdefault(order.supplier, []).append(Delivery(order.quoted_days, actual_days))
    return found


def corrections_of(orders: Iterable[Order]) -> Corrections:
    """Learn from received orders, those that `deliveries_of` takes.

    Weight of a supplier's own mean n / (n + 3), of the pooled mean n / (n + 10); common practice
    of shrinkage, the two weights are choices without a source.
    """
    logs: dict[str, list[float]] = {}
    for supplier, received in deliveries_of(orders).items():
        logs[supplier] = [math.log(each.ratio) for each in received]
    everything = [value for own in logs.values() for value in own]
    if not everything:
        return Corrections()
    count = len(everything)
    pooled = math.fsum(everything) / count * count / (count + POOL_WEIGHT)
    by_supplier, squares = {}, 0.0
    for supplier, own in logs.items():
        mean, weight = math.fsum(own) / len(own), len(own) / (len(own) + SUPPLIER_WEIGHT)
        by_supplier[supplier] = weight * mean + (1.0 - weight) * pooled
        squares += math.fsum((value - mean) ** 2 for value in own)
    freedom = count - len(logs)
    return Corrections(
        pooled_log=pooled,
        log_spread=math.sqrt(squares / freedom) if freedom > 0 else 0.0,
        by_supplier=by_supplier,
        counts={supplier: len(own) for supplier, own in logs.items()},
    )
