"""Which system of a crane each position belongs to: the function that is nearest to it.

Of the functions that rest on a position, directly or far below, the nearest is the one that rests
on the fewest positions, so that a motor counts for its own motion and not for everything that its
motion is needed for. A position belongs to one system or to none.
"""

from __future__ import annotations

from parts.calc.failing.consequences import CraneNeeds
from parts.calc.needs.structures import bits_of


def systems_of(needs: CraneNeeds) -> list[str | None]:
    """The nearest function of each position of a crane, in their order there.

    Functions that rest on equally many are told apart by the share that is lost, then by name.
    """
    rests_on = dict.fromkeys(needs.functions, 0) | needs.taken_along()
    for name in needs.items_in_order():
        for each in needs.items[name].all_needs():
            rests_on[name] = rests_on.get(name, 0) | rests_on[each]
    found: list[str | None] = [None] * len(needs.positions)
    taken = 0
    shares = needs.functions
    for function in sorted(
        shares, key=lambda name: (rests_on[name].bit_count(), -shares[name], name)
    ):
        for place in bits_of(rests_on[function] & ~taken):
            found[place] = function
        taken |= rests_on[function]
    return found
