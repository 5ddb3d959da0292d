"""What each supplier promised and what it took, beside the correction that was learnt from it."""

from __future__ import annotations

from collections import Counter

from parts.calc.getting.corrections import corrections_of, deliveries_of
from parts.records.picture_answers import SupplierDays
from parts.records.snapshot import Snapshot


def promised_and_real(snapshot: Snapshot) -> tuple[SupplierDays, ...]:
    """Every supplier, the one that takes longest for what it quotes first; those that have
    delivered nothing yet, and so take the factor of all suppliers, last."""
    corrections, received = corrections_of(snapshot.orders), deliveries_of(snapshot.orders)
    overdue = Counter(
        order.supplier
        for order in snapshot.orders
        if order.received_on is None and order.due_on is not None and order.due_on < snapshot.today
    )
    found = (
        SupplierDays(
            supplier=name,
            deliveries=tuple(received.get(name, ())),
            factor=corrections.ratio(name),
            overdue=overdue[name],
            active=row.active,
        )
        for name, row in snapshot.suppliers.items()
    )
    return tuple(sorted(found, key=lambda each: (not each.deliveries, -each.factor, each.supplier)))
