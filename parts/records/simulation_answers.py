"""The proof run: the plan that is played, and what the simulated fleet loses beside what the
formulas say."""

from __future__ import annotations

from dataclasses import dataclass

PLAN_ACTIONS = ("spare", "head_start", "last_buy")


@dataclass(frozen=True, slots=True)
class PlannedLine:
    """One line of a plan, as far as carrying it out needs it."""

    part: str
    action: str
    qty: int
    route: str | None
    operation: str | None


@dataclass(frozen=True, slots=True)
class SimulatedDays:
    """Lost days a year over all runs, with the limits that hold their mean with 95 %."""

    lost_days_per_year: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class CraneProof:
    """One crane: simulated beside reckoned. One crane in twenty is outside by chance alone."""

    crane: str
    simulated: SimulatedDays
    formula_days_per_year: float
    agree: bool


@dataclass(frozen=True, slots=True)
class SimulationAnswer:
    """The whole site; `agree` = the formula's figure is inside the limits widened by 2 %.

    `unknown` names positions, as crane/position, that count 0 on both sides because their rate or
    their restoring is not known. `outages` is how many were simulated.
    """

    runs: int
    years: float
    seed: int
    simulated: SimulatedDays
    formula_days_per_year: float
    agree: bool
    outages: int
    cranes: tuple[CraneProof, ...]
    unknown: tuple[str, ...]
    notes: tuple[str, ...]
