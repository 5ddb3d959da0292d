"""Whole sets: a set is there only when every part of it is, in the number that it takes.

Book figures of single parts hide this: six bearings, four seals of which three are past their
life, and three gaskets are one set and no more.
"""

from __future__ import annotations

from collections.abc import Sequence

from parts.records.stock_card import MissingUnits, SetMember


def whole_sets(members: Sequence[SetMember]) -> int:
    """How many sets can be put together: the least of usable // needed over the parts."""
    return min((max(0, each.usable) // each.needed for each in members), default=0)


def missing_for(members: Sequence[SetMember], sets: int) -> tuple[MissingUnits, ...]:
    """What must come for so many whole sets; parts of which enough is there are left out."""
    found = []
    for each in members:
        qty = each.needed * sets - max(0, each.usable)
        if qty > 0:
            cost = None if each.unit_cost is None else qty * each.unit_cost
            found.append(MissingUnits(each.part, qty, cost))
    return tuple(found)
