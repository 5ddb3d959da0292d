"""Minimal cut sets of a crane: the smallest sets of positions whose failure together stops it.

Found bottom-up over the needs, keeping sets up to a chosen size and only minimal ones, so nothing
is enumerated that cannot matter. Basic events are positions without positions below, and
assemblies with a failure rate of their own. The event is "down": a function whose loss is the
whole crane's work is lost.

Method: bottom-up substitution with absorption, as in W. E. Vesely et al., Fault Tree Handbook,
NUREG-0492 (1981), chapter VII (from memory); a group of n of which k must work fails with any
n - k + 1 members, gathered member by member instead of by combinations.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable

from parts.calc.consequences import CraneNeeds, Item

CutSet = frozenset[str]
WHOLE_CRANE = 1.0


def minimal(sets: Iterable[CutSet]) -> set[CutSet]:
    """Drop every set that holds another one."""
    kept: set[CutSet] = set()
    for each in sorted(set(sets), key=len):
        smaller = itertools.chain.from_iterable(
            itertools.combinations(each, size) for size in range(len(each))
        )
        if not any(frozenset(names) in kept for names in smaller):
            kept.add(each)
    return kept


def cut_sets(needs: CraneNeeds, basic: frozenset[str], order: int) -> tuple[tuple[str, ...], ...]:
    """Minimal cut sets of up to `order` positions, the smallest first.

    Args:
        needs: the needs of one crane.
        basic: the positions that fail by themselves.
        order: the largest size looked for, 1 or more.
    """
    found: dict[str, set[CutSet]] = {}
    taken_along = needs.taken_along()
    for name in needs.in_order():
        own = {
            frozenset((each,))
            for place, each in enumerate(needs.positions)
            if each in basic and taken_along.get(name, 0) >> place & 1
        }
        item = needs.items.get(name)
        if item is not None:
            own |= _of_needs(item, found, order)
        found[name] = minimal(own)
    stopping = minimal(
        each
        for function, share in needs.functions.items()
        if share >= WHOLE_CRANE and function in needs.items
        for each in found[function]
    )
    return tuple(sorted((tuple(sorted(each)) for each in stopping), key=lambda s: (len(s), s)))


def _of_needs(item: Item, found: dict[str, set[CutSet]], order: int) -> set[CutSet]:
    sets = {each for name in item.hard for each in found[name]}
    for at_least, members in item.groups.values():
        sets |= _more_than([found[name] for name in members], len(members) - at_least, order)
    return sets


def _more_than(members: list[set[CutSet]], spare: int, order: int) -> set[CutSet]:
    """Sets that kill more than `spare` of the members."""
    killing: list[set[CutSet]] = [{frozenset()}, *(set() for _ in range(spare + 1))]
    for own in members:
        for count in range(spare + 1, 0, -1):
            joined = {
                one | other
                for one in killing[count - 1]
                for other in own
                if len(one | other) <= order
            }
            killing[count] = minimal(killing[count] | joined)
    return killing[spare + 1]
