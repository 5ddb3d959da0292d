"""The site as it would be: a quotation come true, a supplier closed. Nothing is written anywhere.

Each question gives a new snapshot, of which every other service may be asked; the one that is
known stays as it is.
"""

from __future__ import annotations

from dataclasses import replace
from math import isfinite
from typing import TYPE_CHECKING

from parts.errors import UnknownName
from parts.records.snapshot import Snapshot
from parts.records.supply import Offer
from parts.records.what_if_answers import WhatIfAnswer
from parts.services.outages import near

if TYPE_CHECKING:
    from parts.calc.ranking.exposures import Exposures

MOST = 10
DELIVERS = ("new", "made")


def with_quote(snapshot: Snapshot, supplier: str, part: str, days: float) -> Snapshot:
    """The site with a supplier delivering a part in so many calendar days, whatever it has taken
    before; an offer is added where the supplier made none.

    Raises UnknownName for a supplier or part that is not there, ValueError for days below 0.
    """
    from parts.calc.getting.corrections import corrections_of

    _known(snapshot, supplier)
    if part not in snapshot.parts:
        raise UnknownName("part", part, near(part, snapshot.parts))
    if not (isfinite(days) and days >= 0):
        raise ValueError(f"a lead time is 0 days or more, not {days}")
    # every quotation is weighed by what its supplier has kept; this one is kept exactly
    quoted = days / corrections_of(snapshot.orders).ratio(supplier)
    offers = tuple(
        _quoted(row, quoted, snapshot) if _delivers(row, supplier, part) else row
        for row in snapshot.offers
    )
    if not any(_delivers(row, supplier, part) for row in offers):
        offers += (_quoted(Offer(supplier=supplier, part=part), quoted, snapshot),)
    return replace(snapshot, offers=offers)


def without_supplier(snapshot: Snapshot, supplier: str) -> Snapshot:
    """The site with a supplier closed: its offers and its open orders no longer count.

    Raises UnknownName for a supplier that is not there.
    """
    _known(snapshot, supplier)
    closed = replace(snapshot.suppliers[supplier], active=False)
    return replace(snapshot, suppliers={**snapshot.suppliers, supplier: closed})


def what_if(now: Exposures, changed: Snapshot, most: int = MOST) -> WhatIfAnswer:
    """The site as known beside a changed one, with the positions that change most."""
    from parts.calc.simulating.what_if import compared
    from parts.services.risks import exposures

    return compared(now, exposures(changed), most)


def _delivers(row: Offer, supplier: str, part: str) -> bool:
    return row.supplier == supplier and row.part == part and row.kind in DELIVERS


def _quoted(row: Offer, days: float, snapshot: Snapshot) -> Offer:
    return replace(
        row,
        low=None,
        likely=days,
        high=None,
        unit="d",
        basis="quoted",
        quoted_on=snapshot.today,
        valid_until=None,
        route=None,
    )


def _known(snapshot: Snapshot, supplier: str) -> None:
    if supplier not in snapshot.suppliers:
        raise UnknownName("supplier", supplier, near(supplier, snapshot.suppliers))
