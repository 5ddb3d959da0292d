"""The fleet as arrays: who is inside whom, what bears load, which rows are listed.

Row numbers are those of the snapshot's positions, which stand in key order, so a crane's
positions are one slice. Knows nothing of waits or of what a failure does.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from parts.records.snapshot import Snapshot

Index = NDArray[np.int64]
NONE = -1


@dataclass(frozen=True)
class Fleet:
    """Positions of a snapshot as arrays, each (number of positions,)."""

    snapshot: Snapshot

    @cached_property
    def slices(self) -> dict[str, slice]:
        """The rows of each crane that has positions."""
        found, start = {}, 0
        for crane, rows in groupby(self.snapshot.positions.crane):
            stop = start + sum(1 for _ in rows)
            found[crane] = slice(start, stop)
            start = stop
        return found

    @cached_property
    def parent(self) -> Index:
        """Row of the assembly that each position is in, -1 where there is none."""
        names, parents = self.snapshot.positions.position, self.snapshot.positions.parent
        found = np.full(len(names), NONE, dtype=np.int64)
        for rows in self.slices.values():
            if not any(parents[rows]):
                continue
            row_of = {name: row for row, name in enumerate(names[rows], rows.start)}
            found[rows] = [NONE if name is None else row_of[name] for name in parents[rows]]
        return found

    @cached_property
    def levels(self) -> tuple[Index, ...]:
        """Row of the n-th assembly above each position, n = 1, 2, ...; -1 above the top."""
        levels = []
        above = self.parent
        while (above != NONE).any():
            levels.append(above)
            above = np.where(above == NONE, NONE, self.parent[above])
        return tuple(levels)

    @cached_property
    def is_assembly(self) -> NDArray[np.bool_]:
        found = np.zeros(len(self.parent), dtype=bool)
        found[self.parent[self.parent != NONE]] = True
        return found

    @cached_property
    def fails_by_itself(self) -> NDArray[np.bool_]:
        """Holds no positions, or is an assembly with a failure rate of its own."""
        stated = self.snapshot.positions.failures_per_year
        own_rate = np.array([rate is not None for rate in stated], dtype=bool)
        return np.asarray(own_rate | ~self.is_assembly)

    @cached_property
    def load_bearing(self) -> NDArray[np.bool_]:
        """Marked as load-bearing, or with a position below that is."""
        found = np.array(self.snapshot.positions.load_bearing, dtype=bool)
        marked = found.copy()
        for level in self.levels:
            above = level[marked & (level != NONE)]
            found[above] = True
        return found

    @cached_property
    def part_names(self) -> list[str]:
        """The parts by their code."""
        return list(self.snapshot.parts)

    @cached_property
    def part_code(self) -> Index:
        """Code of the part in each position, -1 where none is recorded."""
        codes: dict[str | None, int] = {name: at for at, name in enumerate(self.part_names)}
        codes[None] = NONE
        return np.array([codes[part] for part in self.snapshot.positions.part], dtype=np.int64)

    @cached_property
    def has_part(self) -> NDArray[np.bool_]:
        return np.not_equal(self.part_code, NONE)

    @cached_property
    def live(self) -> NDArray[np.bool_]:
        """On a crane that is not retired."""
        found = np.zeros(len(self.parent), dtype=bool)
        for crane, rows in self.slices.items():
            found[rows] = self.snapshot.is_live(crane)
        return found

    @cached_property
    def listed(self) -> Index:
        """Rows that every list shows: live, and more than mere structure."""
        return np.flatnonzero(self.live & (self.has_part | ~self.is_assembly))

    @cached_property
    def exchange_hours(self) -> NDArray[np.float64]:
        """Hands-on hours of each position; blank takes the site's default."""
        hours = self.snapshot.positions.exchange_hours
        default = self.snapshot.site.default_exchange_hours
        return np.array([default if value is None else value for value in hours], dtype=float)

    def row(self, crane: str, position: str) -> int:
        """The row of a position; KeyError where there is none."""
        rows = self.slices[crane]
        names = self.snapshot.positions.position
        found = bisect_left(names, position, rows.start, rows.stop)
        if found == rows.stop or names[found] != position:
            raise KeyError(position)
        return found

    def chain(self, row: int) -> list[int]:
        """A position and the assemblies above it, lowest first."""
        return [row, *(int(level[row]) for level in self.levels if level[row] != NONE)]

    def is_below(self, row: int, assembly: int) -> bool:
        """Whether a position is inside an assembly."""
        return assembly in self.chain(row)[1:]

    @cached_property
    def bearing_load_in_the_pool(self) -> frozenset[str]:
        """Parts that somewhere on a live crane bear load, themselves or as a companion: where
        no place is named, the pool must fit everywhere."""
        parts = self.snapshot.positions.part
        bearing = {parts[row] for row in np.flatnonzero(self.live & self.load_bearing).tolist()}
        with_companions = {row.companion for row in self.snapshot.companions if row.part in bearing}
        return frozenset(part for part in bearing | with_companions if part is not None)

    @cached_property
    def live_parts(self) -> frozenset[str]:
        """Parts that sit in a position of a live crane."""
        parts = self.snapshot.positions.part
        found = {parts[row] for row in np.flatnonzero(self.live).tolist()}
        return frozenset(part for part in found if part is not None)
