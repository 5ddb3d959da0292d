"""Ten years of failures and of use: by chance for what fails often, told for the rest.

A failure takes its parts from the store, or waits for an order. Invariant: nothing happens before
the records begin or after the day of the demo.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable, Sequence
from typing import Any

from demo.ledger import CAGE, DAY, MAIN, OPENED, Store
from demo.tables import TODAY, chance, day, rows
from demo.wear import wear_of
from parts.records.catalogue import Part
from parts.records.history import Failure
from parts.records.structure import Position
from parts.records.supply import Offer

# What only the told lines may touch, so that the stories find it in store as they tell it.
UNTOUCHED = ("TDR-G2", "SEAL-P", "TBR-T-B")

# crane | position | failed | restored (blank: still out) | part | cause | age in hours | note
TOLD = """
A1 | hoist drive | 2018-06-12 | 2018-06-19 | HDR-A | braking chopper shorted | | unit refurbished
A1 | hoist drive | 2023-01-23 | 2023-02-14 | HDR-A | capacitors failed at power-up after holidays \
| | waited for a refurbished unit
A1 | hoist drive | 2025-05-19 | 2025-06-10 | HDR-A | output stage, third time in seven years | \
| waited for a refurbished unit again
A2 | hoist drive | 2021-09-06 | 2021-09-30 | HDR-A | failed at power-up | |
A1 | bridge drive wheel 2 | 2019-10-21 | 2019-11-29 | WHD-A | flange worn thin, opposite wheel too \
| | one wheel of the pair was new, its mate had to be made
A1 | hoist motor | 2020-03-02 | 2020-04-08 | MOT-A | bearing seized | 11340 | rewound, \
hours counted from nothing again
A2 | hoist reducer seals | 2021-05-31 | 2021-06-01 | SEAL-A | leaks at the input shaft | |
A1 | hoist reducer bearings, high speed | 2022-05-16 | 2022-05-24 | BRG-HS-A | debris in oil \
| 12490 | teeth looked at through the cover, wear seen on the low-speed gear, nothing measured
B1 | aux hoist motor | 2017-11-06 | 2017-12-11 | MOT-BA | insulation | 3715 |
B1 | aux hoist drive | 2024-02-05 | 2024-03-04 | HDR-G2 | output stage | | spare was not programmed
B2 | east hoist drive | 2022-11-14 | 2022-11-17 | HDR-G2 | fan and capacitors | | from stock
B2 | west hoist brake 1 | 2021-02-15 | 2021-03-26 | BRK-P | thruster leaked on the lining | |
B2 | east hoist rope | 2020-08-10 | 2020-08-13 | ROPE-P | birdcage near the anchor | | two strands
B2 | bridge drive wheel 3 | 2017-07-24 | 2017-08-07 | WHD-P | tread shelled | | pair changed
C1 | packaged hoist | 2019-02-11 | 2019-04-29 | PKG-8 | gear stage failed | | whole hoist exchanged
C2 | trolley wheel 3 bearing | 2023-08-28 | 2023-08-29 | BRW-8 | rough | |
C1 | hoist card | 2025-03-17 | 2025-04-07 | CARD-8 | output stage | | repaired by the bench
C2 | hoist card | 2022-06-20 | 2022-07-11 | CARD-8 | no output | | last card from the maker
D1 | hoist motor | 2019-05-06 | 2019-05-09 | DCM-250 | armature to earth | | motor of D2 fitted
D1 | rectifier | 2021-12-06 | 2022-01-10 | RECT-D | cell shorted | |
D1 | bottom block | 2023-03-06 | 2023-04-24 | BLK-D | side plate cracked, found at inspection | |
D1 | hoist load brake | 2018-09-03 | 2018-11-12 | LBK-D | discs broken | | made from the worn
B1 | trolley drive 2 brake | 2026-11-20 | | TBR-T-B | coil burnt, runs on one drive | | still out; \
part ordered, crane runs with one trolley drive by decision of the crane engineer until 2026-12-18
"""

# Regular use that is no failure: part | times a year | units of one time or another
#   | how regular (shape of the times between; 1 = by chance) | store
USED = """
OIL-220   | 4   | 1/2/3     | 1.5 | main store
OIL-T     | 2.5 | 1         | 1.5 | main store
OIL-68    | 1.5 | 1         | 1.5 | main store
LUB-1     | 11  | 1         | 6   | main store
LAMP-LED  | 2   | 2         | 1.5 | main store
KIT-RIVET | 2   | 1         | 1.5 | main store
COL-4     | 1.5 | 1/1/2/8   | 1.5 | main store
COL-B     | 1.2 | 1/1/6     | 1.5 | bay B cage
LIN-315   | 0.5 | 2         | 2   | main store
LIN-250   | 0.5 | 2         | 2   | bay B cage
ROPE-BA   | 0.5 | 1         | 3   | main store
ROPE-A    | 0.4 | 1         | 3   | main store
BAT-G3    | 1   | 1         | 2   | main store
"""

BY = ("storekeeper, days", "storekeeper, nights", "stand-in")


def live(store: Store, positions: Sequence[Position]) -> list[Failure]:
    """Let ten years pass: failures by chance and told ones, and regular use."""
    failures = [f for p in positions if p.crane != "D2" for f in _by_chance(store, p)]
    for use in rows(USED):
        _use(store, use)
    store.run()
    return [*(Failure(**facts) for facts in failures), *told()]


def _by_chance(store: Store, position: Position) -> Iterable[dict[str, Any]]:
    wear = wear_of(position.part or "")
    if wear is None or position.installed is None or position.part in UNTOUCHED:
        return []
    draw = chance("fails", position.crane, position.position)
    on = max(OPENED, position.installed)
    age, failures = (on - position.installed).days / 365.25, list[dict[str, Any]]()
    scale = wear.mean_years / math.gamma(1 + 1 / wear.shape)
    while True:
        life = draw.weibullvariate(scale, wear.shape)
        if life <= age:  # the first unit has reached this age already
            continue
        on += DAY * max(20, round((life - age) * 365.25))
        age = 0.0
        if on > TODAY - DAY * 70:
            return failures
        failures.append(_failure(store, position, on, draw.choice(wear.causes)))


def _failure(store: Store, position: Position, on: datetime.date, cause: str) -> dict[str, Any]:
    part = str(position.part)
    facts: dict[str, Any] = {
        "crane": position.crane,
        "position": position.position,
        "failed_on": on,
        "part": part,
        "cause": cause,
    }
    hands_on = DAY * (0 if (position.exchange_hours or 8) <= 8 else 1)

    def fit(at: datetime.date) -> None:
        facts["restored_on"] = at + hands_on
        if part not in store.kept:
            return
        where = _store(store, part, position.qty) or MAIN
        issued = store.take(
            at, part, position.qty, "issue", where,
            crane=position.crane, position=position.position, by=_by(part, at),
        )  # fmt: skip
        if not issued:  # another crane took it on the same day
            return
        facts["consumed"] = part
        store.reorder(at, part, position.qty)

    def happen() -> None:
        if _store(store, part, position.qty):
            fit(on)
        elif part not in store.offers or store.order(on, part, position.qty, fit) >= TODAY:
            # the demo tells of one failure that is still open, so this one found another way
            facts["restored_on"] = on + hands_on
            facts["note"] = "repaired in place"

    store.at(on, happen)
    return facts


def _store(store: Store, part: str, qty: int) -> str:
    return CAGE if store.on_hand(part, CAGE) >= qty else MAIN if store.on_hand(part) >= qty else ""


def _by(part: str, on: datetime.date) -> str:
    return chance("by", part, on).choice(BY)


# issued this year and not ordered again: a story of its own
FORGOTTEN = ("PEN-8",)


def _use(store: Store, cells: list[str]) -> None:
    part, times, units, regular, where = cells
    draw, shape = chance("use", part), float(regular)
    scale = 365.25 / float(times) / math.gamma(1 + 1 / shape)
    on = OPENED
    while True:
        on += DAY * max(5, round(draw.weibullvariate(scale, shape)))
        if on > TODAY - DAY * 20:
            return
        taken = int(draw.choice(units.split("/")))
        store.at(on, _taking(store, on, part, taken, where))


def _taking(store: Store, on: datetime.date, part: str, units: int, where: str) -> Any:
    def take() -> None:
        for here in (where, MAIN):
            if store.take(on, part, units, "issue", here, by=_by(part, on), note="planned work"):
                store.reorder(on, part, units)
                return

    return take


def told() -> list[Failure]:
    """Failures whose parts went straight from the lorry to the crane, past the store."""
    found = []
    for crane, position, failed, restored, part, cause, age, note in rows(TOLD):
        found.append(
            Failure(
                crane=crane,
                position=position,
                failed_on=day(failed),
                restored_on=day(restored) if restored else None,
                part=part,
                age_hours=float(age) if age else None,
                cause=cause,
                note=note or None,
            )
        )
    return found


def usual_offers(every: Iterable[Part], offers: Iterable[Offer]) -> dict[str, Offer]:
    """The offer from which a part is usually ordered: one of few suppliers, by chance."""
    inactive = ("old crane maker", "small drives dealer")
    by_part: dict[str, list[Offer]] = {part.part: [] for part in every}
    for offer in offers:
        if offer.supplier not in inactive and offer.kind in ("new", "made"):
            by_part[offer.part].append(offer)
    return {
        part: sorted(found, key=lambda o: o.supplier)[chance("usual", part).randrange(len(found))]
        for part, found in by_part.items()
        if found
    }
