"""Exposure by crane and system, for a picture of the whole fleet.

Each listed position counts in one system: the function nearest to it, or the class of its part.
Sums hold what is known; what is not is counted beside them. A crane without a cost a day has no
money, which is not the same as costing nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from parts.calc.needs.systems import systems_of
from parts.calc.ranking.exposures import Exposures
from parts.records.picture_answers import HeatAnswer, HeatCell, HeatRow

NO_FUNCTION, NO_CLASS = "no function", "class not recorded"
BY, UNITS = ("function", "class"), ("money", "days")
COUNTS_ONCE = {
    "function": "each position counts in the function nearest to it: the one resting on the fewest "
    "positions",
    "class": "each position counts in the class of its part",
}
SUMS = (
    "sums over positions: a crane that is down does not lose the same day twice, so that a crane's "
    "own total is lower where it loses much"
)


class Heat:
    """The exposures of a fleet by system; rows are those of the snapshot's positions."""

    def __init__(self, exposed: Exposures, by: str, unit: str) -> None:
        self.exposed = exposed
        self.snapshot = exposed.snapshot
        self.by, self.unit = by, unit
        self.values = self._values()

    def _values(self) -> NDArray[np.float64]:
        """Value of each row; nan = not known."""
        if self.unit == "days":
            return self.exposed.days
        found = self.exposed.costs.copy()
        for crane, rows in self.exposed.fleet.slices.items():
            if self.snapshot.cranes[crane].down_cost_per_day is None:
                found[rows] = np.nan
        return found

    def answer(self) -> HeatAnswer:
        """All live cranes, those with the most first, and the systems likewise."""
        listed = self.exposed.fleet.listed
        rows = []
        for crane, own in self.exposed.fleet.slices.items():
            if self.snapshot.is_live(crane):
                first, last = np.searchsorted(listed, (own.start, own.stop))
                rows.append((crane, self._cells(crane, listed[first:last].tolist())))
        sums: dict[str, float] = {}
        for _, cells in rows:
            for system, cell in cells.items():
                sums[system] = sums.get(system, 0.0) + (cell.value or 0.0)
        systems = tuple(sorted(sums, key=lambda name: (-sums[name], name)))
        found = sorted(
            (self._row(crane, cells, systems) for crane, cells in rows),
            key=lambda row: (-(row.value or 0.0), -row.unknown, row.crane),
        )
        known = [cell.value for _, cells in rows for cell in cells.values() if cell.value]
        return HeatAnswer(
            by=self.by,
            unit=self.unit,
            systems=systems,
            rows=tuple(found),
            most=max(known, default=0.0),
            notes=(COUNTS_ONCE[self.by], SUMS) if rows else (),
        )

    def _cells(self, crane: str, rows: Sequence[int]) -> dict[str, HeatCell]:
        inside: dict[str, list[int]] = {}
        for row, system in zip(rows, self._systems(crane, rows), strict=True):
            inside.setdefault(system, []).append(row)
        return {system: self._cell(own) for system, own in inside.items()}

    def _systems(self, crane: str, rows: Sequence[int]) -> Iterator[str]:
        if self.by == "class":
            parts = (self.snapshot.positions.part[row] for row in rows)
            yield from (self._class_of(part) for part in parts)
            return
        nearest, start = (
            systems_of(self.exposed.needs[crane]),
            self.exposed.fleet.slices[crane].start,
        )
        yield from (nearest[row - start] or NO_FUNCTION for row in rows)

    def _class_of(self, part: str | None) -> str:
        row = None if part is None else self.snapshot.parts[part]
        return (None if row is None else row.part_class) or NO_CLASS

    def _cell(self, rows: Sequence[int]) -> HeatCell:
        values = {row: float(self.values[row]) for row in rows}
        known = {row: value for row, value in values.items() if not np.isnan(value)}
        worst = max(known, key=lambda row: known[row], default=rows[0])
        return HeatCell(
            positions=len(rows),
            unknown=len(rows) - len(known),
            value=sum(known.values()) if known else None,
            worst=self.snapshot.positions.position[worst],
        )

    def _row(self, crane: str, cells: dict[str, HeatCell], systems: Sequence[str]) -> HeatRow:
        known = [cell.value for cell in cells.values() if cell.value is not None]
        return HeatRow(
            crane=crane,
            name=self.snapshot.cranes[crane].name or "",
            value=sum(known) if known else None,
            unknown=sum(cell.unknown for cell in cells.values()),
            cells=tuple(cells.get(system) for system in systems),
        )
