"""What a careful person would want to know about a site."""

from __future__ import annotations

from typing import TYPE_CHECKING

from parts.records.answers import Finding
from parts.records.snapshot import Snapshot
from parts.services.outages import outage

if TYPE_CHECKING:
    from parts.calc.failing.outages import FleetOutage


def findings(snapshot: Snapshot, fleet: FleetOutage | None = None) -> tuple[Finding, ...]:
    """All findings, the dangerous ones first."""
    from parts.calc.ranking.exposures import Exposures
    from parts.calc.ranking.findings import findings_of

    return findings_of(Exposures(fleet or outage(snapshot)))
