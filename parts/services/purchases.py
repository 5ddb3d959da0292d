"""What to order, from whom, by when; what to keep; what to ask."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING

from parts.errors import UnknownName
from parts.records.purchase_answers import (
    Deadline,
    Enquiry,
    LastBuyAnswer,
    LateOrder,
    ReorderLine,
)
from parts.services.outages import near

if TYPE_CHECKING:
    from parts.calc.ranking.exposures import Exposures


def last_buy(exposed: Exposures, part: str, until: datetime.date | None = None) -> LastBuyAnswer:
    """How many of a part to buy while it can be bought, for demand to its end or to a day.

    Raises UnknownName for a part that is not there.
    """
    from parts.calc.buying.last_buy import LastBuys

    if part not in exposed.snapshot.parts:
        raise UnknownName("part", part, near(part, exposed.snapshot.parts))
    return LastBuys(exposed).answer(part, until)


def deadlines(exposed: Exposures) -> tuple[Deadline, ...]:
    """Parts whose last day lies ahead, the soonest first."""
    from parts.calc.buying.deadlines import Deadlines

    return Deadlines(exposed).answer()


def reorder(exposed: Exposures) -> tuple[ReorderLine, ...]:
    """Reorder points and maxima beside the site's own, what to order now first."""
    from parts.calc.buying.reorder import Reorders

    return Reorders(exposed).answer()


def late_orders(exposed: Exposures) -> tuple[LateOrder, ...]:
    """Open orders that are not coming as promised, the longest overdue first."""
    from parts.calc.buying.enquiries import Enquiries

    return Enquiries(exposed).late_orders()


def enquiries(exposed: Exposures) -> tuple[Enquiry, ...]:
    """What to ask each supplier."""
    from parts.calc.buying.enquiries import Enquiries

    return Enquiries(exposed).enquiries()
