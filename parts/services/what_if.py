"""The site as it would be: something fails, closes, comes true, is bought, done or retired.

Each question gives a changed copy, of which every other service may be asked; the site that is
known stays as it is, and nothing is written anywhere.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from math import isfinite
from typing import TYPE_CHECKING

from parts.errors import LongpoleError, UnknownName
from parts.records.snapshot import Snapshot
from parts.records.stock import Movement
from parts.records.structure import HOURS_IN_A_YEAR_AT_MOST
from parts.records.supply import Offer
from parts.records.what_if_answers import Question, WhatIfAnswer
from parts.services.collector import collector_paused
from parts.services.outages import known_crane, near, position_row, together

if TYPE_CHECKING:
    from parts.calc.comparing.upgrades import Refit
    from parts.calc.ranking.exposures import Exposures

MOST = 10
MOST_UNITS = 1000
MOST_TIMES = 24.0  # a crane that ran an hour a day would run day and night
DELIVERS = ("new", "made")
NOT_REORDERED = "what it takes from the shelf is not ordered again in its place"
HOURS_NOTE = (
    "hours move working periods and lives counted in hours; rates a year and lives in years stay"
)
LOADS_NOTE = (
    "loads move working periods only: no rule ties how often a part fails to the loads lifted"
)
DONE_NOTE = "upgrades are taken as done today; their cost and days down are not counted"
RETIRED_NOTE = "its work is not moved to another crane"


class CannotAsk(LongpoleError):
    def __init__(self, what: str, given: float | None = None) -> None:
        told = "" if given is None else f", not {given:g}"
        super().__init__(f"{what}{told}")


class ExcludeOneAnother(LongpoleError):
    def __init__(self, one: str, other: str) -> None:
        super().__init__(f"{one} and {other} change one position; ask about one of them")


def ask(
    now: Exposures,
    question: Question,
    most: int = MOST,
    progress: Callable[[str], None] | None = None,
) -> WhatIfAnswer:
    """The site as known beside the site as the question has it; `progress` is told what comes
    next, and what it raises ends the reckoning.

    Raises UnknownName for a name that is not there, CannotAsk for a number out of bounds.
    """
    tell = progress or (lambda _: None)
    tell("Changing a copy of the site")
    changed = _changed(now, question)
    tell("Reckoning the site as it would be")
    found = what_if(now, changed, most)
    notes = tuple(_notes(now.snapshot, question))
    if question.asks != "fail":
        return replace(found, notes=notes)
    tell("Reckoning what the failure does")
    outages = together(now.snapshot, question.places, now.outage)
    return replace(found, outages=outages, notes=notes)


def what_if(now: Exposures, changed: Snapshot | Refit, most: int = MOST) -> WhatIfAnswer:
    """The site as known beside a changed one, with the positions that change most.

    How often parts fail, and what is used beside, stays as the site's records tell it today.
    """
    from parts.calc.comparing.upgraded_exposures import ChangedExposures, UpgradedExposures
    from parts.calc.simulating.what_if import compared

    with collector_paused():
        if isinstance(changed, Snapshot):
            return compared(now, ChangedExposures(now, changed), most)
        return compared(now, UpgradedExposures(now, changed), most)


def _changed(now: Exposures, asked: Question) -> Snapshot | Refit:
    snapshot, number = now.snapshot, asked.number
    changed: Snapshot | Refit
    match asked.asks, asked.names:
        case "fail", ():
            changed = after_failure(now, asked.places)
        case "quote", (supplier, part):
            if number is None:
                raise CannotAsk("a quotation takes 0 days or more")
            changed = with_quote(snapshot, supplier, part, number)
        case "close", (supplier,):
            changed = without_supplier(snapshot, supplier)
        case "hours", ():
            changed = with_hours(snapshot, number)
        case "loads", ():
            changed = with_loads(snapshot, number)
        case "spare", (part,):
            changed = with_spares(snapshot, part, number)
        case "upgrade", upgrades:
            changed = with_upgrades(snapshot, upgrades)
        case "retire", (crane,):
            changed = without_crane(snapshot, crane)
        case _:
            raise ValueError(f"no such question: {asked}")
    return changed


def _notes(snapshot: Snapshot, asked: Question) -> Iterable[str]:
    match asked.asks:
        case "fail":
            yield NOT_REORDERED
        case "hours":
            yield HOURS_NOTE
            yield from _run_too_long(snapshot, asked.number or 0.0)
        case "loads":
            yield LOADS_NOTE
        case "upgrade":
            yield DONE_NOTE
        case "retire":
            yield RETIRED_NOTE


def _run_too_long(snapshot: Snapshot, factor: float) -> Iterable[str]:
    """A note on cranes that would run more hours than there are."""
    rows = sorted(snapshot.cranes.items())
    names = [
        name
        for name, row in rows
        if snapshot.is_live(name) and (row.hours_per_year or 0.0) * factor > HOURS_IN_A_YEAR_AT_MOST
    ]
    if names:
        more = f" and {len(names) - 3} more" if len(names) > 3 else ""
        yield f"more hours than a year has: {', '.join(names[:3])}{more}"


# One function for each question ------------------------------------------------------------------


def after_failure(now: Exposures, places: Iterable[tuple[str, str]]) -> Snapshot:
    """The site once positions, as (crane, position), have failed together: what they take from the
    shelf is gone.

    Raises UnknownName for a position that is not there, and CannotAsk where none is given.
    """
    from parts.calc.simulating import after_failure as calc

    rows = [position_row(now.outage, *place) for place in dict.fromkeys(places)]
    if not rows:
        raise CannotAsk("name a position that fails")
    return calc.after_failure(now.outage, rows)


def with_quote(snapshot: Snapshot, supplier: str, part: str, days: float) -> Snapshot:
    """The site with a supplier delivering a part in so many calendar days, whatever it has taken
    before; an offer is added where the supplier made none.

    Raises UnknownName for a supplier or part that is not there, ValueError for days below 0.
    """
    from parts.calc.getting.corrections import corrections_of

    _known_supplier(snapshot, supplier)
    _known_part(snapshot, part)
    if not (isfinite(days) and days >= 0):
        raise ValueError(f"a lead time is 0 days or more, not {days}")
    # every quotation is weighed by what its supplier has kept; this one is kept exactly
    quoted = days / corrections_of(snapshot.orders).ratio(supplier)
    offers = tuple(
        _quoted(row, quoted, snapshot) if _delivers(row, supplier, part) else row
        for row in snapshot.offers
    )
    if not any(_delivers(row, supplier, part) for row in offers):
        offers += (_quoted(Offer(supplier=supplier, part=part), quoted, snapshot),)
    return replace(snapshot, offers=offers)


def without_supplier(snapshot: Snapshot, supplier: str) -> Snapshot:
    """The site with a supplier closed: its offers and its open orders no longer count.

    Raises UnknownName for a supplier that is not there.
    """
    _known_supplier(snapshot, supplier)
    closed = replace(snapshot.suppliers[supplier], active=False)
    return replace(snapshot, suppliers={**snapshot.suppliers, supplier: closed})


def with_hours(snapshot: Snapshot, factor: float | None) -> Snapshot:
    """The site with so many times the hours a year from today on; a second shift: 2.

    Raises CannotAsk for a factor that is not above 0, or above 24.
    """
    from parts.calc.simulating import other_use

    if factor is None or not 0.0 < factor <= MOST_TIMES:
        raise CannotAsk(f"a factor of the hours is above 0 and at most {MOST_TIMES:g}", factor)
    return other_use.with_hours(snapshot, factor)


def with_loads(snapshot: Snapshot, km: float | None) -> Snapshot:
    """The site with loads of a load-spectrum factor of at least `km` from today on.

    Raises CannotAsk for a factor that is not above 0, or above 1.
    """
    from parts.calc.simulating import other_use

    if km is None or not 0.0 < km <= 1.0:
        raise CannotAsk("a load-spectrum factor is above 0 and at most 1", km)
    return other_use.with_loads(snapshot, km)


def with_spares(snapshot: Snapshot, part: str, units: float | None) -> Snapshot:
    """The site with so many units of a part more on the shelf.

    Raises UnknownName for a part that is not there, CannotAsk for units that are no whole number
    above 0.
    """
    _known_part(snapshot, part)
    if units is None or not 0 < units <= MOST_UNITS or units != int(units):
        raise CannotAsk(f"units are whole and 1 to {MOST_UNITS:,}", units)
    bought = Movement(
        date=snapshot.today, part=part, qty=int(units), kind="receipt", key="what if bought"
    )
    return replace(snapshot, movements=(*snapshot.movements, bought))


def with_upgrades(snapshot: Snapshot, upgrades: Iterable[str]) -> Refit:
    """The site with upgrades done, as a refit that other reckonings may be asked of.

    Raises UnknownName for an upgrade that is not there, CannotAsk where two change one position.
    """
    from parts.calc.comparing.projects import projects_of
    from parts.calc.comparing.upgrades import Refit
    from parts.calc.failing.fleet import Fleet

    projects = {each.name: each for each in projects_of(snapshot, Fleet(snapshot))}
    names = tuple(dict.fromkeys(upgrades))
    for name in names:
        if name not in projects:
            raise UnknownName("upgrade", name, near(name, projects))
    chosen = [projects[name] for name in names]
    for at, one in enumerate(chosen):
        for other in chosen[:at]:
            if one.excludes(other):
                raise ExcludeOneAnother(other.name, one.name)
    return Refit(snapshot, tuple(effect for each in chosen for effect in each.effects))


def without_crane(snapshot: Snapshot, crane: str) -> Snapshot:
    """The site with a crane out for good from today on; what can still be taken from it counts.

    Raises UnknownName for a crane that is not there or is out already.
    """
    known_crane(snapshot, crane)
    if not snapshot.is_live(crane):
        raise UnknownName("live crane", crane)
    gone = replace(snapshot.cranes[crane], retire_on=snapshot.today)
    return replace(snapshot, cranes={**snapshot.cranes, crane: gone})


def _delivers(row: Offer, supplier: str, part: str) -> bool:
    return row.supplier == supplier and row.part == part and row.kind in DELIVERS


def _quoted(row: Offer, days: float, snapshot: Snapshot) -> Offer:
    return replace(
        row,
        low=None,
        likely=days,
        high=None,
        unit="d",
        basis="quoted",
        quoted_on=snapshot.today,
        valid_until=None,
        route=None,
    )


def _known_supplier(snapshot: Snapshot, supplier: str) -> None:
    if supplier not in snapshot.suppliers:
        raise UnknownName("supplier", supplier, near(supplier, snapshot.suppliers))


def _known_part(snapshot: Snapshot, part: str) -> None:
    if part not in snapshot.parts:
        raise UnknownName("part", part, near(part, snapshot.parts))
