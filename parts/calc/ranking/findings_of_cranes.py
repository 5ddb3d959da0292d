"""Findings on the cranes themselves: feed, wheels, duty, structure, failures still open."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from parts.calc.failing.consequences import needs_by_crane
from parts.calc.failing.fleet import NONE
from parts.calc.failing.outages import FleetOutage
from parts.calc.likelihoods.duty import FULL_LOAD_HOURS, full_load_hours
from parts.calc.ranking.findings_of_supply import finding
from parts.records.answers import Finding
from parts.records.history import Observation
from parts.records.settings import plain_number
from parts.records.states import Severity

THREE_CONDUCTORS = 3.0
# load-spectrum classes by cubic mean; typing one of these as k_m is an easy slip
CUBIC_MEANS = (0.63, 0.80)


class Readings:
    """The latest observation of each kind, by position and by crane."""

    def __init__(self, observations: tuple[Observation, ...]) -> None:
        self.at: dict[tuple[str, str, str], Observation] = {}
        self.on: dict[tuple[str, str], Observation] = {}
        for row in sorted(observations, key=lambda row: row.date):
            self.at[row.crane, row.position, row.what] = row
            self.on[row.crane, row.what] = row

    def near(self, crane: str, position: str, what: str) -> Observation | None:
        """The latest at the position itself, else anywhere on the crane."""
        return self.at.get((crane, position, what)) or self.on.get((crane, what))


def figure(row: Observation | None) -> float | None:
    """A reading as a number, None where it is not one."""
    try:
        return None if row is None else plain_number(row.value)
    except ValueError:
        return None


def readings(outage: FleetOutage) -> Iterator[Finding]:
    latest = Readings(outage.snapshot.observations)
    for (crane, position, what), row in sorted(latest.at.items()):
        if not outage.snapshot.is_live(crane):
            continue
        if what == "conductors":
            yield from _feed(latest, row)
        elif what == "wheel_hardness_hb":
            yield from _wheel(latest, row, crane, position)


def _feed(latest: Readings, row: Observation) -> Iterator[Finding]:
    conductors = figure(row)
    ground = latest.near(row.crane, row.position, "ground_conductor")
    if conductors is None or conductors > THREE_CONDUCTORS:
        return
    if ground is None or ground.value.casefold() != "yes":
        yield finding(
            "three_conductor_feed", Severity.DANGER,
            f"fed by {conductors:g} conductors without a recorded ground conductor; a qualified "
            "electrician decides",
            crane=row.crane, position=row.position,
            source="common practice: four conductors, one of them ground; NFPA 70 article 610.61 "
            "asks for a bonding conductor (from memory); older installations may be treated "
            "otherwise by the local code",
        )  # fmt: skip


def _wheel(latest: Readings, row: Observation, crane: str, position: str) -> Iterator[Finding]:
    wheel = figure(row)
    rail = figure(latest.near(crane, position, "rail_hardness_hb"))
    if wheel is not None and rail is not None and wheel > rail:
        yield finding(
            "wheel_harder_than_rail", Severity.WARNING,
            f"wheel {wheel:g} HB on rail {rail:g} HB: ask whether this pairing is meant",
            crane=crane, position=position,
            source="common practice says that a harder wheel wears the rail; published wear tests "
            "found the least wear with a harder wheel: the pairing is flagged, no wear is reckoned",
        )  # fmt: skip


def duty(outage: FleetOutage) -> Iterator[Finding]:
    for row in outage.snapshot.duty:
        used, group = full_load_hours(row), FULL_LOAD_HOURS.get(row.group or "")
        if used is not None and group is not None and used > group:
            yield finding(
                "duty_exceeded", Severity.WARNING,
                f"{row.mechanism} has used {used:.0f} of the {group:.0f} full-load hours of "
                f"{row.group}: a general overhaul or special assessment by a qualified person is "
                "due",
                crane=row.crane,
                source="full-load hours of FEM 9.511 / ISO 4301-1 groups; FEM 9.755 (1993) and "
                "ISO 12482 (2014) on the working period",
            )  # fmt: skip
        if row.km is not None and any(abs(row.km - mean) < 0.0051 for mean in CUBIC_MEANS):
            yield finding(
                "km_or_k", Severity.NOTE,
                f"{row.mechanism}: k_m {row.km:g} is probably the cubic mean k; k_m is its cube, "
                f"{row.km**3:.2f}",
                crane=row.crane, source="FEM 9.511 load-spectrum classes: k_m = k cubed",
            )  # fmt: skip


def structure(outage: FleetOutage) -> Iterator[Finding]:
    snapshot, fleet = outage.snapshot, outage.fleet
    live = [crane for crane in fleet.slices if snapshot.is_live(crane)]
    names = snapshot.positions.position
    for crane, needs in needs_by_crane(snapshot, fleet, live).items():
        needed, rows = needs.needed(), fleet.slices[crane]
        for row in range(rows.start, rows.stop):
            above = int(fleet.parent[row])
            if names[row] not in needed and (above == NONE or names[above] in needed):
                yield finding(
                    "not_needed", Severity.NOTE,
                    "no function needs this position, so its failure shows as no loss",
                    crane=crane, position=names[row], part=snapshot.positions.part[row],
                )  # fmt: skip
        for function in needs.functions:
            if function not in needs.items:
                text = f"function '{function}' needs nothing, so it is never lost"
                yield finding("function_needs_nothing", Severity.NOTE, text, crane=crane)
    empty = fleet.live & ~fleet.has_part & ~fleet.is_assembly
    for row in np.flatnonzero(empty).tolist():
        yield finding(
            "unknown_part", Severity.WARNING, "nobody has recorded which part sits here",
            crane=snapshot.positions.crane[row], position=names[row],
        )  # fmt: skip


def failures(outage: FleetOutage) -> Iterator[Finding]:
    for row in outage.snapshot.failures:
        if row.restored_on is None and outage.snapshot.is_live(row.crane):
            text = f"failed on {row.failed_on} and not recorded as restored"
            yield finding(
                "open_failure", Severity.WARNING, text,
                crane=row.crane, position=row.position, part=row.part,
            )  # fmt: skip
