"""The plan and the frontier of a large invented fleet, beside a naive pandas loop in the same run.

    python scripts/bench_plan.py [--cranes 100 1000] [--budget-share 0.01]

The exposures are reckoned first and not counted. The naive loop is what one would write in a
notebook: a frame of parts, the textbook's backorders applied to each row, the best one bought, and
all of it again for the next unit; without sets, assemblies or head starts. A few of its steps are
timed, and all that the plan's frontier takes are said to cost as much each.
"""

from __future__ import annotations

import argparse
import gc
import math
import sys
import time
from collections.abc import Callable
from typing import TypeVar

import pandas as pd
from make_fleet import TODAY, fleet_book

from parts.calc.buying.plans import Plans
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.ranking.exposures import Exposures
from parts.records.snapshot import snapshot_of
from parts.services.collector import collector_paused
from parts.services.risks import exposures

AIM_SECONDS = 10.0
NAIVE_STEPS = 3
Result = TypeVar("Result")


def timed(work: Callable[[], Result]) -> tuple[float, Result]:
    start = time.perf_counter()
    result = work()
    return time.perf_counter() - start, result


def backorders(mean: float, stock: int) -> float:
    """E[(N - stock)+] by the sum that a textbook shows."""
    chance, below, shortfall = math.exp(-mean), 0.0, 0.0
    for count in range(stock):
        below += chance
        shortfall += (stock - count) * chance
        chance *= mean / (count + 1)
    return mean - stock + shortfall


def parts_frame(exposed: Exposures) -> pd.DataFrame:
    """The parts that fail: demand, lead time, stock, price, and money a year for a day's wait."""
    positions = pd.DataFrame({
        "part": exposed.snapshot.positions.part,
        "money": exposed.likelihood.failures_next_year * exposed.weights
        * exposed.money_per_lost_day,
    })  # fmt: skip
    money = positions[positions.money > 0.0].groupby("part").money.sum()
    pools = [exposed.long_run.restocking.of(part) for part in money.index]
    demand = [exposed.long_run.demand_per_year(part) for part in money.index]
    prices = [exposed.snapshot.parts[part].unit_cost or 1.0 for part in money.index]
    return pd.DataFrame({
        "part": money.index, "money": money.to_numpy(), "demand": demand, "price": prices,
        "mean": [each * (pool.lead_days or 0.0) / DAYS_A_YEAR
                 for each, pool in zip(demand, pools, strict=True)],
        "stock": [pool.stock for pool in pools],
    })  # fmt: skip


def naive_loop(parts: pd.DataFrame, steps: int) -> None:
    """Each time buy the unit that saves most for its money, by a look at every part."""
    for _ in range(steps):
        saved = parts.apply(
            lambda row: (
                backorders(row["mean"], row["stock"]) - backorders(row["mean"], row["stock"] + 1)
            ),
            axis=1,
        )
        worth = parts.money * saved / parts.demand * DAYS_A_YEAR / parts.price
        parts.loc[worth.idxmax(), "stock"] += 1


def measure(cranes: int, budget_share: float) -> None:
    snapshot = snapshot_of(fleet_book(cranes, 1), TODAY)
    reckoning, exposed = timed(lambda: exposures(snapshot))
    plans = Plans(exposed)
    budget = budget_share * float(exposed.costs[exposed.costs > 0.0].sum())
    with collector_paused():
        planning, plan = timed(lambda: plans.plan(budget))
        again, _ = timed(lambda: plans.plan(budget / 2.0))
    parts = parts_frame(exposed)
    naive, _ = timed(lambda: naive_loop(parts, NAIVE_STEPS))
    steps, step = len(plan.frontier), naive / NAIVE_STEPS
    print(f"{cranes} cranes, {len(snapshot.positions):,} positions, {len(snapshot.parts):,} parts")
    print(f"  exposures, not counted            {reckoning:8.2f} s")
    print(f"  frontier ({steps} points) and plan  {planning:8.2f} s, {len(plan.lines)} lines")
    print(f"  another budget                    {again:8.2f} s")
    print(f"  a step of the naive pandas loop   {step:8.2f} s, mean of {NAIVE_STEPS}")
    print(f"  as many naive steps as points     {step * steps:8.0f} s, "
          f"{step * steps / planning:,.0f} times as long")  # fmt: skip
    print(f"  exposure {plan.exposure_before:,.0f} -> {plan.exposure_after:,.0f}, "
          f"spent {plan.spent:,.0f} of {budget:,.0f}; aim: below {AIM_SECONDS:g} s")  # fmt: skip
    gc.collect()


def main() -> int:
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--cranes", nargs="+", type=int, default=[100, 1000])
    words.add_argument("--budget-share", type=float, default=0.01)
    wanted = words.parse_args()
    for cranes in wanted.cranes:
        measure(cranes, wanted.budget_share)
    return 0


if __name__ == "__main__":
    sys.exit(main())
