"""The proof run: the fleet's failures, stock and waiting played through, beside the formulas.

Both sides speak of the same thing, the coming year over and over:
- Failures come at the coming year's rates. A unit with a life and a known age is renewed within
  each simulated year and starts the next at today's age again: ageing over years belongs to a
  forecast. Rates that are not known count 0.
- What is drawn for a position that is out, or for a crane that stands still because it is fully
  down, does not happen; while a crane is reduced or works on its twin, its parts go on failing.
- Stock is that of a long run, not that of today's shelf: days are counted once the longest lead
  has passed twice. What cannot be bought again has to last its years, seen at a moment of chance.
- A failure takes its part and companions at once and waits for the last of them; what is exchanged
  is what the long run chose, and a removed assembly is rebuilt from its part's own stock.
- A position whose restoring is not known takes its units and puts nothing out, as in the formula.
- Retirements to come are left out.

Where the two differ, each reckoned with care (on small busy sites made by chance, half of them
within 1.5 %, the worst 9 % apart):
- The formulas' demand goes on while a position is out or its crane stands still. Where a few busy
  positions share a shelf, real waits are shorter, by 18 % in the worst case seen.
- The formulas hold a reduced crane still by the share that it has lost. Really a position that is
  out does not fail again (less is lost) while all others go on (more is lost): 1 to 4 % of cranes
  that are reduced for a tenth of their time.
- The formulas take a pair's members to be out independently. Twins that wait for the same shelf
  are out together far more often, six times as often with one spare for one pair; little in days
  where the pair is a small part of the loss, but no proof that one shared spare covers both.
"""

from __future__ import annotations

import math

import numpy as np
from scipy.special import stdtrit

from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.ranking.exposures import Exposures
from parts.calc.simulating.simulated_fleet import SimulatedFleet
from parts.calc.simulating.simulated_outages import lost_days
from parts.calc.simulating.simulated_runs import Progress, Runs, warm_up_days, works_of
from parts.calc.waiting.poisson import Floats
from parts.errors import LongpoleError
from parts.records.simulation_answers import CraneProof, SimulatedDays, SimulationAnswer

CONFIDENCE = 0.95
WIDENED_BY = 0.02
EVENTS_AT_ONCE = 10_000_000
FEWEST_RUNS, MOST_RUNS, MOST_YEARS = 2, 100_000, 10_000
FEW_OUTAGES = 30
NOTES = (
    "rates are those of the coming year throughout; stock is replenished as it is used",
    "retirements, upgrades and closing dates to come are left out",
)


class OutOfReach(LongpoleError):
    def __init__(self, runs: int, years: float) -> None:
        super().__init__(
            f"{runs} runs of {years:g} years cannot be simulated here; give {FEWEST_RUNS} to "
            f"{MOST_RUNS:,} runs of up to {MOST_YEARS:,} years, fewer years for a large fleet"
        )


def simulate(
    exposed: Exposures,
    *,
    runs: int,
    years: float,
    seed: int,
    progress: Progress | None = None,
) -> SimulationAnswer:
    """Simulate a site and lay the formulas' figure beside it.

    Args:
        exposed: the site's exposures, with the stock that is to be proved.
        runs: independent histories, 2 or more, since the limits come from their spread.
        years: counted in each run.
        seed: the same seed gives the same answer.
        progress: told steps done and steps in all; what it raises ends the run.

    The limits hold the mean of all runs with 95 % (Student's t over the runs). `agree`: the sum
    over cranes of 365.25 R/(1+R) lies between 0.98 x low and 1.02 x high.
    """
    if not (FEWEST_RUNS <= runs <= MOST_RUNS and 0.0 < years <= MOST_YEARS):
        raise OutOfReach(runs, years)
    fleet = SimulatedFleet(exposed)
    together = _side_by_side(fleet, years)
    if together < 1:
        raise OutOfReach(runs, years)
    works, rng = works_of(fleet), np.random.default_rng(seed)
    lost, outages = np.zeros((runs, len(works))), 0
    firsts = range(0, runs, together)
    for number, first in enumerate(firsts):
        some = Runs(fleet, works, min(together, runs - first), years, rng)
        some.play(_part_of(progress, number, len(firsts)))
        found = some.outages()
        outages += len(found.run)
        lost[first : first + some.runs] = lost_days(found, works, some.runs) / years
    return _answer(exposed, fleet, lost, (runs, years, seed, outages))


def _side_by_side(fleet: SimulatedFleet, years: float) -> int:
    """How many runs the memory holds."""
    days = years * DAYS_A_YEAR + warm_up_days(fleet)
    events = float(fleet.per_year.sum()) * days / DAYS_A_YEAR
    return int(EVENTS_AT_ONCE / max(1.0, events))


def _part_of(progress: Progress | None, number: int, of: int) -> Progress | None:
    """Tell the steps of one batch as steps of all."""
    if progress is None:
        return None
    return lambda done, steps: progress(number * steps + done, of * steps)


def _answer(
    exposed: Exposures, fleet: SimulatedFleet, lost: Floats, told: tuple[int, float, int, int]
) -> SimulationAnswer:
    runs, years, seed, outages = told
    formula = [exposed.lost_days_per_year(crane) for crane in fleet.cranes]
    simulated = _with_limits(lost.sum(axis=1))
    notes: tuple[str, ...] = NOTES
    if outages < FEW_OUTAGES:
        notes += (f"only {outages} outages came: too few to judge, simulate more years",)
    return SimulationAnswer(
        runs=runs,
        years=years,
        seed=seed,
        simulated=simulated,
        formula_days_per_year=sum(formula),
        agree=_agree(simulated, sum(formula)),
        outages=outages,
        cranes=tuple(
            CraneProof(crane, days, figure, _agree(days, figure))
            for crane, figure, days in zip(
                fleet.cranes, formula, map(_with_limits, lost.T), strict=True
            )
        ),
        unknown=_unknown(exposed),
        notes=notes,
    )


def _unknown(exposed: Exposures) -> tuple[str, ...]:
    positions, listed = exposed.snapshot.positions, exposed.fleet.listed
    rows = listed[np.isnan(exposed.days[listed])].tolist()
    return tuple(f"{positions.crane[row]}/{positions.position[row]}" for row in rows)


def _with_limits(lost: Floats) -> SimulatedDays:
    mean, runs = float(lost.mean()), len(lost)
    reach = float(stdtrit(runs - 1, (1.0 + CONFIDENCE) / 2.0))
    half = reach * float(lost.std(ddof=1)) / math.sqrt(runs)
    return SimulatedDays(mean, max(0.0, mean - half), mean + half)


def _agree(simulated: SimulatedDays, formula: float) -> bool:
    """Inside the limits, widened by 2 %."""
    low, high = (1.0 - WIDENED_BY) * simulated.low, (1.0 + WIDENED_BY) * simulated.high
    return low <= formula <= high
