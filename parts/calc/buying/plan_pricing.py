"""What any plan costs and what it leaves of the exposure, however it was put together.

The exposure is that of a full reckoning of all long-run waits with the plan's units and head
starts, the weights of today's joint outages held. Knows nothing of how a plan is chosen.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.calc.buying.head_starts import Started
from parts.calc.buying.plan_terms import PlanRestocking, PlanTerms, long_run_under
from parts.calc.ranking.exposures import Exposures
from parts.calc.waiting.long_run import LongRun
from parts.calc.waiting.part_sets import PartSets
from parts.records.plan_answers import HEAD_START, Priced, Purchase

Array = NDArray[np.float64]


def price(exposed: Exposures, purchases: Iterable[Purchase]) -> Priced:
    """Any plan, weighed from scratch; the lines may be edited by hand."""
    return Pricing(PlanTerms(exposed)).price(purchases)


class Pricing:
    """Weighs plans of one site."""

    def __init__(self, terms: PlanTerms) -> None:
        self.terms = terms
        self.exposed = terms.exposed

    @cached_property
    def days_per_wait(self) -> Array:
        """Lost days a year of each row for each day that its restoring takes; nan = not known."""
        failures = self.exposed.likelihood.failures_next_year
        return np.asarray(failures * self.exposed.weights)

    @cached_property
    def sets(self) -> PartSets:
        """The sets of parts as they are when nothing is bought."""
        restocking = PlanRestocking(self.terms, {}, {})
        return PartSets(self.terms.snapshot, restocking, self.terms.horizons)

    @cached_property
    def before(self) -> LongRun:
        """The waits when nothing is bought; today's own where nothing is about to close."""
        if self.terms.any_last_buy:
            return long_run_under(self.terms, {}, {})
        return self.exposed.long_run

    def price(self, purchases: Iterable[Purchase]) -> Priced:
        bought = Bought(self.terms, purchases)
        long_run = self.before
        if bought.units or bought.starts:
            long_run = long_run_under(self.terms, bought.units, bought.starts)
        days, cost = self.exposure(long_run)
        return Priced(bought.cost, days, cost, bought.yearly, bought.unpriced)

    def exposure(self, long_run: LongRun) -> tuple[float, float]:
        """Lost days and money a year; what is not known counts 0."""
        days = self.days_per_wait * long_run.restore_days
        days = np.where(self.days_per_wait == 0.0, 0.0, days)
        return float(np.nansum(days)), float(np.nansum(days * self.exposed.money_per_lost_day))


class Bought:
    """Purchases added up: units by part, operations by route, money."""

    def __init__(self, terms: PlanTerms, purchases: Iterable[Purchase]) -> None:
        self.units: dict[str, int] = {}
        self.starts: dict[str, Started] = {}
        operations: dict[str, set[str]] = {}
        for each in purchases:
            if each.action == HEAD_START:
                operations.setdefault(each.route or "", set()).add(each.operation or "")
            elif each.qty > 0:
                self.units[each.part] = self.units.get(each.part, 0) + each.qty
        self.cost, self.yearly = 0.0, 0.0
        unpriced = []
        for part, qty in sorted(self.units.items()):
            terms_of_part = terms.price(part)
            if terms_of_part is None:
                unpriced.append(part)
            else:
                self.cost += terms_of_part.cost(qty)
                self.yearly += terms_of_part.yearly * qty
        for route, names in sorted(operations.items()):
            head_starts = terms.head_starts(route)
            known = names & head_starts.closures.keys()
            unpriced += [f"{route}: {name}" for name in sorted(names - known)]
            if known:
                self.starts[route] = head_starts.started(known)
                self.cost += self.starts[route].cost
        self.unpriced = tuple(unpriced)
