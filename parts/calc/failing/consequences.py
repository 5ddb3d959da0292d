"""What a failure does to a crane: which functions are lost and which share of its work.

Needs are a graph without cycles. An assembly needs every position in it; those that its own
needs name follow these. A failed assembly takes everything inside it. For all positions of a
crane at once, a set of positions is one whole number with a bit for each, so that one pass over
the needs answers every single failure.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from parts.calc.failing.fleet import NONE, Fleet
from parts.records.snapshot import Snapshot
from parts.records.states import State


@dataclass(slots=True)
class Item:
    """What one function or position needs: hard needs, and groups with how many must work."""

    hard: list[str] = field(default_factory=list)
    groups: dict[str, tuple[int, list[str]]] = field(default_factory=dict)

    def all_needs(self) -> list[str]:
        if not self.groups:
            return self.hard
        return [*self.hard, *(name for _, members in self.groups.values() for name in members)]


class CraneNeeds:
    """The needs of one crane: items by name, positions by their place on the crane."""

    def __init__(self, positions: list[str], parents: list[int], functions: dict[str, float]):
        self.positions = positions
        self.parents = parents
        self.functions = functions
        self.items: dict[str, Item] = {}

    def add(self, item: str, needs: str, group: str | None, at_least: int | None) -> None:
        entry = self.items.setdefault(item, Item())
        if group is None:
            entry.hard.append(needs)
        else:
            entry.groups.setdefault(group, (at_least or 1, []))[1].append(needs)

    def add_assemblies(self) -> None:
        """An assembly hard-needs each position in it that its own needs do not name."""
        inside: dict[int, list[str]] = {}
        for position, parent in zip(self.positions, self.parents, strict=True):
            if parent != NONE:
                inside.setdefault(parent, []).append(position)
        for parent, names in inside.items():
            item = self.items.setdefault(self.positions[parent], Item())
            named = frozenset(item.all_needs())
            item.hard += [name for name in names if name not in named] if named else names

    def killers(self) -> dict[str, int]:
        """For each item, the positions whose failure alone kills it, as bits."""
        found = dict.fromkeys(self.functions, 0) | self.taken_along()
        for name in self.items_in_order():
            item = self.items[name]
            bits = found.get(name, 0)
            for each in item.hard:
                bits |= found[each]
            for at_least, members in item.groups.values():
                bits |= more_than([found[each] for each in members], len(members) - at_least)
            found[name] = bits
        return found

    def killed(self, failed: Iterable[str]) -> set[str]:
        """The items that are dead when the positions `failed` fail together."""
        bits = 0
        place = {name: index for index, name in enumerate(self.positions)}
        for name in failed:
            bits |= 1 << place[name]
        taken = self.taken_along()
        dead: set[str] = set()
        for name in self.in_order():
            item = self.items.get(name, Item())
            if (
                taken.get(name, 0) & bits
                or any(each in dead for each in item.hard)
                or any(
                    sum(each not in dead for each in members) < at_least
                    for at_least, members in item.groups.values()
                )
            ):
                dead.add(name)
        return dead

    def needed(self) -> set[str]:
        """Everything that some function needs, however indirectly."""
        found: set[str] = set()
        waiting = [name for name in self.functions if name in self.items]
        while waiting:
            for each in self.items.get(waiting.pop(), Item()).all_needs():
                if each not in found:
                    found.add(each)
                    waiting.append(each)
        return found

    def taken_along(self) -> dict[str, int]:
        """For each position, itself and the assemblies above it, as bits."""
        bits = [0] * len(self.positions)
        for index in range(len(bits)):
            trail, above = [], index
            while above != NONE and not bits[above]:
                trail.append(above)
                above = self.parents[above]
            inherited = bits[above] if above != NONE else 0
            for each in reversed(trail):
                inherited |= 1 << each
                bits[each] = inherited
        return dict(zip(self.positions, bits, strict=True))

    def in_order(self) -> list[str]:
        """Functions and positions, each after everything that it needs."""
        alone = (name for name in (*self.functions, *self.positions) if name not in self.items)
        return [*alone, *self.items_in_order()]

    def items_in_order(self) -> list[str]:
        """What has needs, each after everything that it needs."""
        items, order = self.items, dict[str, None]()
        for root in items:
            waiting = [root]
            while waiting:
                name = waiting[-1]
                missing = [n for n in items[name].all_needs() if n in items and n not in order]
                if missing and name not in order:
                    waiting.extend(missing)
                else:
                    order[waiting.pop()] = None
        return list(order)


def more_than(sets: list[int], count: int) -> int:
    """Bits that are set in more than `count` of the sets."""
    at_least = [0] * (count + 1)
    for bits in sets:
        for level in range(count, 0, -1):
            at_least[level] |= at_least[level - 1] & bits
        at_least[0] |= bits
    return at_least[count]


def lost_share(functions: Iterable[float]) -> float:
    """1 - product over the lost functions of (1 - lost share)."""
    kept = 1.0
    for share in functions:
        kept *= 1.0 - share
    return 1.0 - kept


def state_of(share: float) -> State:
    if share >= 1.0:
        return State.DOWN
    return State.REDUCED if share > 0.0 else State.IN_SERVICE


def needs_by_crane(
    snapshot: Snapshot, fleet: Fleet, cranes: Iterable[str]
) -> dict[str, CraneNeeds]:
    """The needs of the cranes asked for, those with positions."""
    found: dict[str, CraneNeeds] = {}
    names, parent = snapshot.positions.position, fleet.parent
    shares: dict[str, dict[str, float]] = {}
    for row in snapshot.functions:
        shares.setdefault(row.crane, {})[row.function] = row.lost_share
    for crane in cranes:
        rows = fleet.slices.get(crane)
        if rows is not None:
            above = parent[rows]
            local = np.where(above == NONE, NONE, above - rows.start).tolist()
            found[crane] = CraneNeeds(list(names[rows]), local, shares.get(crane, {}))
    needs = snapshot.needs
    for crane, item, needed, group, at_least in zip(
        needs.crane, needs.item, needs.needs, needs.group, needs.at_least, strict=True
    ):
        if crane in found:
            found[crane].add(item, needed, group, at_least)
    for crane_needs in found.values():
        crane_needs.add_assemblies()
    return found


def bits_as_array(bits: int, count: int) -> NDArray[np.bool_]:
    """The lowest `count` bits, (count,)."""
    raw = bits.to_bytes((count + 7) // 8, "little")
    return np.unpackbits(np.frombuffer(raw, dtype=np.uint8), count=count, bitorder="little") > 0


def shares_of_single_failures(needs: CraneNeeds) -> tuple[NDArray[np.float64], dict[str, int]]:
    """Share of work lost by the failure of each position alone, (positions,), and for each
    function the positions whose failure alone loses it, as bits."""
    killers = needs.killers()
    count = len(needs.positions)
    kept = np.ones(count)
    lost_by = {}
    for function, share in needs.functions.items():
        bits = killers[function] if function in needs.items else 0
        lost_by[function] = bits
        if bits:
            kept[bits_as_array(bits, count)] *= 1.0 - share
    return 1.0 - kept, lost_by
