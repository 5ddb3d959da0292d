"""Findings on records that are there and cannot count: failures against a rate of nothing, meters.

Knows nothing of what the records would change.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from parts.calc.failing.outages import FleetOutage
from parts.calc.likelihoods.ages import METER, meter_hours
from parts.calc.likelihoods.rates import Rates
from parts.calc.ranking.findings_of_supply import finding
from parts.records.answers import Finding
from parts.records.history import Observation
from parts.records.snapshot import Snapshot
from parts.records.states import Severity


def rates_of_zero(outage: FleetOutage) -> Iterator[Finding]:
    """Parts and positions that are said never to fail, though they have."""
    snapshot, fleet = outage.snapshot, outage.fleet
    for part, count in sorted(Rates(fleet).failures.items()):
        whose = _whose_zero(snapshot, part)
        if whose:
            yield finding("stated_rate_of_zero", Severity.WARNING, _said(whose, count), part=part)
    at_positions = Counter(fleet.row(row.crane, row.position) for row in snapshot.failures)
    for row, count in sorted(at_positions.items()):
        if snapshot.positions.failures_per_year[row] == 0.0:
            yield finding(
                "stated_rate_of_zero", Severity.WARNING, _said("the position", count),
                crane=snapshot.positions.crane[row], position=snapshot.positions.position[row],
                part=snapshot.positions.part[row],
            )  # fmt: skip


def _whose_zero(snapshot: Snapshot, part: str) -> str:
    """Who states that a part never fails; empty where nobody does."""
    row = snapshot.parts[part]
    if row.failures_per_year is not None:
        return "the part" if row.failures_per_year == 0.0 else ""
    of_class = snapshot.classes.get(row.part_class or "")
    states_zero = of_class is not None and of_class.failures_per_year == 0.0
    return f"class {row.part_class}" if states_zero else ""


def _said(whose: str, count: int) -> str:
    failures = "a failure is" if count == 1 else f"{count} failures are"
    return (
        f"{whose} states 0 failures a year, but {failures} recorded: from 0 nothing can be learnt; "
        "state a rate above 0, or none"
    )


def meters(outage: FleetOutage) -> Iterator[Finding]:
    """Hour meters whose latest reading is no number, so that an earlier one or the calendar
    counts."""
    latest: dict[tuple[str, str], Observation] = {}
    for row in sorted(outage.snapshot.observations, key=lambda row: row.date):
        if row.what == METER and outage.snapshot.is_live(row.crane):
            latest[row.crane, row.position] = row
    for (crane, position), row in sorted(latest.items()):
        if meter_hours(row) is None:
            text = f"the hour meter's reading of {row.date} is no number: '{row.value}'"
            yield finding("unreadable_meter", Severity.NOTE, text, crane=crane, position=position)
