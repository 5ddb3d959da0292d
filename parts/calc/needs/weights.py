"""Which share of a crane's work one outage of a position takes, so that joint outages count once.

A position outside groups takes what its failure alone loses. In a group it takes
w_i = E[lost share of D / number of positions in D], D = the position and those of its groups that
happen to be down. Then the sum of u_i w_i over a group is E[lost share of what is down in it].
Positions whose failure alone loses as much as their groups together count as up and keep their
share. Groups that share other positions are taken as one. The rule is this program's own.

Exact, without going through the sets D: 1/n = integral of z^(n-1) over z in 0..1, and under the
integral each position's state stands alone. The integrand is a polynomial in z, for which Gauss
and Legendre's rule with half as many points as there are positions is exact. A function of share
s is lost with an event of chance s beside it, so that the lost share 1 - product of (1 - s) is the
chance that something fails.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from parts.calc.failing.consequences import CraneNeeds, lost_share, shares_of_single_failures
from parts.calc.needs.chances import Chances, chance_of_any
from parts.calc.needs.drawings import Drawing
from parts.calc.needs.structures import (
    Branch,
    Structure,
    any_of,
    bits_of,
    merge_overlapping,
    structure_of,
)

Array = NDArray[np.float64]
ROUNDING = 1e-12


def weights(needs: CraneNeeds, unavailability: Mapping[str, float]) -> Array:
    """Weight of each position, (positions,).

    Args:
        needs: the needs of one crane.
        unavailability: u of each basic event, 0 to 1; 0 where nothing is known, which counts as up.

    Raises:
        TooEntangled: the needs cross one another too much for an exact answer.
    """
    found = shares_of_single_failures(needs)[0]
    structure, branches = structure_of(needs, unavailability)
    of_functions = {name: branches[name] for name in needs.functions}
    groups = _groups(structure, of_functions, needs.functions, found)
    work, coins = _work(structure, of_functions, needs.functions)
    chances = np.array([unavailability.get(name, 0.0) for name in needs.positions])
    for group in groups:
        places = list(bits_of(group))
        found[places] = _weights_in(structure, work, group, chances, coins)
    return found


def _groups(
    structure: Structure, branches: dict[str, Branch], functions: dict[str, float], alone: Array
) -> list[int]:
    """Positions whose outages count together, as bits: those of groups that share some."""
    around: dict[int, int] = {}
    for vote in structure.votes:
        for event in bits_of(vote.below):
            around[event] = around.get(event, 0) | vote.below
    lost = {}
    for events in set(around.values()):
        votes = structure.failed_votes(events)
        dead = (
            name for name, each in branches.items() if each.events & events or each.votes & votes
        )
        lost[events] = lost_share(functions[name] for name in dead)
    up = sum(1 << event for event in around if alone[event] >= lost[around[event]] - ROUNDING)
    shared = merge_overlapping((vote.below & ~up, 0) for vote in structure.votes)
    return [events for events, _ in shared if events]


def _work(
    structure: Structure, branches: dict[str, Branch], functions: dict[str, float]
) -> tuple[Branch, dict[int, float]]:
    """Fails with the chance that equals the lost share; and the events added for it."""
    parts, coins = [], {}
    for name, share in functions.items():
        lost = branches[name]
        if share < 1.0:
            coin = structure.add_event(f"share of {name}")
            coins[len(structure.events) - 1] = share
            lost = structure.at_least(2, [coin, lost])
        parts.append(lost)
    return any_of(parts), coins


def _weights_in(
    structure: Structure, work: Branch, group: int, chances: Array, coins: dict[int, float]
) -> Array:
    """Weights of the positions of one group, lowest place first."""
    places = list(bits_of(group))
    points, shares = _points((len(places) + 1) // 2)
    u = chances[places][:, None]
    either = (1.0 - u) + u * points  # z for each that is down, (positions, points)
    down = dict(zip(places, u * points / either, strict=True))
    drawing = Drawing(structure, work, group | sum(1 << coin for coin in coins))
    p: list[Any] = [
        chance_of_any(down[event] if event in down else coins[event] for event in lot)
        for lot in drawing.alike
    ]
    chance = Chances(drawing.diagram, p)
    fails, decides = chance.fails(drawing.root), chance.matters(drawing.root)
    row_of = {event: row for row, event in enumerate(places)}
    with_it_down = np.empty(either.shape)
    with_it_down[:] = fails  # what no function needs changes nothing
    for lot, own, matters in zip(drawing.alike, p, decides, strict=True):
        if lot[0] in down:
            with_it_down[[row_of[event] for event in lot]] = fails + (1.0 - own) * matters
    others: Array = either.prod(axis=0) / either
    found: Array = (shares * others * with_it_down).sum(axis=1)
    return found


@lru_cache(maxsize=256)
def _points(count: int) -> tuple[Array, Array]:
    """Points and shares that integrate polynomials below degree 2 x count over 0..1 exactly."""
    points, shares = np.polynomial.legendre.leggauss(count)
    return (points + 1.0) / 2.0, shares / 2.0
