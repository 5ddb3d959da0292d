"""Minimal cut sets of a crane: the smallest sets of positions whose failure together stops it.

Read off decision diagrams of the crane's independent parts, so that nothing is enumerated that is
no cut set. Basic events are positions without positions below, and assemblies with a failure rate
of their own. The event is "down": a function whose loss is the whole crane's work is lost.

Method: A. Rauzy, "New algorithms for fault trees analysis", Reliability Engineering and System
Safety 40 (1993) (from memory).
"""

from __future__ import annotations

import itertools

from parts.calc.failing.consequences import CraneNeeds
from parts.calc.needs.drawings import Drawing
from parts.calc.needs.structures import Branch, Structure, bits_of, down, structure_of


def cut_sets(needs: CraneNeeds, basic: frozenset[str], order: int) -> tuple[tuple[str, ...], ...]:
    """Minimal cut sets of up to `order` positions, the smallest first.

    Args:
        needs: the needs of one crane.
        basic: the positions that fail by themselves.
        order: the largest size looked for, 1 or more.
    """
    structure, branches = structure_of(needs, basic)
    return cut_sets_of(structure, down(needs, branches), order)


def cut_sets_of(structure: Structure, top: Branch, order: int) -> tuple[tuple[str, ...], ...]:
    """Minimal cut sets of a branch, by the names of its events."""
    found = []
    for part, events in structure.independent(top):
        drawing = Drawing(structure, part, events)
        for variables in drawing.diagram.minimal_cut_sets(drawing.root, order):
            lots = [drawing.alike[variable] for variable in bits_of(variables)]
            found += [
                tuple(sorted(structure.events[event] for event in chosen))
                for chosen in itertools.product(*lots)
            ]
    return tuple(sorted(found, key=lambda names: (len(names), names)))
