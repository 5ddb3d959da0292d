"""Precedence networks: the earliest and latest dates of operations, and their critical path.

Knows nothing of routes, suppliers or units. Invariant: the durations along `path` add up to
`length`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import networkx as nx

SLACK_TOLERANCE = 1e-9


@dataclass(frozen=True, slots=True)
class Schedule:
    """Dates from the start of the network, by operation, in the unit of the durations."""

    length: float
    start: dict[str, float]
    finish: dict[str, float]
    late_start: dict[str, float]
    late_finish: dict[str, float]
    slack: dict[str, float]
    critical: tuple[str, ...]
    path: tuple[str, ...]


def precedence_graph(after: Mapping[str, Sequence[str]]) -> nx.DiGraph[str]:
    """The operations as a graph, with an edge from each to those that come after it."""
    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_nodes_from(after)
    graph.add_edges_from((before, name) for name, befores in after.items() for before in befores)
    return graph


def critical_path(durations: Mapping[str, float], after: Mapping[str, Sequence[str]]) -> Schedule:
    """Forward and backward pass over a network.

    Args:
        durations: duration of each operation, in one unit of time, not negative.
        after: the operations that must be finished before each operation starts.
    Raises:
        networkx.NetworkXUnfeasible: the network has a cycle.
    Method: the critical path method, Kelley and Walker 1959 (from memory); an operation is
    critical when its slack is below 1e-9, since means are thirds and sixths.
    """
    graph = precedence_graph(after)
    order = list(nx.topological_sort(graph))
    start: dict[str, float] = {}
    finish: dict[str, float] = {}
    for name in order:
        start[name] = max((finish[before] for before in after[name]), default=0.0)
        finish[name] = start[name] + durations[name]
    length = max(finish.values(), default=0.0)
    late_finish: dict[str, float] = {}
    for name in reversed(order):
        late_finish[name] = min(
            (late_finish[later] - durations[later] for later in graph.successors(name)),
            default=length,
        )
    late_start = {name: late_finish[name] - durations[name] for name in order}
    slack = {name: _without_dust(late_start[name] - start[name]) for name in order}
    return Schedule(
        length=length,
        start=start,
        finish=finish,
        late_start=late_start,
        late_finish=late_finish,
        slack=slack,
        critical=tuple(name for name in order if slack[name] < SLACK_TOLERANCE),
        path=_path_back(after, start, finish),
    )


def _without_dust(slack: float) -> float:
    """Slack that is only rounding counts as none."""
    return 0.0 if abs(slack) < SLACK_TOLERANCE else slack


def _path_back(
    after: Mapping[str, Sequence[str]], start: Mapping[str, float], finish: Mapping[str, float]
) -> tuple[str, ...]:
    """One chain that sets the length: from the last finish back to an operation that waits
    for nothing."""
    if not finish:
        return ()
    name = max(finish, key=lambda each: (finish[each], each))
    path = [name]
    while after[name] and start[name] > 0.0:
        name = max(after[name], key=lambda each: (finish[each], each))
        path.append(name)
    return tuple(reversed(path))
