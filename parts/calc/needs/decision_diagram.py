"""Ordered binary decision diagrams of what fails when parts fail.

A node asks whether its variable has failed; the two leaves are "stands" (0) and "fails" (1). Only
failures that make things worse (coherent structures) are held. Knows no chances and no positions.

Method: R. E. Bryant, "Graph-based algorithms for Boolean function manipulation", IEEE Transactions
on Computers C-35 (1986); A. Rauzy, "New algorithms for fault trees analysis", Reliability
Engineering and System Safety 40 (1993) (both from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from parts.errors import LongpoleError

STANDS, FAILS = 0, 1
LEAF = 1 << 30  # the leaves' variable: after all others
LIMIT_NODES = 200_000  # a crane of 400 positions in 20 groups takes some hundreds

Pair = tuple[int, int]


class TooEntangled(LongpoleError):
    """The structure's groups cross one another so much that its diagram outgrows memory."""

    def __init__(self, nodes: int) -> None:
        super().__init__(
            f"the needs of this crane cross one another too much to be reckoned exactly "
            f"(over {nodes} nodes): look for groups that share members"
        )


class Diagram:
    """Nodes by number: their variable and where to go when it has failed or works."""

    def __init__(self) -> None:
        self.variable = [LEAF, LEAF]
        self.failed = [STANDS, FAILS]
        self.works = [STANDS, FAILS]
        self._known: dict[tuple[int, int, int], int] = {}
        self._either: dict[Pair, int] = {}
        self._both: dict[Pair, int] = {}
        self._closures: dict[Pair, int] = {}

    def node(self, variable: int, failed: int, works: int) -> int:
        if failed == works:
            return works
        key = (variable, failed, works)
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = len(self.variable)
            if found > LIMIT_NODES:
                raise TooEntangled(LIMIT_NODES)
            self.variable.append(variable)
            self.failed.append(failed)
            self.works.append(works)
        return found

    def event(self, variable: int) -> int:
        return self.node(variable, FAILS, STANDS)

    def either(self, one: int, other: int) -> int:
        return self._combined(one, other, self._either, FAILS)

    def both(self, one: int, other: int) -> int:
        return self._combined(one, other, self._both, STANDS)

    def any_of(self, nodes: Sequence[int]) -> int:
        """Fails when one of the nodes does; joined from the last variable, where that is short."""
        found = STANDS
        for each in sorted(nodes, key=self.variable.__getitem__, reverse=True):
            found = self.either(each, found)
        return found

    def at_least(self, count: int, nodes: Sequence[int]) -> int:
        """Fails when at least `count` of the nodes do."""
        found = [FAILS] + [STANDS] * count  # of the nodes seen: at least 0, 1, 2, ... fail
        for each in sorted(nodes, key=self.variable.__getitem__, reverse=True):
            for fewer in range(count, 0, -1):
                found[fewer] = self.either(self.both(each, found[fewer - 1]), found[fewer])
        return found[count]

    def _combined(self, one: int, other: int, memo: dict[Pair, int], absorbing: int) -> int:
        def at_once(left: int, right: int) -> int | None:
            if left in (right, absorbing) or right == 1 - absorbing:
                return left
            return right if left == 1 - absorbing or right == absorbing else None

        found = at_once(one, other)
        return found if found is not None else self.settle((one, other), memo, at_once, self.node)

    def settle(
        self,
        pair: Pair,
        memo: dict[Pair, Any],
        at_once: Callable[[int, int], Any],
        joined: Callable[[int, Any, Any], Any],
    ) -> Any:
        """Walk two nodes down together; no call within a call, so that depth has no limit.

        Args:
            memo: what is settled already.
            at_once: what a pair gives without going down, else None.
            joined: what a variable gives from the pairs where it has failed and where it works.
        """
        waiting = [pair]
        while waiting:
            key = waiting[-1]
            if key in memo:
                waiting.pop()
                continue
            found = at_once(*key)
            if found is None:
                variable, if_failed, if_works = self._split(key)
                if if_failed not in memo or if_works not in memo:
                    waiting += (if_failed, if_works)
                    continue
                found = joined(variable, memo[if_failed], memo[if_works])
            memo[key] = found
            waiting.pop()
        return memo[pair]

    def _split(self, pair: Pair) -> tuple[int, Pair, Pair]:
        one, other = pair
        variable = min(self.variable[one], self.variable[other])
        one_asks, other_asks = self.variable[one] == variable, self.variable[other] == variable
        if_failed = (
            self.failed[one] if one_asks else one,
            self.failed[other] if other_asks else other,
        )
        if_works = (
            self.works[one] if one_asks else one,
            self.works[other] if other_asks else other,
        )
        return variable, if_failed, if_works

    def under(self, root: int) -> list[int]:
        """The nodes that `root` leads to, each after those that it leads to; leaves left out."""
        found, waiting = {STANDS, FAILS}, [root]
        while waiting:
            node = waiting.pop()
            if node not in found:
                found.add(node)
                waiting += (self.failed[node], self.works[node])
        return sorted(found - {STANDS, FAILS})

    def fails(self, root: int, failed: int) -> bool:
        """Whether `root` fails when the variables `failed`, as bits, have failed."""
        while root > FAILS:
            down = failed >> self.variable[root] & 1
            root = self.failed[root] if down else self.works[root]
        return root == FAILS

    def closure(self, worse: int, better: int) -> int:
        """Fails where some subset of what has failed makes `worse` fail and `better` stand."""

        def at_once(left: int, right: int) -> int | None:
            if left in (right, STANDS) or right == FAILS:
                return STANDS
            return left if right == STANDS or left == FAILS else None

        def joined(variable: int, if_failed: int, if_works: int) -> int:
            return self.node(variable, self.either(if_failed, if_works), if_works)

        return int(self.settle((worse, better), self._closures, at_once, joined))

    def through(self, root: int, variable: int) -> int:
        """With `variable` failed, fails where a minimal cut set that holds it has failed."""
        found: dict[int, int] = {}
        for node in self.under(root):
            if self.variable[node] == variable:
                found[node] = self.closure(self.failed[node], self.works[node])
            elif self.variable[node] < variable:
                worse = found.get(self.failed[node], STANDS)
                better = found.get(self.works[node], STANDS)
                found[node] = self.node(self.variable[node], self.either(worse, better), better)
        return found.get(root, STANDS)

    def minimal_cut_sets(self, root: int, order: int) -> list[int]:
        """Minimal cut sets of up to `order` variables, as bits."""
        found: dict[int, list[int]] = {STANDS: [], FAILS: [0]}
        for node in self.under(root):
            works, bit = self.works[node], 1 << self.variable[node]
            found[node] = found[works] + [
                each | bit
                for each in found[self.failed[node]]
                if each.bit_count() < order and not self.fails(works, each)
            ]
        return found[root]
