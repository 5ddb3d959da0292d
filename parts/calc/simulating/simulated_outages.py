"""What outages do to a crane in the simulation: when it stands still, and what it loses.

A crane stands still while a function that is all of its work is lost. The share that it loses is
that of all its positions that are out together, from its needs, each set of them once. Knows
neither stock nor chance.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

import numpy as np

from parts.calc.failing.consequences import CraneNeeds, lost_share
from parts.calc.failing.fleet import Index
from parts.calc.needs.structures import Branch, bits_of, down, structure_of
from parts.calc.waiting.poisson import Floats

IN_SERVICE = -np.inf


class CraneWork:
    """One crane: a set of positions that are out is a number with a bit for each."""

    def __init__(self, needs: CraneNeeds, fails: Iterable[str]) -> None:
        self._structure, branches = structure_of(needs, fails)
        self._shares = [(branches[name], share) for name, share in needs.functions.items()]
        self._down = down(needs, branches)
        self._found: dict[int, float] = {}
        self._stops: dict[int, bool] = {}

    @property
    def matters(self) -> int:
        """Positions that have to do with any function."""
        return self._below(branch for branch, _ in self._shares)

    @property
    def stops_together(self) -> int:
        """Positions that stop the crane together with others but not alone."""
        below = self._structure.below(self._down)
        alone = sum(1 << place for place in bits_of(below) if self.stops(1 << place))
        return below & ~alone

    def _below(self, branches: Iterable[Branch]) -> int:
        found = 0
        for branch in branches:
            found |= self._structure.below(branch)
        return found

    def stops(self, out: int) -> bool:
        """Whether the crane stands still while these are out."""
        if out not in self._stops:
            self._stops[out] = self._dead(self._down, out, self._structure.failed_votes(out))
        return self._stops[out]

    def share(self, out: int) -> float:
        """The share of work that is lost while these are out."""
        if out not in self._found:
            votes = self._structure.failed_votes(out)
            self._found[out] = lost_share(
                share for branch, share in self._shares if self._dead(branch, out, votes)
            )
        return self._found[out]

    @staticmethod
    def _dead(branch: Branch, out: int, votes: int) -> bool:
        return bool(branch.events & out or branch.votes & votes)

    def stands_until(self, outages: Iterable[tuple[float, int]]) -> float:
        """When the crane moves again, of outages (end, place) that all go on now.

        The set that is out only shrinks, so the crane moves when the first of the longest
        outages that stop it together is over.
        """
        out = 0
        for end, place in sorted(outages, reverse=True):
            out |= 1 << place
            if self.stops(out):
                return end
        return IN_SERVICE

    def lost_days(self, outages: Sequence[tuple[float, float, int]]) -> float:
        """Lost days of outages (start, end, place) that overlap one another."""
        changes = sorted(
            change
            for start, end, place in outages
            for change in ((start, 1 << place), (end, -(1 << place)))
        )
        lost, out, since = 0.0, 0, changes[0][0]
        for day, bit in changes:
            if day > since:
                lost += self.share(out) * (day - since)
            out, since = out + bit, day
        return lost


class Outages(NamedTuple):
    """Outages of many runs, (outages,) each; days from the start."""

    run: Index
    crane: Index
    place: Index
    start: Floats
    end: Floats


def lost_days(outages: Outages, works: Sequence[CraneWork], runs: int) -> Floats:
    """Lost days of each run and crane, (runs, cranes)."""
    found = np.zeros((runs, len(works)))
    if not len(outages.run):
        return found
    group = outages.run * len(works) + outages.crane
    order = np.lexsort((outages.start, group))
    group = group[order]
    run, crane, place, start, end = (each[order] for each in outages)
    # within a crane and run, what begins after all before it has ended stands apart
    span = float(end.max()) + 1.0
    latest = np.maximum.accumulate(end + group * span)
    begins = np.ones(len(group), dtype=bool)
    begins[1:] = (start + group * span)[1:] >= latest[:-1]
    firsts = np.flatnonzero(begins)
    sizes = np.diff(np.append(firsts, len(group)))
    one = firsts[sizes == 1]
    shares = _shares_alone(works, crane[one], place[one])
    np.add.at(found, (run[one], crane[one]), shares * (end[one] - start[one]))
    for first, size in zip(firsts[sizes > 1].tolist(), sizes[sizes > 1].tolist(), strict=True):
        some = slice(first, first + size)
        each = zip(start[some].tolist(), end[some].tolist(), place[some].tolist(), strict=True)
        found[run[first], crane[first]] += works[crane[first]].lost_days(list(each))
    return found


def _shares_alone(works: Sequence[CraneWork], crane: Index, place: Index) -> Floats:
    """The share that each loses while nothing else is out."""
    pairs, back = np.unique(np.stack([crane, place]), axis=1, return_inverse=True)
    shares = [works[at].share(1 << where) for at, where in pairs.T.tolist()]
    return np.array(shares)[back.ravel()]
