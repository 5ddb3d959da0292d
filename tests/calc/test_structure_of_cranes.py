"""Unavailability, importances, cut sets and weights against every set of failed positions.

Random small cranes: assemblies in assemblies, positions that several things need, groups in
groups, functions of any share. What a set of failures does is asked from `CraneNeeds.killed`,
which knows nothing of structures and diagrams; everything else here is the definition, summed.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import prod

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parts.calc.failing.consequences import CraneNeeds, lost_share
from parts.calc.failing.fleet import NONE
from parts.calc.needs.cut_sets import cut_sets
from parts.calc.needs.importance import importances_of_crane
from parts.calc.needs.weights import weights

Failed = frozenset[str]
Says = Callable[[Failed], float]
CASES = settings(max_examples=150)


@dataclass(frozen=True)
class Crane:
    """A crane's needs, and how often each position that fails by itself is down."""

    needs: CraneNeeds
    down: dict[str, float]

    def lost(self, failed: Failed) -> float:
        """Share of work lost when these fail together."""
        dead = self.needs.killed(failed)
        return lost_share(s for name, s in self.needs.functions.items() if name in dead)

    def is_down(self, failed: Failed) -> bool:
        dead = self.needs.killed(failed)
        return any(name in dead for name, s in self.needs.functions.items() if s == 1.0)

    def states(self, names: list[str]) -> Iterator[tuple[Failed, float]]:
        """Every set of `names` that can be down, with its chance; all else is up."""
        for size in range(len(names) + 1):
            for chosen in itertools.combinations(names, size):
                failed = frozenset(chosen)
                yield (
                    failed,
                    prod(self.down[n] if n in failed else 1.0 - self.down[n] for n in names),
                )


@st.composite
def cranes(draw: st.DrawFn) -> Crane:
    count = draw(st.integers(1, 7))
    names = [f"P{place}" for place in range(count)]
    parents = [draw(st.integers(NONE, place - 1)) for place in range(count)]
    shares = draw(st.lists(st.sampled_from([0.3, 0.6, 1.0]), min_size=1, max_size=3))
    functions = {f"F{place}": share for place, share in enumerate(shares)}
    needs = CraneNeeds(names, parents, functions)
    # what is needed comes before what needs it, and inside before around: no cycles
    items = [*reversed(names), *functions]
    for place, item in enumerate(items):
        lower = [name for name in items[:place] if name not in functions or item in functions]
        if not lower or draw(st.booleans()):
            continue
        for each in draw(st.lists(st.sampled_from(lower), max_size=2, unique=True)):
            needs.add(item, each, None, None)
        for group in range(draw(st.integers(0, 2))):
            members = draw(st.lists(st.sampled_from(lower), min_size=1, max_size=4, unique=True))
            at_least = draw(st.integers(1, len(members)))
            for each in members:
                needs.add(item, each, f"g{group}", at_least)
    needs.add_assemblies()
    inside = {parent for parent in parents if parent != NONE}
    basic = [n for place, n in enumerate(names) if place not in inside or draw(st.booleans())]
    chance = st.floats(1e-6, 0.9)
    return Crane(needs, {name: draw(chance) for name in basic})


def minimal_sets(crane: Crane) -> list[Failed]:
    """Sets that stop the crane and hold no smaller set that does."""
    found: list[Failed] = []
    for failed, _ in crane.states(list(crane.down)):
        if crane.is_down(failed) and not any(smaller <= failed for smaller in found):
            found.append(failed)
    return found


@CASES
@given(cranes(), st.integers(1, 4))
def test_cut_sets_are_the_smallest_sets_that_stop_the_crane(crane: Crane, order: int) -> None:
    expected = {tuple(sorted(each)) for each in minimal_sets(crane) if 0 < len(each) <= order}

    found = cut_sets(crane.needs, frozenset(crane.down), order)

    assert set(found) == expected
    assert len(found) == len(expected)
    assert list(found) == sorted(found, key=lambda names: (len(names), names))


