"""A site whose cranes are used otherwise from today on: more hours a year, or heavier loads.

What has been run stays run. Hours move lives that are counted in hours, and working periods; loads
move working periods alone, as no rule ties a failure rate to them. A working period that is used
up stays so. Knows no exposure.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from parts.calc.failing.fleet import Fleet
from parts.calc.likelihoods.ages import METER, Ages
from parts.calc.likelihoods.duty import FULL_LOAD_HOURS, full_load_hours, load_factor
from parts.records.history import Duty, Observation
from parts.records.snapshot import PositionColumns, Snapshot


def with_hours(snapshot: Snapshot, factor: float) -> Snapshot:
    """The site with `factor` times the hours a year from today on.

    The hours that each unit has run so far are read off as of today, so that they stay.
    """
    hours_run = _hours_run(snapshot)
    rows = snapshot.positions
    meters = tuple(
        Observation(
            crane=rows.crane[row],
            position=rows.position[row],
            date=snapshot.today,
            what=METER,
            value=repr(hours),
        )
        for row, hours in hours_run.items()
    )
    return replace(
        snapshot,
        cranes={
            name: replace(row, hours_per_year=_times(row.hours_per_year, factor))
            for name, row in snapshot.cranes.items()
        },
        duty=tuple(
            row
            if _is_used_up(row)
            else replace(row, hours_per_year=_times(row.hours_per_year, factor))
            for row in snapshot.duty
        ),
        positions=_as_new_meters(rows, hours_run),
        observations=(*snapshot.observations, *meters),
    )


def with_loads(snapshot: Snapshot, km: float) -> Snapshot:
    """The site lifting loads of a load-spectrum factor of at least `km` from today on."""
    return replace(snapshot, duty=tuple(_heavier(row, km) for row in snapshot.duty))


def _heavier(row: Duty, km: float) -> Duty:
    present = load_factor(row)
    if not present or present >= km or row.hours_used is None or _is_used_up(row):
        return row
    # fewer hours at heavier loads: the full-load hours that are used stay as they are
    return replace(row, km=km, spectrum=None, hours_used=row.hours_used * present / km)


def _is_used_up(row: Duty) -> bool:
    used, group = full_load_hours(row), FULL_LOAD_HOURS.get(row.group or "")
    return used is not None and group is not None and used >= group


def _hours_run(snapshot: Snapshot) -> dict[int, float]:
    """Hours run by the unit in each row of which the part's life is counted in hours."""
    hours = Ages(Fleet(snapshot)).hours
    found = {}
    for row, name in enumerate(snapshot.positions.part):
        part = snapshot.parts[name] if name is not None else None
        if part is None or math.isnan(hours[row]):
            continue
        usual = snapshot.classes.get(part.part_class or "")
        if "hours" in (part.life_basis, usual.life_basis if usual else None):
            found[row] = float(hours[row])
    return found


def _as_new_meters(rows: PositionColumns, hours_run: Mapping[int, float]) -> PositionColumns:
    """Positions whose meters began at 0 with the unit in place."""
    began = list(rows.hours_at_install)
    for row in hours_run:
        began[row] = 0.0
    return replace(rows, hours_at_install=began)


def _times(hours: float | None, factor: float) -> float | None:
    return None if hours is None else hours * factor
