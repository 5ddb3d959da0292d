"""Who sells, makes and repairs the parts, at what price and in what time; and their notices."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import replace

from demo.kinds import Kind, kind_of
from demo.routes import route_of
from demo.tables import TODAY, chance, day, rows, three_points
from parts.records.catalogue import Part
from parts.records.structure import Position
from parts.records.supply import Notice, Offer, Supplier

# supplier | what it is, in words | kind | active
SUPPLIERS = """
bearing counter       | bearings, couplings and seals over the counter | distributor | yes
board repair bench    | repairs control boards | repairer | yes
brake maker           | shoe brakes, coils, linings | maker | yes
brake rebuilder       | rebuilds brakes and rivets linings | repairer | yes
cable house           | flat cable, festoons, pendants | distributor | yes
conductor maker       | conductor bars and collectors | maker | yes
contactor workshop    | rebuilds old contactors and resistors | machine shop | yes
crane breaker         | takes old cranes apart and sells what is good | breaker | yes
crane service firm    | riggers, welders, load tests | repairer | yes
drive maker           | drives of the second and third generation | maker | yes
drive reseller        | drives, encoders, refurbished units | distributor | yes
drum and shaft shop   | drums, shafts, brake drums | machine shop | yes
electric counter      | electrical goods over the counter | distributor | yes
gear shop east        | gears, rings, wheels | machine shop | yes
gear shop north       | carburised and ground gears | machine shop | yes
hoist maker           | packaged hoists and what belongs to them | maker | yes
hook and block works  | certified hooks and bottom blocks | maker | yes
load cell bench       | load cells and amplifiers | maker | yes
motor counter         | motors, brakes, brushes | distributor | yes
motor winders         | rewind motors and coils | repairer | yes
old crane maker       | built A1, A2, D1 and D2; closed in 2019 | maker | no
radio dealer          | radios and batteries | distributor | yes
reducer works         | reducers and geared motors | maker | yes
rigging loft          | sockets, slings, rope | distributor | yes
rope house            | wire rope, cut and served | distributor | yes
seal and oil counter  | seals, oil, linings | distributor | yes
sheave works          | sheaves and equalisers | maker | yes
small drives dealer   | merged into drive reseller in 2022 | distributor | no
structural shop       | welded structures, rails, gates | machine shop | yes
wheel shop            | wheels, axles, brake drums | machine shop | yes
"""

WEEKS = ("gear shop north", "reducer works", "hook and block works")
WORKING_DAYS = ("electric counter", "bearing counter", "brake maker")
MONEY = {"gear shop east": ("GBP", 1.15), "drive maker": ("USD", 0.92)}
APPROVAL = "crane engineer, file VC-{}, with drawing and certificate"

# Offers that differ from those of their kind; `-` in place of a source's line takes it away.
# supplier | part | kind | price | currency | low/likely/high | unit | quoted | valid until
#   | approval | lowest quantity | cost of ordering
SPECIAL = """
old crane maker    | GEAR-LS-A1 | new  | 5200 | EUR | 30/42/60 | d | 2018-03-12 | | | 1 | 0
old crane maker    | RED-BM     | new  | 21000 | EUR | 60/80/110 | d | 2018-06-04 | | | 1 | 0
small drives dealer | TDR-75    | new  | 1450 | EUR | 3/6/12   | d | 2021-05-17 | | | 1 | 0
crane breaker      | EQL-A      | used | 240  | EUR | 3/6/14   | d | 2026-02-16 | | | 1 | 60
drive reseller     | HDR-A      | used | 3900 | EUR | 5/14/35  | d | 2026-04-20 \
| 2026-12-31 | | 1 | 120
drive reseller     | HDR-A      | repair | 2100 | EUR | 10/20/45 | d | 2026-04-20 | | | 1 | 0
drive reseller     | TDR-75     | used | 900  | EUR | 4/9/20   | d | 2026-03-02 \
| 2026-06-30 | | 1 | 40
board repair bench | CARD-8     | repair | 650 | EUR | 8/15/40 | d | 2026-05-11 | | | 1 | 0
hoist maker        | GUIDE-8    | new  | 310  | CHF | 5/20/45  | d | 2026-03-23 | | | 2 | 25
rigging loft       | SOCK-BM    | new  | 640  | EUR | 25/38/60 | d | 2026-05-04 | | | 2 | 80
rope house         | ROPE-BM    | new  | 3100 | EUR | 4/9/16   | d | 2026-05-04 | | | 1 | 60
radio dealer       | RAD-G4     | new  | 3900 | EUR | 5/12/25  | d | 2026-05-18 \
| 2027-05-31 | | 1 | 20
drive maker        | HDR-G2     | new  | 9800 | USD | 14/35/70 | d | 2026-06-08 \
| 2027-02-23 | | 1 | 150
drive reseller     | HDR-G2     | used | 5600 | EUR | 5/15/40  | d | 2026-06-22 | | | 1 | 120
conductor maker    | BAR-3      | made | 4600 | EUR | 50/70/95 | d | 2024-09-09 | | | 1 | 900
"""

# kinds of source that a part has not: its maker stopped, or it only ever came from one place
WITHOUT = """
EQL-A   | sheave works
HDR-A   | drive maker
CARD-8  | hoist maker
RED-8   | reducer works
BAR-3   | conductor maker
SOCK-BM | rope house
ROPE-BM | rigging loft
RAD-G2  | radio dealer
BAT-G2  | radio dealer
"""

# part | supplier | notice | kind | last buy | last shipment | note
NOTICES = """
HDR-A  | drive maker | 2019-12-02 | discontinuance | 2021-06-30 | 2021-12-31 \
| first generation ends
CARD-8 | hoist maker | 2023-09-11 | discontinuance | 2024-03-31 | 2024-09-30 \
| card only in complete hoists from now on
HDR-G2 | drive maker | 2026-08-24 | discontinuance | 2027-02-23 | 2027-08-31 \
| second generation of hoist drives ends; four in service here
TDR-G2 | drive maker | 2026-01-15 | discontinuance | 2026-10-31 | 2027-04-30 \
| second generation of travel drives ends
TDR-G2 | drive maker | 2026-09-21 | discontinuance | 2027-06-30 | 2027-12-31 \
| put off: last orders until the end of June 2027
LIN-315 | brake maker | 2026-05-06 | change | | \
| other binder in the friction compound from August 2026; torque to be checked at fitting
RAD-G2 | | 2020-01-20 | discontinuance | 2020-12-31 | 2021-03-31 | old band closes
"""


def suppliers() -> list[Supplier]:
    return [
        Supplier(supplier=name, name=words, kind=kind, active=active == "yes")
        for name, words, kind, active in rows(SUPPLIERS)
    ]


def notices() -> list[Notice]:
    return [
        Notice(
            part=part,
            supplier=supplier or None,
            notice_on=day(on),
            kind=kind,
            last_buy_on=day(buy) if buy else None,
            last_ship_on=day(ship) if ship else None,
            note=note,
        )
        for part, supplier, on, kind, buy, ship, note in rows(NOTICES)
    ]


def offers(every: Iterable[Part], positions: Iterable[Position]) -> list[Offer]:
    bearing = {p.part for p in positions if p.load_bearing}
    special = {(offer.supplier, offer.part, offer.kind): offer for offer in _special()}
    without = {tuple(cells) for cells in rows(WITHOUT)}
    found = {
        (offer.supplier, offer.part, offer.kind): offer
        for part in every
        for offer in _offers(part, part.part in bearing)
        if (offer.part, offer.supplier) not in without
    }
    return list((found | special).values())


def _special() -> Iterator[Offer]:
    for cells in rows(SPECIAL):
        supplier, part, kind, price, currency, days, unit, quoted, valid, approval, least, once = (
            cells
        )
        low, likely, high = three_points(days)
        yield Offer(
            supplier=supplier,
            part=part,
            kind=kind,
            unit_price=float(price),
            currency=currency,
            order_cost=float(once),
            min_qty=int(least),
            low=low,
            likely=likely,
            high=high,
            unit=unit,
            basis="quoted",
            quoted_on=day(quoted),
            valid_until=day(valid) if valid else None,
            approval=approval or None,
        )


def _offers(part: Part, load_bearing: bool) -> Iterator[Offer]:
    kind = kind_of(part.part)
    for number, (source, supplier) in enumerate(kind.sources):
        draw = chance("offer", part.part, supplier)
        offer = Offer(
            supplier=supplier,
            part=part.part,
            kind=source,
            order_cost=float(draw.choice((0, 0, 20, 40, 80))),
            basis=draw.choice(("quoted", "quoted", "quoted", "promised", "achieved", "guessed")),
            quoted_on=_quoted_on(draw.random(), draw.random()),
            unit_price=_price(part, source, supplier, draw.uniform(0.92, 1.12)),
            currency=_money(supplier)[0],
        )
        if draw.random() < 0.1 and offer.quoted_on is not None:
            offer = replace(offer, valid_until=offer.quoted_on + datetime.timedelta(days=120))
        route = route_of(part.part) if source == "made" else None
        if route is None and source == "repair" and kind.part_class in ("hoist motor", "DC motor"):
            route = "motor rewind"
        if source != "new" and load_bearing:
            offer = replace(offer, approval=APPROVAL.format(draw.randint(10, 99)))
        yield _timed(offer, kind, route, draw.uniform(0.9, 1.05) * (1 + 0.18 * number))


def _timed(offer: Offer, kind: Kind, route: str | None, factor: float) -> Offer:
    """The offer with its route, or else with its days in the units its supplier speaks."""
    if route is not None:
        return replace(offer, route=route)
    if kind.lead is None:
        return offer
    unit, length = "d", 1.0
    if offer.supplier in WEEKS:
        unit, length = "wk", 7.0
    elif offer.supplier in WORKING_DAYS:
        unit, length = "wd", 7 / 5
    low, likely, high = (max(0.5, round(d * factor / length * 2) / 2) for d in kind.lead)
    return replace(offer, low=low, likely=likely, high=high, unit=unit)


def _price(part: Part, source: str, supplier: str, factor: float) -> float:
    share = {"new": 1.0, "made": 1.0, "repair": 0.35, "used": 0.5}[source]
    price = (part.unit_cost or 0) * share * factor / _money(supplier)[1]
    return round(price, 0 if price > 100 else 1)


def _money(supplier: str) -> tuple[str, float]:
    return MONEY.get(supplier, ("EUR", 1.0))


def _quoted_on(first: float, second: float) -> datetime.date:
    """Most quotes are some months old, one in thirty is older than a year."""
    if first < 0.033:
        return TODAY - datetime.timedelta(days=380 + int(second * 700))
    return datetime.date(2025, 12, 1) + datetime.timedelta(days=int(second * 175))
