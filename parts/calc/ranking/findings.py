"""Everything that a careful person would want to know, gathered from the rules beside it."""

from __future__ import annotations

from parts.calc.ranking import findings_of_cranes as of_cranes
from parts.calc.ranking import findings_of_records as of_records
from parts.calc.ranking import findings_of_supply as of_supply
from parts.calc.ranking.exposures import Exposures
from parts.records.answers import Finding
from parts.records.states import Severity

RULES = (
    of_cranes.readings,
    of_cranes.duty,
    of_cranes.structure,
    of_cranes.failures,
    of_records.rates_of_zero,
    of_records.meters,
    of_supply.ways_at_positions,
    of_supply.offers,
    of_supply.orders,
    of_supply.stock,
    of_supply.not_reordered,
    of_supply.numbers,
    of_supply.classes,
)


def findings_of(exposures: Exposures) -> tuple[Finding, ...]:
    """All findings on a site, the dangerous ones first."""
    found = [each for rule in RULES for each in rule(exposures.outage)]
    found += of_supply.below_reorder_point(exposures)
    order = list(Severity)
    return tuple(
        sorted(
            found,
            key=lambda each: (
                order.index(each.severity),
                each.rule,
                each.crane or "",
                each.position or "",
                each.part or "",
            ),
        )
    )