@CASES
@given(cranes())
def test_unavailability_is_the_chance_of_the_sets_that_stop_the_crane(crane: Crane) -> None:
    names = list(crane.down)
    expected = sum(chance for failed, chance in crane.states(names) if crane.is_down(failed))

    found = importances_of_crane(crane.needs, crane.down)

    assert found.unavailability == pytest.approx(expected, rel=1e-12, abs=0)


@CASES
@given(cranes())
def test_importances_are_their_definitions(crane: Crane) -> None:
    names, cuts = list(crane.down), minimal_sets(crane)
    states = [(failed, chance, crane.is_down(failed)) for failed, chance in crane.states(names)]
    q = sum(chance for _, chance, is_down in states if is_down)
    found = importances_of_crane(crane.needs, crane.down).events

    assert list(found) == names
    for name, own in crane.down.items():
        decides = sum(
            chance / own
            for failed, chance, is_down in states
            if name in failed and is_down and not crane.is_down(failed - {name})
        )
        through = sum(
            chance for failed, chance, _ in states if any(name in c and c <= failed for c in cuts)
        )
        row = found[name]
        assert row.unavailability == own
        assert row.birnbaum == pytest.approx(decides, rel=1e-9, abs=0)
        assert row.criticality == pytest.approx(decides * own / q if q else 0, rel=1e-9, abs=0)
        assert row.fussell_vesely == pytest.approx(through / q if q else 0, rel=1e-9, abs=0)


def counted_together(crane: Crane) -> tuple[list[list[str]], set[str]]:
    """Positions whose outages count together, lot by lot; and those that stay by themselves."""
    groups = []
    for item in crane.needs.items.values():
        for at_least, members in item.groups.values():
            if at_least < len(members):
                groups.append(in_or_below(crane, members))
    around = {
        name: frozenset(n for group in groups if name in group for n in group)
        for name in crane.down
    }
    by_itself = {
        name
        for name, others in around.items()
        if not others or crane.lost(frozenset({name})) >= crane.lost(others) - 1e-12
    }
    lots: list[set[str]] = []
    for group in groups:
        joined = group - by_itself
        for lot in [each for each in lots if each & joined]:
            lots.remove(lot)
            joined |= lot
        if joined:
            lots.append(joined)
    return [sorted(lot) for lot in lots], by_itself


def in_or_below(crane: Crane, members: list[str]) -> set[str]:
    """Positions that fail by themselves and whose failure can have to do with a member's death."""
    names, parents = crane.needs.positions, crane.needs.parents
    found, waiting = set(), list(members)
    while waiting:
        name = waiting.pop()
        if name in crane.needs.items:
            waiting += crane.needs.items[name].all_needs()
        if name in names:
            above = names.index(name)
            while above != NONE:
                found.add(names[above])
                above = parents[above]
    return found & set(crane.down)


@CASES
@given(cranes())
def test_a_weight_is_the_expected_share_lost_for_each_position_that_is_down(crane: Crane) -> None:
    lots, by_itself = counted_together(crane)
    found = dict(zip(crane.needs.positions, weights(crane.needs, crane.down), strict=True))

    for name in by_itself:
        assert found[name] == crane.lost(frozenset({name}))
    for lot in lots:
        for name in lot:
            others = [each for each in lot if each != name]
            expected = sum(
                chance * crane.lost(failed | {name}) / (len(failed) + 1)
                for failed, chance in crane.states(others)
            )
            assert found[name] == pytest.approx(expected, rel=1e-9, abs=1e-300)


@CASES
@given(cranes())
def test_weights_count_a_joint_outage_once(crane: Crane) -> None:
    lots, _ = counted_together(crane)
    found = dict(zip(crane.needs.positions, weights(crane.needs, crane.down), strict=True))

    for lot in lots:
        expected = sum(chance * crane.lost(failed) for failed, chance in crane.states(lot))
        assert sum(crane.down[name] * found[name] for name in lot) == pytest.approx(expected)
