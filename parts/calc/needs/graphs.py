"""The needs of one crane as lines to look at, and what a set of failed positions kills.

What several functions need is unfolded where it is met first and only named afterwards, so that
the lines are as many as the needs. Knows no chances and no waits.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from parts.calc.failing.consequences import (
    CraneNeeds,
    Item,
    lost_share,
    needs_by_crane,
    state_of,
)
from parts.calc.failing.outages import FleetOutage, who_decides
from parts.records.picture_answers import Effect, NeedEffects, NeedKind, NeedLine
from parts.records.structure import Position

NOTHING = Item()


class NeedsGraph:
    """One crane's functions, with all that they need below them."""

    def __init__(self, outage: FleetOutage, crane: str) -> None:
        self.crane = crane
        fleet, positions = outage.fleet, outage.snapshot.positions
        rows = fleet.slices.get(crane, slice(0, 0))
        found = needs_by_crane(outage.snapshot, fleet, [crane])
        self.needs = found.get(crane, CraneNeeds([], [], {}))
        self._places: dict[str, Position] = {
            positions.position[row]: positions.row(row) for row in range(rows.start, rows.stop)
        }
        names, is_assembly = positions.position, fleet.is_assembly
        self._assemblies = {names[row] for row in range(rows.start, rows.stop) if is_assembly[row]}
        self._bearing = {
            names[row] for row in range(rows.start, rows.stop) if fleet.load_bearing[row]
        }
        self.lines = tuple(self._lines())

    def _lines(self) -> Iterator[NeedLine]:
        """Functions with all that they need, then what no function needs."""
        unfolded: set[str] = set()
        for function in self.needs.functions:
            yield from self._below(function, unfolded)
        inside = {
            name
            for name, row in self._places.items()
            if row.parent is not None and row.parent not in unfolded
        }
        for name in self._places:
            if name not in unfolded and name not in inside:
                yield from self._below(name, unfolded)

    def _below(self, root: str, unfolded: set[str]) -> Iterator[NeedLine]:
        """One item and what it needs, each line after the line that it is indented under."""
        waiting: list[NeedLine] = [self._line(root, 0)]
        while waiting:
            line = waiting.pop()
            if line.kind is NeedKind.GROUP:
                yield line
                continue
            if line.name in unfolded:
                has_more = bool(self._item(line.name).all_needs())
                yield self._line(line.name, line.depth, again=has_more)
                continue
            unfolded.add(line.name)
            yield line
            waiting += reversed(list(self._needed_by(line)))

    def _needed_by(self, line: NeedLine) -> Iterator[NeedLine]:
        item = self._item(line.name)
        for name in item.hard:
            yield self._line(name, line.depth + 1)
        for group, (at_least, members) in item.groups.items():
            yield NeedLine(
                group,
                NeedKind.GROUP,
                line.depth + 1,
                at_least=at_least,
                members=len(members),
                needed_by=line.name,
            )
            for name in members:
                yield self._line(name, line.depth + 2)

    def _line(self, name: str, depth: int, again: bool = False) -> NeedLine:
        place = self._places.get(name)
        if place is None:
            share = self.needs.functions.get(name)
            return NeedLine(name, NeedKind.FUNCTION, depth, lost_share=share, again=again)
        return NeedLine(
            name,
            NeedKind.ASSEMBLY if name in self._assemblies else NeedKind.PLACE,
            depth,
            part=place.part,
            load_bearing=name in self._bearing,
            again=again,
        )

    def _item(self, name: str) -> Item:
        return self.needs.items.get(name, NOTHING)

    def when_failed(self, failed: Iterable[str]) -> NeedEffects:
        """What follows when these positions fail together; KeyError for a name that is none.

        Weaker is what still works although a member of a group that it rests on is dead.
        """
        out = tuple(dict.fromkeys(failed))
        dead = self.needs.killed(out)
        weaker = self._weaker(dead)
        functions = self.needs.functions
        share = lost_share(functions[name] for name in functions if name in dead)
        bearing = any(name in self._bearing for name in out)
        effects = dict.fromkeys((*functions, *self._places), Effect.CARRIES_ON)
        effects |= dict.fromkeys(weaker, Effect.WEAKER) | dict.fromkeys(dead, Effect.DEAD)
        effects |= dict.fromkeys(out, Effect.FAILED)
        whole = [name for name in self._places if name in self._assemblies and name not in out]
        return NeedEffects(
            failed=out,
            effects=effects,
            working=self._working(dead),
            state=state_of(share),
            lost_share=share,
            functions_dead=tuple(name for name in functions if name in dead),
            functions_weaker=tuple(name for name in functions if name in weaker),
            assemblies_dead=tuple(name for name in whole if name in dead),
            assemblies_weaker=tuple(name for name in whole if name in weaker),
            load_bearing=bearing,
            decide=who_decides(bearing, share) if out else None,
        )

    def _working(self, dead: set[str]) -> dict[tuple[str, str], int]:
        return {
            (name, group): sum(each not in dead for each in members)
            for name, item in self.needs.items.items()
            for group, (_, members) in item.groups.items()
        }

    def _weaker(self, dead: set[str]) -> set[str]:
        found: set[str] = set()
        for name in self.needs.items_in_order():
            item = self.needs.items[name]
            members = (each for _, group in item.groups.values() for each in group)
            if name not in dead and (
                any(each in dead for each in members)
                or any(each in found for each in item.all_needs())
            ):
                found.add(name)
        return found
