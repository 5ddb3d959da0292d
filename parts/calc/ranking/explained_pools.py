"""Who shares one stock of a part, who does not although it might seem so, and by which record.

What is kept for several stores and cranes together is less than for each alone, so that advice
changes with a position that gets another part, or a substitute that stands in both ways.
"""

from __future__ import annotations

from collections.abc import Iterator

from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.ranking.exposures import Exposures
from parts.records.answers import Term

NAMED = 5


def pool_terms(exposed: Exposures, part: str) -> Iterator[Term]:
    """One line for all who share, one for each substitute and place that has a stock apart."""
    restock = exposed.long_run.restocking.of(part)
    uses = [term for each in restock.parts for term in exposed.demand.terms(each)]
    pairs = [row for row in exposed.snapshot.substitutes if part in (row.part, row.substitute)]
    if len(uses) > 1 or len(restock.parts) > 1:
        asked = sum(exposed.demand.per_year(each) for each in restock.parts)
        meanwhile = asked * (restock.lead_days or 0.0) / DAYS_A_YEAR
        pooled = f" of {' and '.join(restock.parts)}" if len(restock.parts) > 1 else ""
        shared = [
            f"substitutes {row.part}/{row.substitute}"
            for row in pairs
            if {row.part, row.substitute} <= set(restock.parts)
        ]
        yield Term(
            "one stock for all",
            f"{len(uses)} uses share every store and order{pooled}: {asked:.3g} a year, "
            f"{meanwhile:.3g} while one comes",
            ", ".join(shared + [term.record for term in uses]),
        )
    for row in pairs:
        if not {row.part, row.substitute} <= set(restock.parts):
            other = row.substitute if row.part == part else row.part
            why = "bears load and has no recorded approval" if row.both_ways else "one way only"
            yield Term(f"apart from {other}", why, f"substitutes {row.part}/{row.substitute}")
    yield from _other_parts_there(exposed, restock.parts)


def _other_parts_there(exposed: Exposures, pool: tuple[str, ...]) -> Iterator[Term]:
    """Places of the same name on other cranes that hold another part, and so are not served."""
    positions, snapshot = exposed.snapshot.positions, exposed.snapshot
    live = [
        place
        for place in zip(positions.crane, positions.position, positions.part, strict=True)
        if place[2] is not None and snapshot.is_live(place[0])
    ]
    names = {position for _, position, held in live if held in pool}
    others = [place for place in live if place[1] in names and place[2] not in pool]
    if others:
        more = f" and {len(others) - NAMED} more" if len(others) > NAMED else ""
        held = ", ".join(f"{crane}/{name} holds {part}" for crane, name, part in others[:NAMED])
        records = ", ".join(f"positions {crane}/{name}" for crane, name, _ in others[:NAMED])
        yield Term("not served by it", f"{held}{more}", records)
