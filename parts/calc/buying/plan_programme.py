"""One option of each group within a budget, as a mixed-integer programme.

Least sum of what the options taken leave; each group gives exactly one; together they stay within
the budget. Solved by HiGHS, which also proves a bound: no choice within the budget leaves less.
Knows numbers only, and the same numbers give the same choice: it stops by nodes, not by the clock.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import highspy
import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
# of what is left; below it two choices count as equally good
PROVEN = 1e-10
# so many nodes of the search are looked at; then the best choice found stands, with its bound
MOST_NODES = 2000
# the solver's tolerances are absolute: money is scaled to sums of about this size
SIZE = 1e5
TOLERANCE = 1e-9


@dataclass(frozen=True, slots=True)
class Solved:
    """The place of the option taken in each group, None = no choice was found in time; `bound` =
    no choice within the budget leaves less."""

    places: tuple[int, ...] | None
    bound: float


def solved(costs: Sequence[Array], left: Sequence[Array], budget: float) -> Solved:
    """The best choice, or the best one found and how good another one can be at most.

    Arguments: costs and left (of the options of each group), budget (above 0).
    """
    least = np.array([group.min() for group in left])
    sizes = [len(group) for group in costs]
    number = np.repeat(np.arange(len(sizes)), sizes)
    cost, above = np.concatenate(costs), np.concatenate(left) - least[number]
    money, worth = SIZE / budget, SIZE / (above.max() or 1.0)
    solver = _solver()
    solver.passModel(_model(cost * money, above * worth, number, SIZE))
    solver.run()

    bound = float(least.sum() + max(0.0, solver.getInfo().mip_dual_bound) / worth)
    taken = np.array(solver.getSolution().col_value)
    if len(taken) != len(cost):
        return Solved(None, bound)
    places = tuple(int(group.argmax()) for group in np.split(taken, np.cumsum(sizes)[:-1]))
    spent = sum(group[at] for group, at in zip(costs, places, strict=True))
    return Solved(places if spent <= budget else None, bound)


def _model(cost: Array, above: Array, number: NDArray[np.int64], budget: float) -> highspy.HighsLp:
    """A column for each option: it counts in the row of its group and in the last one, money."""
    groups, columns = int(number[-1]) + 1, len(cost)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = columns, groups + 1
    model.col_cost_ = above
    model.col_lower_, model.col_upper_ = np.zeros(columns), np.ones(columns)
    model.row_lower_ = np.append(np.ones(groups), -highspy.kHighsInf)
    model.row_upper_ = np.append(np.ones(groups), budget)
    model.integrality_ = [highspy.HighsVarType.kInteger] * columns
    matrix = model.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kColwise
    matrix.num_col_, matrix.num_row_ = columns, groups + 1
    matrix.start_ = np.arange(columns + 1) * 2
    matrix.index_ = np.stack((number, np.full(columns, groups)), axis=1).ravel()
    matrix.value_ = np.stack((np.ones(columns), cost), axis=1).ravel()
    return model


def _solver() -> highspy.Highs:
    solver = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.silent()
    for option, value in {
        "threads": 1,
        "mip_max_nodes": MOST_NODES,
        "mip_rel_gap": PROVEN,
        "mip_abs_gap": 0.0,
        "mip_feasibility_tolerance": TOLERANCE,
        "primal_feasibility_tolerance": TOLERANCE,
    }.items():
        solver.setOptionValue(option, value)
    return solver
