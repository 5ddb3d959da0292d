"""Chances over a decision diagram: that it fails, and that one variable decides.

Everything is a sum of products of positive terms, so nothing cancels however small the chances
are. A chance is a float, or an array of them for many cases at once: the same sums serve both.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from parts.calc.needs.decision_diagram import FAILS, STANDS, Diagram, Pair

Chance = Any


class Chances:
    """The chances of a diagram's nodes when variable v has failed with chance `failed[v]`."""

    def __init__(self, diagram: Diagram, failed: Sequence[Chance]) -> None:
        self.diagram = diagram
        self._p = failed
        self._fails: list[Chance] = [0.0, 1.0]
        self._stands: list[Chance] = [1.0, 0.0]
        self._worse: dict[Pair, Chance] = {}

    def _reckon(self) -> None:
        """Nodes made since the last question; each stands after those that it leads to."""
        diagram, fails, stands = self.diagram, self._fails, self._stands
        for node in range(len(fails), len(diagram.variable)):
            p = self._p[diagram.variable[node]]
            failed, works = diagram.failed[node], diagram.works[node]
            fails.append(p * fails[failed] + (1.0 - p) * fails[works])
            stands.append(p * stands[failed] + (1.0 - p) * stands[works])

    def fails(self, root: int) -> Chance:
        self._reckon()
        return self._fails[root]

    def matters(self, root: int) -> list[Chance]:
        """For each variable, the chance that it decides: dP/dp, P. Birnbaum (1969)'s importance.

        One walk from the root down: the chance of coming to a node, times the chance that the
        rest fails if its variable has failed and stands if it works.
        """
        self._reckon()
        diagram = self.diagram
        reached: dict[int, Chance] = {root: 1.0}
        found: list[Chance] = [0.0] * len(self._p)
        for node in reversed(diagram.under(root)):
            variable, here = diagram.variable[node], reached[node]
            failed, works = diagram.failed[node], diagram.works[node]
            found[variable] = found[variable] + here * self._decided(failed, works)
            p = self._p[variable]
            reached[failed] = reached.get(failed, 0.0) + here * p
            reached[works] = reached.get(works, 0.0) + here * (1.0 - p)
        return found

    def _decided(self, worse: int, better: int) -> Chance:
        """The chance that `worse` fails and `better` stands, without a difference."""

        def at_once(left: int, right: int) -> Chance | None:
            if left in (right, STANDS) or right == FAILS:
                return 0.0
            if right == STANDS:
                return self._fails[left]
            return self._stands[right] if left == FAILS else None

        def joined(variable: int, if_failed: Chance, if_works: Chance) -> Chance:
            p = self._p[variable]
            return p * if_failed + (1.0 - p) * if_works

        return self.diagram.settle((worse, better), self._worse, at_once, joined)


def chance_of_any(chances: Iterable[Chance]) -> Chance:
    """The chance that at least one of independent events happens, without a difference."""
    found: Chance = 0.0
    for each in chances:
        found = found + (1.0 - found) * each
    return found


def products_of_others(factors: Sequence[Chance]) -> list[Chance]:
    """For each factor, the product of all others; a factor may be 0."""
    before, found = 1.0, []
    for each in factors:
        found.append(before)
        before = before * each
    after = 1.0
    for place in range(len(factors) - 1, -1, -1):
        found[place] = found[place] * after
        after = after * factors[place]
    return found
