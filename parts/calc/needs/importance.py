"""How often a structure is down, and how much each of its events has to do with it.

Exact on the structure: independent parts are drawn as decision diagrams of their own, and never is
a chance the sum over cut sets. Events are taken as independent; twins share spares, firmware and
supply, so that figures for pairs are too low, which those who show them must say.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from parts.calc.failing.consequences import CraneNeeds
from parts.calc.needs.chances import Chances, chance_of_any, products_of_others
from parts.calc.needs.drawings import Drawing
from parts.calc.needs.structures import Branch, Structure, bits_of, down, structure_of


class Importance(NamedTuple):
    """How much one event matters; `unavailability` is its own."""

    unavailability: float
    birnbaum: float
    criticality: float
    fussell_vesely: float


@dataclass(frozen=True)
class Importances:
    """`unknown` names events that matter but whose unavailability is not known; then nothing is
    reckoned: `unavailability` is None and `events` is empty."""

    unavailability: float | None
    events: dict[str, Importance]
    unknown: tuple[str, ...] = ()


def importances_of_crane(
    needs: CraneNeeds, unavailability: Mapping[str, float | None]
) -> Importances:
    """Importances for the crane's being down (a function that is all of its work is lost).

    Args:
        needs: the needs of one crane.
        unavailability: of each basic event (position); 0 where its rate is not known, None where
            it has a rate but nobody knows how long restoring takes.

    Raises:
        TooEntangled: the needs cross one another too much for an exact answer.
    """
    structure, branches = structure_of(needs, unavailability)
    top = down(needs, branches)
    matter = [structure.events[event] for event in bits_of(structure.below(top))]
    unknown = tuple(name for name in matter if unavailability[name] is None)
    if unknown:
        return Importances(None, {}, unknown)
    return importances(structure, top, {name: u or 0.0 for name, u in unavailability.items()})


def importances(structure: Structure, top: Branch, chances: Mapping[str, float]) -> Importances:
    """Unavailability Q of `top` and three importances of each event.

    Args:
        structure: events and votes.
        top: the branch that is asked for.
        chances: u_i of each event, 0 to 1.

    Returns all zeros where Q is 0.

    Birnbaum: dQ/du_i. Criticality: Birnbaum u_i / Q. Fussell-Vesely: P(union of the minimal cut
    sets that hold i) / Q, the first of three definitions in use (the others are the same with the
    sum over cut sets for both chances, and criticality). Sources: Z. W. Birnbaum, "On the
    importance of different components in a multicomponent system", in Multivariate Analysis II
    (1969); H. E. Lambert, Fault Trees for Decision Making in Systems Analysis (1975) (both from
    memory).
    """
    u = [chances.get(name, 0.0) for name in structure.events]
    apart = [_Part(Drawing(structure, *each), u) for each in structure.independent(top)]
    q = float(chance_of_any(part.q for part in apart))
    rows = {name: Importance(own, 0.0, 0.0, 0.0) for name, own in chances.items()}
    if not q:
        return Importances(q, rows)
    others_stand = products_of_others([1.0 - part.q for part in apart])
    for part, stand in zip(apart, others_stand, strict=True):
        for event, decides, through in part.by_event(u):
            birnbaum = decides * stand
            rows[structure.events[event]] = Importance(
                u[event], birnbaum, birnbaum * u[event] / q, through / q
            )
    return Importances(q, rows)


class _Part:
    """One part of a structure that shares no event with the rest of it."""

    def __init__(self, drawing: Drawing, u: Sequence[float]) -> None:
        self.drawing = drawing
        self.lots = [chance_of_any(u[event] for event in lot) for lot in drawing.alike]
        self.chances = Chances(drawing.diagram, self.lots)
        self.q = self.chances.fails(drawing.root)

    def by_event(self, u: Sequence[float]) -> list[tuple[int, float, float]]:
        """Of each event: dq/du, and the chance that a minimal cut set that holds it has failed."""
        root, diagram = self.drawing.root, self.drawing.diagram
        rows = []
        for variable, decides in enumerate(self.chances.matters(root)):
            lot = self.drawing.alike[variable]
            rest_fails = self.chances.fails(diagram.through(root, variable))
            others_work = products_of_others([1.0 - u[event] for event in lot])
            rows += [
                (event, decides * others, u[event] * rest_fails)
                for event, others in zip(lot, others_work, strict=True)
            ]
        return rows
