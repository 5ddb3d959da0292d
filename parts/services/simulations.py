"""The proof: a simulated fleet, as it is or with a plan carried out, beside the formulas."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from parts.records.simulation_answers import SimulationAnswer
from parts.records.snapshot import Snapshot
from parts.services.risks import exposures

RUNS, YEARS, SEED = 200, 10, 1
BLANKS = (
    "done ahead for one unit only and left out on both sides, though the plan counts the share of "
    "the demand that it serves"
)

Progress = Callable[[int, int], None]


def simulation(
    snapshot: Snapshot,
    *,
    plan: Path | None = None,
    runs: int = RUNS,
    years: float = YEARS,
    seed: int = SEED,
    progress: Progress | None = None,
) -> SimulationAnswer:
    """Simulate the site, with the plan of a file that `buy --json` wrote carried out if given.

    Both sides see the plan: the formulas' figure is that of the site with it. `progress` is told
    steps done and steps in all; what it raises ends the run.

    Raises UnusablePlan, UnknownName for what the plan names and the site does not know, OutOfReach
    for runs or years that cannot be simulated.
    """
    from parts.calc.simulating.carried_out import blanks_of, carried_out
    from parts.calc.simulating.simulation import simulate
    from parts.exchange.plan_file import read_plan

    blanks: tuple[str, ...] = ()
    if plan is not None:
        lines = read_plan(plan)
        blanks = blanks_of(snapshot, lines)
        snapshot = carried_out(snapshot, lines)
    found = simulate(exposures(snapshot), runs=runs, years=years, seed=seed, progress=progress)
    if not blanks:
        return found
    return replace(found, notes=(*found.notes, f"{BLANKS}: {', '.join(blanks)}"))
