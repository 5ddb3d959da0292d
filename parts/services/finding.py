"""Finding anything by any of its names, and what lies in a bin or is offered by a supplier."""

from __future__ import annotations

from typing import TYPE_CHECKING

from parts.records.find_answers import FindAnswer, Held
from parts.records.snapshot import Snapshot
from parts.records.supply import Offer
from parts.services.collector import collector_paused

if TYPE_CHECKING:
    from parts.calc.finding.index import Index

LISTED = 200
"""Who has more hits types more."""


def index_of(snapshot: Snapshot) -> Index:
    """Everything that has a name, laid out for `find`."""
    from parts.calc.finding.index import Index

    with collector_paused():
        return Index(snapshot)


def find(index: Index, text: str, most: int = LISTED) -> FindAnswer:
    """What a text finds, the best first; forgiving of marks, case, accents, zeros and one slip."""
    from parts.calc.finding.search import find as search

    return search(index, text, most)


def are_one_name(text: str, other: str) -> bool:
    """Whether two texts spell one name: marks, blanks, case and leading zeros do not matter."""
    from parts.calc.finding.folding import spellings

    return not set(spellings(text)).isdisjoint(spellings(other))


def held(snapshot: Snapshot, store: str, bin_name: str | None = None) -> tuple[Held, ...]:
    """What lies in a store, or in one of its bins."""
    from parts.calc.finding.lying import held_on

    return tuple(
        each for each in held_on(snapshot) if each.store == store and bin_name in (None, each.bin)
    )


def lying(snapshot: Snapshot, part: str) -> tuple[Held, ...]:
    """Where a part lies."""
    from parts.calc.finding.lying import held_on

    return held_on(snapshot, part)


def offers_of(snapshot: Snapshot, supplier: str) -> tuple[Offer, ...]:
    """What a supplier offers, by part."""
    found = (row for row in snapshot.offers if row.supplier == supplier)
    return tuple(sorted(found, key=lambda row: (row.part, row.kind)))
