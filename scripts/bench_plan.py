"""The plan and the frontier of a large invented fleet, beside a naive loop in the same run.

    python scripts/bench_plan.py [--cranes 100 1000] [--budget-share 0.01]

The exposures are reckoned first and not counted. The naive loop looks at every position once for
each unit that it buys, with the textbook's backorders and without sets, assemblies or head starts;
a few of its steps are timed, and all that the plan's frontier takes are said to cost as much each.
"""

from __future__ import annotations

import argparse
import gc
import math
import sys
import time
from collections.abc import Callable
from typing import TypeVar

from make_fleet import TODAY, fleet_book

from parts.calc.buying.plans import Plans
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


def naive_step(exposed: Exposures) -> str | None:
    """The part of which one unit more saves most for its money, by a look at every position."""
    found: dict[str, float] = {}
    failures = exposed.likelihood.failures_next_year
    for row in range(len(exposed.snapshot.positions)):
        part = exposed.snapshot.positions.part[row]
        rate = float(failures[row])
        if part is None or not rate > 0.0:
            continue
        restock = exposed.long_run.restocking.of(part)
        demand = exposed.long_run.demand_per_year(part)
        mean = demand * (restock.lead_days or 0.0) / 365.25
        saved = backorders(mean, restock.stock) - backorders(mean, restock.stock + 1)
        wait = saved / demand * 365.25
        money = rate * wait * float(exposed.weights[row]) * float(exposed.money_per_lost_day[row])
        found[part] = found.get(part, 0.0) + money
    prices = {part: exposed.snapshot.parts[part].unit_cost or 1.0 for part in found}
    return max(found, key=lambda part: found[part] / prices[part], default=None)


def measure(cranes: int, budget_share: float) -> None:
    snapshot = snapshot_of(fleet_book(cranes, 1), TODAY)
    reckoning, exposed = timed(lambda: exposures(snapshot))
    plans = Plans(exposed)
    budget = budget_share * float(exposed.costs[exposed.costs > 0.0].sum())
    with collector_paused():
        planning, plan = timed(lambda: plans.plan(budget))
        again, _ = timed(lambda: plans.plan(budget / 2.0))
    naive, _ = timed(lambda: [naive_step(exposed) for _ in range(NAIVE_STEPS)])
    steps = len(plan.frontier)
    print(f"{cranes} cranes, {len(snapshot.positions):,} positions, {len(snapshot.parts):,} parts")
    print(f"  exposures, not counted            {reckoning:8.2f} s")
    print(f"  frontier ({steps} points) and plan  {planning:8.2f} s, {len(plan.lines)} lines")
    print(f"  another budget                    {again:8.2f} s")
    print(f"  a step of the naive loop          {naive / NAIVE_STEPS:8.2f} s")
    print(f"  as many naive steps as points     {naive / NAIVE_STEPS * steps:8.0f} s, "
          f"{naive / NAIVE_STEPS * steps / planning:,.0f} times as long")  # fmt: skip
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
