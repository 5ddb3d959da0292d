"""The site as it would be with upgrades carried out: what is out, what sits there instead.

What an upgrade takes out goes with all below it. What needed something inside an assembly that was
exchanged as a whole needs the new part, and the new part needs what the inside needed; what is
taken out without a new part takes its needs with it. Knows no money and no days.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, replace
from functools import cached_property

from parts.calc.failing.fleet import Fleet
from parts.records.history import Failure, Observation, UpgradeEffect
from parts.records.snapshot import NeedColumns, PositionColumns, Snapshot, columns_of
from parts.records.structure import Need

Place = tuple[str, str]
"""A crane and a position on it."""


def stays(effect: UpgradeEffect) -> bool:
    """Whether the position stays and only fails more or less often."""
    return effect.failures_factor is not None


def places_touched(fleet: Fleet, effects: Iterable[UpgradeEffect]) -> frozenset[Place]:
    """The positions that effects change, those inside what is taken out among them."""
    positions, found = fleet.snapshot.positions, set[Place]()
    for effect in effects:
        row = fleet.row(effect.crane, effect.position)
        found.add((effect.crane, effect.position))
        if not stays(effect):
            rows = fleet.slices[effect.crane]
            inside = (at for at in range(rows.start, rows.stop) if fleet.is_below(at, row))
            found |= {(effect.crane, positions.position[at]) for at in inside}
    return frozenset(found)


@dataclass(frozen=True)
class Refit:
    """What effects make of one site; no two of them on one position."""

    snapshot: Snapshot
    effects: tuple[UpgradeEffect, ...]

    @cached_property
    def after(self) -> Snapshot:
        """The site with everything carried out; new parts are as new as today."""
        return replace(
            self.snapshot,
            positions=self._positions,
            needs=self._needs,
            failures=tuple(row for row in self.snapshot.failures if self._is_same(row)),
            observations=tuple(row for row in self.snapshot.observations if self._is_same(row)),
        )

    @cached_property
    def factors(self) -> Mapping[Place, float]:
        """By how much more or less often each position that stays fails."""
        return {
            (row.crane, row.position): row.failures_factor
            for row in self.effects
            if row.failures_factor is not None
        }

    def _is_same(self, row: Failure | Observation) -> bool:
        """Whether what was recorded at a position tells about the unit that will sit there."""
        place = row.crane, row.position
        effect = self._effects.get(place)
        return place not in self._gone and (effect is None or stays(effect))

    @cached_property
    def _effects(self) -> Mapping[Place, UpgradeEffect]:
        return {(row.crane, row.position): row for row in self.effects}

    @cached_property
    def _parents(self) -> dict[Place, str | None]:
        """The assembly that each position is in, of the cranes that are touched."""
        cranes = {row.crane for row in self.effects}
        rows = self.snapshot.positions
        return {
            (crane, position): parent
            for crane, position, parent in zip(rows.crane, rows.position, rows.parent, strict=True)
            if crane in cranes
        }

    @cached_property
    def _gone(self) -> dict[Place, str | None]:
        """Positions that are no more, and what stands in their place: None = nothing does."""
        found: dict[Place, str | None] = {}
        for place in self._parents:
            decides = self._decides(place)
            if decides is None or stays(decides):
                continue
            if decides.new_part is None:
                found[place] = None
            elif (decides.crane, decides.position) != place:
                found[place] = decides.position
        return found

    def _decides(self, place: Place) -> UpgradeEffect | None:
        """The effect on a position or, if there is none, on the nearest assembly around it."""
        crane = place[0]
        above: str | None = place[1]
        while above is not None:
            effect = self._effects.get((crane, above))
            if effect is not None:
                return effect
            above = self._parents[crane, above]
        return None

    @cached_property
    def _positions(self) -> PositionColumns:
        rows = self.snapshot.positions
        places = list(zip(rows.crane, rows.position, strict=True))
        kept = [at for at, place in enumerate(places) if place not in self._gone]
        columns = {f.name: [getattr(rows, f.name)[at] for at in kept] for f in fields(rows)}
        for at, row in enumerate(kept):
            place = places[row]
            if place not in self._parents:
                continue
            columns["parent"][at] = self._parent_left(place)
            effect = self._effects.get(place)
            if effect is not None and not stays(effect):
                columns["part"][at] = effect.new_part
                columns["installed"][at] = self.snapshot.today
                columns["hours_at_install"][at] = 0.0
                columns["failures_per_year"][at] = None
        return PositionColumns(**columns)

    def _parent_left(self, place: Place) -> str | None:
        parent = self._parents[place]
        while parent is not None and (place[0], parent) in self._gone:
            parent = self._parents[place[0], parent]
        return parent

    # What needs what ----------------------------------------------------------------------------

    @cached_property
    def _needs(self) -> NeedColumns:
        rows = self.snapshot.needs
        touched = {crane for crane, _ in self._gone}
        kept, moved = list[Need](), list[Need]()
        for row in (Need(**{f.name: getattr(rows, f.name)[at] for f in fields(Need)})
                    for at in range(len(rows))):  # fmt: skip
            now = self._moved(row) if row.crane in touched else row
            if now is row:
                kept.append(row)
            elif now is not None:
                moved.append(now)
        links = _Links(self._links_of(touched, kept))
        kept += (row for row in moved if links.add(row.crane, row.item, row.needs))
        kept = list(_with_reachable_counts(kept, touched))
        kept.sort(key=lambda row: (row.crane, row.item, row.needs))
        found: NeedColumns = columns_of(NeedColumns, Need, kept)
        return found

    def _moved(self, row: Need) -> Need | None:
        """A need as it is once what it names is gone; None where it is gone too."""
        item = self._gone.get((row.crane, row.item), row.item)
        needs = self._gone.get((row.crane, row.needs), row.needs)
        if (item, needs) == (row.item, row.needs):
            return row
        if item is None or needs is None or item == needs:
            return None
        # groups of several parts inside come together on the new part and stay apart
        group = row.group if row.group is None or item == row.item else f"{row.item}: {row.group}"
        return replace(row, item=item, needs=needs, group=group)

    def _links_of(self, cranes: set[str], needs: Iterable[Need]) -> Iterator[tuple[str, str, str]]:
        """Crane, what needs, what is needed: an assembly needs what is in it."""
        yield from ((row.crane, row.item, row.needs) for row in needs if row.crane in cranes)
        for crane, position in self._parents:
            place = crane, position
            if place not in self._gone and (parent := self._parent_left(place)) is not None:
                yield crane, parent, position


class _Links:
    """What needs what, kept free of circles."""

    def __init__(self, links: Iterable[tuple[str, str, str]]) -> None:
        self._needed: dict[Place, set[str]] = {}
        for crane, item, needs in links:
            self._needed.setdefault((crane, item), set()).add(needs)

    def add(self, crane: str, item: str, needs: str) -> bool:
        """Add a link unless it would close a circle; tells whether it was added."""
        waiting, seen = [needs], {needs}
        while waiting:
            more = self._needed.get((crane, waiting.pop()), set()) - seen
            seen |= more
            waiting += more
        if item in seen:
            return False
        self._needed.setdefault((crane, item), set()).add(needs)
        return True


def _with_reachable_counts(needs: list[Need], cranes: set[str]) -> Iterator[Need]:
    """Needs of which no group asks for more members than it has left."""
    sizes: dict[tuple[str, str, str | None], int] = {}
    for row in needs:
        if row.crane in cranes:
            group = row.crane, row.item, row.group
            sizes[group] = sizes.get(group, 0) + 1
    for row in needs:
        size = sizes.get((row.crane, row.item, row.group), 0)
        too_many = row.group is not None and row.crane in cranes and (row.at_least or 1) > size
        yield replace(row, at_least=size) if too_many else row
