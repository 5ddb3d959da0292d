"""How long a route takes: the operations by which a part is made, on their mean durations.

A route is a precedence network in which finished operations count 0. An operation that is done
but does not last (a blank) serves one unit only: further units take `full`. Knows neither
suppliers nor their corrections.
"""

from __future__ import annotations

import itertools
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

import networkx as nx
import numpy as np
from numpy.typing import NDArray

from parts.calc.getting.networks import Schedule, critical_path, precedence_graph
from parts.calc.getting.three_point import ThreePoint, calendar_days
from parts.records.answers import HeadStart, OperationAnswer, RouteAnswer
from parts.records.supply import Operation

SIMULATED_RUNS = 40_000
SIMULATION_SEED = 20_26_11_25


def predecessors(operation: Operation) -> tuple[str, ...]:
    return tuple(operation.after.split("+")) if operation.after else ()


def lasts(operation: Operation) -> bool:
    """Whether doing it once serves every later order: blank = yes where it can be done ahead."""
    return bool(operation.ahead) if operation.ahead_lasts is None else operation.ahead_lasts


@dataclass(frozen=True)
class Route:
    """A route of the site: its operations and their three-point durations in calendar days."""

    name: str
    operations: dict[str, Operation]
    durations: dict[str, ThreePoint]

    @cached_property
    def after(self) -> dict[str, tuple[str, ...]]:
        return {name: predecessors(row) for name, row in self.operations.items()}

    def _means(self, finished: Iterable[str]) -> dict[str, float]:
        done = set(finished)
        return {
            name: 0.0 if name in done else points.mean for name, points in self.durations.items()
        }

    @cached_property
    def done(self) -> tuple[str, ...]:
        return tuple(name for name, row in self.operations.items() if row.done)

    @cached_property
    def first(self) -> Schedule:
        """The next unit: all that is done counts 0."""
        return critical_path(self._means(self.done), self.after)

    @cached_property
    def further(self) -> Schedule:
        """Every later unit: what is done and does not last has to be done again."""
        if not self.has_blank:
            return self.first
        return critical_path(self._means(self._lasting), self.after)

    @cached_property
    def _lasting(self) -> tuple[str, ...]:
        return tuple(name for name in self.done if lasts(self.operations[name]))

    @cached_property
    def has_blank(self) -> bool:
        return self._lasting != self.done

    @cached_property
    def draws(self) -> NDArray[np.float64]:
        """Simulated days of the next unit, (SIMULATED_RUNS,), the same in every run."""
        return self._simulated(self.done)

    @cached_property
    def further_draws(self) -> NDArray[np.float64]:
        """Simulated days of every later unit, (SIMULATED_RUNS,)."""
        return self._simulated(self._lasting) if self.has_blank else self.draws

    def _simulated(self, finished: Iterable[str]) -> NDArray[np.float64]:
        rng = np.random.default_rng((SIMULATION_SEED, zlib.crc32(self.name.encode())))
        done = set(finished)
        finish: dict[str, NDArray[np.float64]] = {}
        total = np.zeros(SIMULATED_RUNS)
        for name in nx.topological_sort(precedence_graph(self.after)):
            days = np.zeros(SIMULATED_RUNS)
            if name not in done:
                days = beta_draws(self.durations[name], rng, SIMULATED_RUNS)
            start = [finish[before] for before in self.after[name]]
            finish[name] = np.maximum.reduce(start, axis=0) + days if start else days
            total = np.maximum(total, finish[name])
        return total

    def head_starts(self) -> tuple[HeadStart, ...]:
        """What doing each operation ahead would save, with all that must come before it.

        An operation can be done ahead only if all its unfinished predecessors can; its cost is
        theirs too. The saving is the critical path before less the critical path after.
        """
        graph = precedence_graph(self.after)
        answers = []
        for name, row in self.operations.items():
            if row.done or not row.ahead:
                continue
            needed = [
                each
                for each in self.operations
                if (each == name or nx.has_path(graph, each, name)) and each not in self.done
            ]
            if not all(self.operations[each].ahead for each in needed):
                continue
            shorter = critical_path(self._means((*self.done, *needed)), self.after)
            costs = [self.operations[each].ahead_cost for each in needed]
            answers.append(
                HeadStart(
                    operation=name,
                    operations=tuple(needed),
                    saves_days=self.first.length - shorter.length,
                    cost=None if None in costs else sum(cost or 0.0 for cost in costs),
                )
            )
        return tuple(sorted(answers, key=lambda each: (-each.saves_days, each.operation)))

    def answer(self) -> RouteAnswer:
        schedule = self.first
        return RouteAnswer(
            route=self.name,
            mean_critical_path=schedule.length,
            simulated_mean=float(self.draws.mean()),
            operations=tuple(
                OperationAnswer(
                    operation=name,
                    start=schedule.start[name],
                    finish=schedule.finish[name],
                    slack=schedule.slack[name],
                    critical=name in schedule.critical,
                    done=self.operations[name].done,
                )
                for name in schedule.start
            ),
            head_starts=self.head_starts(),
        )


def beta_draws(points: ThreePoint, rng: np.random.Generator, runs: int) -> NDArray[np.float64]:
    """Draws of a three-point duration, (runs,), in days."""
    if points.is_certain:
        return np.full(runs, points.likely)
    width = points.high - points.low
    alpha = 1.0 + 4.0 * (points.likely - points.low) / width
    beta = 1.0 + 4.0 * (points.high - points.likely) / width
    return points.low + width * rng.beta(alpha, beta, runs)


def routes_of(operations: Iterable[Operation], working_days_a_week: int) -> Mapping[str, Route]:
    """The routes of a site by name."""
    ordered = sorted(operations, key=lambda row: row.route)
    return {
        name: Route(
            name=name,
            operations=(by_name := {row.operation: row for row in rows}),
            durations={
                each: calendar_days(row.low, row.likely, row.high, row.unit, working_days_a_week)
                for each, row in by_name.items()
            },
        )
        for name, rows in itertools.groupby(ordered, key=lambda row: row.route)
    }
