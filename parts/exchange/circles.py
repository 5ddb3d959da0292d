"""Circles in a network of names: the one search, for parents, needs and routes alike."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping
from typing import TypeVar

Node = TypeVar("Node", bound=Hashable)


def circles(edges: Mapping[Node, Iterable[Node]]) -> list[list[Node]]:
    """Circles that share no node, at least one in each knot; none where the network has none.

    Nodes from which no circle can be reached are peeled off first; from any other node every walk
    ends in a circle.
    """
    ahead = {node: list(dict.fromkeys(after)) for node, after in edges.items()}
    found: list[list[Node]] = []
    _peel(ahead)
    while ahead:
        circle = _walk(ahead)
        found.append(circle)
        for node in circle:
            del ahead[node]
        _peel(ahead)
    return found


def _peel(ahead: dict[Node, list[Node]]) -> None:
    """Remove, again and again, nodes that lead nowhere."""
    behind: dict[Node, list[Node]] = defaultdict(list)
    open_ends: dict[Node, int] = {}
    for node, after in ahead.items():
        here = [next_node for next_node in after if next_node in ahead]
        open_ends[node] = len(here)
        for next_node in here:
            behind[next_node].append(node)
    dead = [node for node, count in open_ends.items() if count == 0]
    while dead:
        node = dead.pop()
        del ahead[node]
        for before in behind[node]:
            open_ends[before] -= 1
            if open_ends[before] == 0:
                dead.append(before)


def _walk(ahead: dict[Node, list[Node]]) -> list[Node]:
    """Walk from the first node until a node comes again."""
    node = next(iter(ahead))
    passed: dict[Node, int] = {}
    while node not in passed:
        passed[node] = len(passed)
        node = next(after for after in ahead[node] if after in ahead)
    walk = list(passed)
    return walk[passed[node] :]
