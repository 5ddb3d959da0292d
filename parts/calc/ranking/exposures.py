"""Lost days and money to be expected in a year, by position and by crane.

exposure = failures in the coming year x (long-run wait + hands-on) x the share of work that one
outage takes. Right for what a spare saves; a crane's own total also knows that while it is down
its other parts stand still, so it never loses more than a year. What is not known is nan here and
None in the answers, and counts 0 in sums.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.calc.failing.consequences import CraneNeeds, needs_by_crane
from parts.calc.failing.outages import FleetOutage
from parts.calc.likelihoods.demand import Demand
from parts.calc.likelihoods.likelihood import Likelihood
from parts.calc.likelihoods.planned_use import planned_use
from parts.calc.needs.availability import lost_days_per_year, outage_ratio, unavailability
from parts.calc.needs.decision_diagram import TooEntangled
from parts.calc.needs.importance import Importances, importances_of_crane
from parts.calc.needs.weights import weights
from parts.calc.waiting.long_run import LongRun
from parts.records.risk_answers import CraneRisk, EventImportance, PositionRisk

Array = NDArray[np.float64]
TWINS_NOTE = (
    "positions are taken to fail independently; twins share spares, firmware and supply, so the "
    "figures for pairs are too low"
)


class Exposures:
    """Exposures of a whole fleet; rows are those of the snapshot's positions."""

    def __init__(self, outage: FleetOutage) -> None:
        self.outage = outage
        self.snapshot = outage.snapshot
        self.fleet = outage.fleet
        self.likelihood = Likelihood(outage.snapshot, outage.fleet)

    @cached_property
    def demand(self) -> Demand:
        snapshot = self.snapshot
        told = planned_use(snapshot.movements, snapshot.failures, snapshot.today)
        return Demand(self.fleet, self.likelihood.failures_next_year, told)

    @cached_property
    def planned_per_year(self) -> Mapping[str, float]:
        return {part: self.demand.planned_per_year(part) for part in self.snapshot.parts}

    @cached_property
    def long_run(self) -> LongRun:
        return LongRun(self.outage, self.likelihood.failures_next_year, self.planned_per_year)

    @cached_property
    def ratios(self) -> Array:
        """Years down for each year at work of each row; nan where that is not known."""
        failures = np.nan_to_num(self.likelihood.failures_next_year)
        restore_days = self.long_run.restore_days
        found = np.zeros(len(failures))
        for row in np.flatnonzero(failures > 0.0).tolist():
            days = float(restore_days[row])
            ratio = outage_ratio(float(failures[row]), None if np.isnan(days) else days)
            found[row] = np.nan if ratio is None else ratio
        return found

    @cached_property
    def needs(self) -> dict[str, CraneNeeds]:
        return needs_by_crane(self.snapshot, self.fleet, self.outage.crane_names)

    def _events(self, crane: str) -> dict[str, float | None]:
        """Unavailability of what fails by itself on a crane; None where it is not known."""
        rows, names = self.fleet.slices[crane], self.snapshot.positions.position
        return {
            names[row]: None if np.isnan(self.ratios[row]) else unavailability(self.ratios[row])
            for row in range(rows.start, rows.stop)
            if self.fleet.fails_by_itself[row]
        }

    @cached_property
    def _weights(self) -> tuple[Array, frozenset[str]]:
        """Weight of each row, and the cranes whose needs cross too much to weigh pairs."""
        found, entangled = self.outage.single_shares.copy(), set()
        for crane, needs in self.needs.items():
            if not any(item.groups for item in needs.items.values()):
                continue
            # an outage without a known end is taken to last for ever, the careful limit
            chances = {name: 1.0 if u is None else u for name, u in self._events(crane).items()}
            try:
                found[self.fleet.slices[crane]] = weights(needs, chances)
            except TooEntangled:
                entangled.add(crane)
        return found, frozenset(entangled)

    def partners(self, row: int) -> dict[str, float | None]:
        """What else is in the groups that lose a member with this row, with how often each is
        out: None = not known, so taken as out for good; nan where it does not fail by itself."""
        crane = self.snapshot.positions.crane[row]
        needs, events = self.needs[crane], self._events(crane)
        bit = row - self.fleet.slices[crane].start
        killers = needs.killers()
        found: dict[str, float | None] = {}
        for item in needs.items.values():
            for _, members in item.groups.values():
                lost = [name for name in members if killers[name] >> bit & 1]
                others = [name for name in members if name not in lost]
                found |= {name: events.get(name, np.nan) for name in others if lost}
        return found

    @property
    def weights(self) -> Array:
        """Share of the crane's work that one outage of each row takes."""
        return self._weights[0]

    @cached_property
    def days(self) -> Array:
        """Exposure of each row in lost days a year; 0 where nothing is lost whatever happens."""
        failures = self.likelihood.failures_next_year
        found = failures * self.long_run.restore_days * self.weights
        return np.where((self.weights == 0.0) | (failures == 0.0), 0.0, found)

    @cached_property
    def money_per_lost_day(self) -> Array:
        """By row; a crane without a cost a day counts 0."""
        found = np.zeros(len(self.fleet.parent))
        for crane, rows in self.fleet.slices.items():
            row = self.snapshot.cranes[crane]
            found[rows] = (row.down_cost_per_day or 0.0) * (1.0 - row.cover_share)
        return found

    @cached_property
    def costs(self) -> Array:
        """Exposure of each row in money a year."""
        return np.asarray(self.days * self.money_per_lost_day)

    def lost_days_per_year(self, crane: str) -> float:
        """Days of its work that a crane loses in a year, never more than the year has."""
        rows = self.fleet.slices[crane]
        return lost_days_per_year(np.nan_to_num(self.ratios[rows] * self.weights[rows]).tolist())

    def crane(self, name: str, order: int) -> CraneRisk:
        """One crane's year, with the sets of up to `order` positions that stop it."""
        cut_sets = self.outage.cut_sets(name, order)
        notes = [TWINS_NOTE] if any(len(each) > 1 for each in cut_sets) else []
        unknown = self._unknown(name)
        if name in self._weights[1]:
            notes.append("needs cross one another too much: joint outages are counted twice here")
        try:
            importances = importances_of_crane(self.needs[name], self._events(name))
        except TooEntangled as refused:
            importances, notes = Importances(None, {}), [*notes, str(refused)]
        if importances.unknown:
            notes.append(f"restoring is not known: {', '.join(importances.unknown)}")
        return CraneRisk(
            crane=name,
            unavailability=importances.unavailability,
            lost_days_per_year=self.lost_days_per_year(name),
            cut_sets=cut_sets,
            importance=_in_order(importances),
            unknown=unknown,
            notes=tuple(notes),
        )

    def _unknown(self, crane: str) -> tuple[str, ...]:
        """Positions whose exposure is not known, which count 0 in the crane's figures."""
        rows, names = self.fleet.slices[crane], self.snapshot.positions.position
        listed = set(self.fleet.listed.tolist())
        return tuple(
            names[row]
            for row in range(rows.start, rows.stop)
            if row in listed and np.isnan(self.days[row])
        )

    def position(self, row: int) -> PositionRisk:
        """One position's year."""
        positions = self.snapshot.positions
        wait = self.long_run.set_wait(row)
        return PositionRisk(
            crane=positions.crane[row],
            position=positions.position[row],
            part=positions.part[row],
            failures_next_year=known(self.likelihood.failures_next_year[row]),
            basis=self.likelihood.basis[row],
            expected_wait_days=known(self.long_run.wait_days[row]),
            expected_restore_days=known(self.long_run.restore_days[row]),
            weight=float(self.weights[row]),
            exposure_days=known(self.days[row]),
            exposure_cost=known(self.costs[row]),
            waits_for=None if wait is None else wait.waits_for.part,
            replaced=positions.position[int(self.long_run.replaced[row])],
        )


def known(figure: float) -> float | None:
    """A figure of an array as an answer has it."""
    return None if np.isnan(figure) else float(figure)


def _in_order(importances: Importances) -> tuple[EventImportance, ...]:
    events = importances.events.items()
    found = (EventImportance(name, *map(float, each)) for name, each in events)
    return tuple(sorted(found, key=lambda each: (-each.criticality, each.position)))
