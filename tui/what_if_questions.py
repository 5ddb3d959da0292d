"""Which questions may be asked from where, the likeliest first, and the number that some need.

Knows names of the site; refuses to know how anything is reckoned. A subject that is gone is left
out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain
from typing import NamedTuple

from parts.records.what_if_answers import Asks, Question
from tui.site import Site

Subject = tuple[str, ...]
"""A kind of thing and the names of one."""
PLACES = ("position", "crane")


class Number(NamedTuple):
    """The number that a question needs, what it begins with, and the step to the next one."""

    label: str
    unit: str
    example: str
    begins: str
    step: float


NUMBERS: dict[Asks, Number] = {
    "quote": Number("Quotation", "days", "30", "", 5.0),
    "hours": Number("Hours a year", "times as many", "2", "2", 0.5),
    "loads": Number("Loads", "load-spectrum factor", "0.5", "0.5", 0.25),
    "spare": Number("Spares", "units", "1", "1", 1.0),
}


def questions_about(site: Site, subjects: Iterable[Subject]) -> list[Question]:
    """The questions, those about the subjects first; none twice."""
    near = tuple(subjects)
    marked = [Question("fail", places=tuple(site.marked))] if site.marked else []
    cranes = {subject[1] for subject in near if subject[0] in PLACES}
    about = [_about(site, *subject) for subject in near]
    # what was marked lies near to what is asked of a place, and far from anything else
    about.insert(1 if near and near[0][0] in PLACES else len(about), iter(marked))
    return list(dict.fromkeys(chain(*about, _of_the_site(site, cranes))))


def _about(site: Site, kind: str, *names: str) -> Iterator[Question]:
    """The questions about one thing."""
    snapshot = site.snapshot
    match kind, names:
        case "position", (crane, position) if site.lists(crane, position):
            yield Question("fail", places=((crane, position),))
        case "part", (part,) if part in snapshot.parts:
            for supplier in _offering(site, part):
                yield Question("quote", (supplier, part))
                yield Question("close", (supplier,))
            yield Question("spare", (part,))
        case "supplier", (supplier,) if supplier in _open(site):
            yield Question("close", (supplier,))
        case "upgrade", (upgrade,) if upgrade in {row.upgrade for row in snapshot.upgrades}:
            yield Question("upgrade", (upgrade,))
        case "crane", (crane,) if crane in snapshot.cranes and snapshot.is_live(crane):
            yield Question("retire", (crane,))


def _of_the_site(site: Site, cranes: set[str]) -> Iterator[Question]:
    """What may be asked from everywhere; upgrades of some cranes before the others."""
    snapshot = site.snapshot
    yield Question("hours")
    yield Question("loads")
    here = {row.upgrade for row in snapshot.upgrade_effects if row.crane in cranes}
    names = [row.upgrade for row in snapshot.upgrades]
    for upgrade in sorted(names, key=lambda name: name not in here):
        yield Question("upgrade", (upgrade,))
    yield from (Question("close", (supplier,)) for supplier in _open(site))
    live = (crane for crane in sorted(snapshot.cranes) if snapshot.is_live(crane))
    yield from (Question("retire", (crane,)) for crane in live)


def _open(site: Site) -> list[str]:
    return sorted(name for name, row in site.snapshot.suppliers.items() if row.active)


def _offering(site: Site, part: str) -> list[str]:
    """The suppliers still open that offer a part."""
    offering = {row.supplier for row in site.snapshot.offers if row.part == part}
    return [name for name in _open(site) if name in offering]
