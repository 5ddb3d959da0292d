"""What makes a crane fail, as branches and votes over basic events.

A branch is dead as soon as one of its events or one of its votes has failed, so that hard needs of
hard needs melt into one branch. A vote fails when at least `threshold` of its branches are dead.
A set of events, or of votes, is one whole number with a bit for each; a vote's bit is higher than
those of all votes below it. Knows nothing of chances.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from parts.calc.failing.consequences import CraneNeeds


class Branch(NamedTuple):
    """Dead when one of its events or one of its votes has failed; both as bits."""

    events: int = 0
    votes: int = 0


class Vote(NamedTuple):
    """Fails when `threshold` branches are dead; `below` holds every event that it rests on."""

    threshold: int
    branches: tuple[Branch, ...]
    below: int


class Structure:
    """Basic events by name and the votes over them."""

    def __init__(self, events: Sequence[str]) -> None:
        self.events = list(events)
        self.votes: list[Vote] = []

    def add_event(self, name: str) -> Branch:
        self.events.append(name)
        return Branch(events=1 << len(self.events) - 1)

    def at_least(self, threshold: int, branches: Sequence[Branch]) -> Branch:
        """Dead when at least `threshold` of the branches are."""
        if threshold == 1:
            return any_of(branches)
        if threshold > len(branches):
            return Branch()
        below = any_of(Branch(self.below(each)) for each in branches).events
        self.votes.append(Vote(threshold, tuple(branches), below))
        return Branch(votes=1 << len(self.votes) - 1)

    def below(self, branch: Branch) -> int:
        """Every event that the branch rests on."""
        found = branch.events
        for vote in bits_of(branch.votes):
            found |= self.votes[vote].below
        return found

    def failed_votes(self, failed: int) -> int:
        """The votes that have failed when the events `failed` have."""
        lost = 0
        for place, vote in enumerate(self.votes):
            dead = sum(bool(each.events & failed or each.votes & lost) for each in vote.branches)
            lost |= (dead >= vote.threshold) << place
        return lost

    def independent(self, branch: Branch) -> list[tuple[Branch, int]]:
        """The branch as branches of which any one kills it and that share no event.

        Each comes with the events that it rests on. Those that kill the branch alone come first;
        among the others they are left out, since there they change nothing more.
        """
        alone = branch.events
        votes = [(self.votes[vote].below & ~alone, 1 << vote) for vote in bits_of(branch.votes)]
        joined = merge_overlapping(each for each in votes if each[0])
        apart = [(Branch(votes=labels), events) for events, labels in joined]
        return [(Branch(alone), alone), *apart] if alone else apart


def any_of(branches: Iterable[Branch]) -> Branch:
    """Dead when one of the branches is."""
    events = votes = 0
    for each in branches:
        events |= each.events
        votes |= each.votes
    return Branch(events, votes)


def bits_of(number: int) -> Iterator[int]:
    """Places of the bits that are set, lowest first."""
    while number:
        lowest = number & -number
        yield lowest.bit_length() - 1
        number ^= lowest


def merge_overlapping(sets: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """Join sets (as bits) that share something, and the labels (as bits) that they carry."""
    apart: list[tuple[int, int]] = []
    for bits, label in sets:
        merged, labels, others = bits, label, []
        for other in apart:
            if other[0] & bits:
                merged |= other[0]
                labels |= other[1]
            else:
                others.append(other)
        apart = [*others, (merged, labels)]
    return apart


def structure_of(needs: CraneNeeds, basic: Iterable[str]) -> tuple[Structure, dict[str, Branch]]:
    """A crane's needs over its basic events, and the branch of each function and position.

    Args:
        needs: the needs of one crane; a position's place there is its event's bit.
        basic: the positions that fail by themselves.
    """
    structure = Structure(needs.positions)
    wanted = frozenset(basic)
    fails = sum(1 << place for place, name in enumerate(needs.positions) if name in wanted)
    found = dict.fromkeys(needs.functions, Branch())
    found |= {name: Branch(bits & fails) for name, bits in needs.taken_along().items()}
    for name in needs.items_in_order():
        item = needs.items[name]
        parts = [found[name], *(found[each] for each in item.hard)]
        for at_least, members in item.groups.values():
            spare = len(members) - at_least
            parts.append(structure.at_least(spare + 1, [found[each] for each in members]))
        found[name] = any_of(parts)
    return structure, found


def down(needs: CraneNeeds, branches: dict[str, Branch]) -> Branch:
    """The crane is down: a function whose loss is all of its work is lost."""
    whole = 1.0
    return any_of(branches[name] for name, share in needs.functions.items() if share >= whole)
