"""Drawing a branch of a crane's structure as a decision diagram.

Events that are in the same branches throughout act alike and share one variable, so that a drive
of fifty positions is one variable until something inside it matters elsewhere too.
"""

from __future__ import annotations

from collections.abc import Sequence

from parts.calc.needs.decision_diagram import Diagram
from parts.calc.needs.structures import Branch, Structure, bits_of


class Drawing:
    """The diagram of one branch; `alike` holds the events of each variable: any one fails it."""

    def __init__(self, structure: Structure, branch: Branch, events: int) -> None:
        """Draw the branch as if only `events`, as bits, could fail."""
        self.diagram = Diagram()
        votes, branches = _reachable(structure, branch, events)
        self.alike, variables = _alike(branches, events)
        nodes: dict[int, int] = {}

        def drawn(each: Branch) -> int:
            own = [self.diagram.event(variable) for variable in variables[each.events & events]]
            return self.diagram.any_of(
                own + [nodes[vote] for vote in bits_of(each.votes) if vote in nodes]
            )

        for vote in votes:
            threshold, members, _ = structure.votes[vote]
            nodes[vote] = self.diagram.at_least(threshold, [drawn(each) for each in members])
        self.root = drawn(branch)


def _reachable(structure: Structure, top: Branch, events: int) -> tuple[list[int], list[Branch]]:
    """The votes below that rest on `events`, lowest first, and the branches in drawing order.

    Depth first, but what several branches rest on comes after the last of them: diagrams stay
    narrow where needs cross.
    """

    def votes_of(branch: Branch) -> list[int]:
        return [vote for vote in bits_of(branch.votes) if structure.votes[vote].below & events]

    resting_on: dict[int, int] = {}  # by how many branches each vote is asked
    waiting = [top]
    while waiting:
        for vote in votes_of(waiting.pop()):
            if vote not in resting_on:
                waiting += structure.votes[vote].branches
            resting_on[vote] = resting_on.get(vote, 0) + 1
    votes, branches, waiting = sorted(resting_on), [], [top]
    while waiting:
        branches.append(waiting.pop())
        for vote in votes_of(branches[-1]):
            resting_on[vote] -= 1
            if not resting_on[vote]:
                waiting += reversed(structure.votes[vote].branches)
    return votes, branches


def _alike(branches: Sequence[Branch], events: int) -> tuple[list[list[int]], dict[int, list[int]]]:
    """Events that are in the same branches, and the numbers of these lots for each branch.

    Lots are numbered as they come up in the branches.
    """
    masks = list(dict.fromkeys(each.events & events for each in branches))
    where: dict[int, int] = {}
    for number, mask in enumerate(masks):
        for event in bits_of(mask):
            where[event] = where.get(event, 0) | 1 << number
    lots: dict[int, list[int]] = {}
    for event, numbers in where.items():
        lots.setdefault(numbers, []).append(event)
    of_branch: list[list[int]] = [[] for _ in masks]
    for lot, numbers in enumerate(lots):
        for number in bits_of(numbers):
            of_branch[number].append(lot)
    return list(lots.values()), dict(zip(masks, of_branch, strict=True))
