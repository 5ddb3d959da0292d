"""What the store holds on the first day, and the events of the store that are told by hand."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import Any

from demo.ledger import CAGE, MAIN, OPENED, Store
from demo.tables import TODAY, chance, day, rows
from parts.records.catalogue import Part, PartClass
from parts.records.stock import Reservation

# Kinds of parts that every site keeps, by the letters they begin with | units at the opening
KEPT = """
LIN | 5
KIT | 3
LUB | 6
OIL | 8
COL | 12
TIP | 4
BSH | 3
BAT-G3 | 3
CON | 2
REL | 4
EST | 3
LAMP | 8
HORN | 1
TLM | 2
ENC | 1
PEN | 1
SEAL | 1
BRG | 2
BRW | 2
SHB | 1
SOCK-A | 2
SOCK-D | 2
SOCK-8 | 1
SOCK-P | 4
SOCK-BA | 2
COIL | 1
TBR | 1
FES | 1
PSU | 1
PST | 1
LIM | 1
HKB | 1
GUIDE | 2
DISC | 1
ROPE-A | 1
ROPE-BA | 1
ROPE-D | 1
TDR-75 | 1
RAD-G3 | 1
HOOK-A | 1
RED-BM | 1
OPG-D | 1
OPP-D | 1
BUM | 2
CPL-M-A | 1
CELA | 1
DBR-A | 1
BDR-A | 1
"""

# what is deliberately not in stock, though its like is kept
NOT_KEPT = (
    "SEAL-BA",
    "TBR-T-B",
    "SOCK-BM",
    "BRG-HS-P",
    "COIL-DH",
    "LIM-ROT-C",
    "CON-115",
    "HOOK-8",
)

BINS = "ABCDEFGH"

# day | part | units | kind | store | facts, and why it is there
TOLD = """
2017-05-08 | LIM-LEV  | 1  | receipt | main store | | bought with the yearly check
2018-10-01 | SHV-A-ALT | 2 | receipt | main store | | bought without a drawing check, never \
approved for the load path
2021-03-01 | DCM-250  | 1  | return | main store | condition=quarantine | core of the motor that \
failed in 2019, not rewound
2022-10-03 | HDR-G2   | 1  | receipt | main store | serial=VD-2207 | second generation spare
2023-10-16 | HDR-G2   | 0  | care | main store | serial=VD-2207 | powered for two hours
2024-04-15 | TDR-G2   | 1  | receipt | main store | serial=VT-2401 | last powered at the maker, \
31 months ago: due for re-forming
2024-06-10 | ROPE-P-ALT | 1 | receipt | main store | serial=VR-77 | approved substitute, with \
certificate
2019-12-09 | WHD-A    | 1  | receipt | main store | serial=VW-12 | mate of the pair of 2019 that \
was not used: unmatched now
2024-09-02 | HKB-BA-ALT | 1 | receipt | main store | | approved substitute
2026-10-26 | HDR-G2   | 0  | care | main store | serial=VD-2207 | powered for two hours
2026-09-14 | LIN-315  | 1  | issue | main store | crane=A1 | booked on the wrong line
2026-09-15 | LIN-315  | 1  | reversal | main store | crane=A1 | undoes the issue of the day before
2026-04-20 | PEN-8    | 1  | issue | main store | crane=A2 | put up on the standby crane
2023-06-05 | ROPE-A   | 1  | return | main store | crane=A2 | taken for the change, date put off
2025-11-10 | COL-4    | 2  | return | main store | crane=C1 | left over
2026-03-09 | HOOK-A   | 0  | care | main store | serial=VH-25 | greased, certificate looked at
2024-05-06 | RED-BM   | 0  | care | main store | serial=VG-50 | turned, oil mist renewed
2026-08-31 | RED-BM   | 0  | care | main store | serial=VG-50 | turned, oil mist renewed
2023-05-15 | OPG-D    | 0  | care | main store | | preserved again
2026-05-18 | OPG-D    | 0  | care | main store | | preserved again
2020-11-30 | BRG-LS-A-ALT | 4 | receipt | main store | expires_on=2023-11-30 | capped and greased, \
past the three years
2026-10-12 | BUM-80   | 3  | receipt | main store | expires_on= | polyurethane, the date of make \
is not on the box
2017-02-20 | SEAL-P   | 1  | receipt | main store | expires_on=2024-02-20 | nitrile, kept past its \
shelf life: to be looked at before use
2018-05-07 | GUIDE-8  | 1  | scrap | main store | | cracked in the rack
2021-08-16 | COIL-DT  | 1  | scrap | main store | | damp
2024-11-18 | PST-1    | 1  | scrap | main store | | wrong voltage
"""

# count differences by chance, a few each year
COUNTED = ("LIN-315", "LIN-250", "COL-4", "COL-B", "LAMP-LED", "OIL-220", "LUB-1", "REL-24",
           "KIT-RIVET", "TIP-100", "EST-22", "CON-63-Y")  # fmt: skip

# Orders told by hand; what came went straight from the lorry to the crane.
# order | supplier | part | qty | ordered | quoted | due | received
ORDERS = """
V2026-A | motor counter | MOT-BA | 1 | 2026-07-06 | 56 | 2026-09-30 |
V2026-B | conductor maker | BAR-4 | 1 | 2026-10-19 | 40 | 2026-12-04 |
V2026-C | motor counter | TBR-T-B | 1 | 2026-11-20 | 24 | 2026-12-14 |
V2026-D | wheel shop | TRW-D-A | 2 | 2026-10-28 | 42 | 2026-12-21 |
V2026-F | rope house | ROPE-P | 2 | 2026-11-02 | 12 | 2026-12-11 |
V2026-E | hook and block works | HKB-P | 2 | 2026-11-09 | 21 | 2026-12-02 |
V2019-A | gear shop north | OPP-D | 1 | 2018-11-05 | 60 | 2019-01-04 | 2019-01-28
V2020-A | gear shop north | WORM-D | 1 | 2019-12-02 | 70 | 2020-02-10 | 2020-03-09
V2021-A | gear shop north | LBK-D | 1 | 2020-09-07 | 60 | 2020-11-06 | 2020-11-27
V2022-A | gear shop north | PIN-HS-P | 1 | 2021-10-04 | 56 | 2021-11-29 | 2021-12-20
V2023-A | gear shop north | PIN-IM-BA | 1 | 2023-02-06 | 63 | 2023-04-10 | 2023-05-08
V2024-A | gear shop east | WHD-P | 2 | 2024-01-15 | 35 | 2024-02-19 | 2024-02-26
V2025-A | gear shop east | OPG-B-D | 1 | 2025-02-03 | 70 | 2025-04-14 | 2025-05-05
"""

RESERVED = """
LIN-315  | 1 | A2 yearly overhaul       | 2026-12-28 |
OIL-220  | 4 | A2 yearly overhaul       | 2026-12-28 |
COL-B    | 2 | B2 collector change      | 2026-12-07 |
ROPE-A   | 1 | A1 rope change, put off  | 2026-10-19 | 2026-11-02
CON-63-X | 1 | B1 line contactor        | 2027-01-18 |
"""


def open_store(store: Store, every: list[Part]) -> None:
    """Put the opening stock down, with fresh shelf lives."""
    kept = [(cells[0], int(cells[1])) for cells in rows(KEPT)]
    for part in every:
        units = next((n for letters, n in kept if part.part.startswith(letters)), 0)
        if not units or part.part in NOT_KEPT or "ALT" in part.part:
            continue
        draw = chance("bin", part.part)
        facts: dict[str, Any] = {"bin": f"{draw.choice(BINS)}{draw.randint(1, 24):02d}"}
        if part.part in SERIALS:
            facts["serial"] = SERIALS[part.part]
        store.kept.add(part.part)
        store.at(OPENED, _opening(store, part.part, units, facts))
    for moved, number in (("COL-B", 4), ("LIN-250", 2)):
        for on in (day("2016-12-05"), day("2022-01-10")):
            store.at(on, _transfer(store, on, moved, number))


SERIALS = {"RED-BM": "VG-50", "HOOK-A": "VH-25"}


def _opening(store: Store, part: str, units: int, facts: dict[str, Any]) -> Callable[[], None]:
    return lambda: store.put(OPENED, part, units, "opening", note="opening count", **facts)


def _transfer(store: Store, on: datetime.date, part: str, units: int) -> Callable[[], None]:
    def move() -> None:
        if store.take(on, part, units, "transfer", MAIN, note="to the cage beside bay B"):
            store.put(on, part, units, "transfer", CAGE, note="from the main store")

    return move


def tell(store: Store) -> None:
    """Enter the events and orders that are told by hand."""
    for cells in rows(TOLD):
        store.at(day(cells[0]), _event(store, cells))
    for year in range(2017, 2027):
        for part in chance("count", year).sample(COUNTED, 3):
            on = datetime.date(year, 6, 12) + datetime.timedelta(days=len(part))
            store.at(on, _count(store, on, part))
    for cells in rows(ORDERS):
        _told_order(store, cells)


def _event(store: Store, cells: list[str]) -> Callable[[], None]:
    on, part, units, kind, where, words, why = cells
    facts: dict[str, Any] = dict(word.split("=") for word in words.split())
    if "expires_on" in facts:
        facts["expires_on"] = day(facts["expires_on"]) if facts["expires_on"] else None

    def happen() -> None:
        if kind == "care":
            store.note(day(on), part, kind, where, note=why, by="storekeeper, days", **facts)
        elif kind in ("issue", "scrap"):
            store.take(day(on), part, int(units), kind, where, note=why, **facts)
        elif kind == "reversal":
            undone = next(
                m for m in reversed(store.movements) if m.get("note", "").startswith("booked")
            )
            store.put(day(on), part, int(units), kind, where, note=why, reverses_=undone, **facts)
        else:
            store.put(day(on), part, int(units), kind, where, note=why, **facts)

    return happen


def _count(store: Store, on: datetime.date, part: str) -> Callable[[], None]:
    def differ() -> None:
        if chance("count", part, on).random() < 0.6:
            store.take(on, part, 1, "count", MAIN, by="stand-in", note="one less than booked")
            store.reorder(on, part, 1)
        else:
            store.put(on, part, 1, "count", MAIN, by="stand-in", note="one more than booked")

    return differ


def _told_order(store: Store, cells: list[str]) -> None:
    number, supplier, part, qty, ordered, quoted, due, received = cells
    order: dict[str, Any] = {
        "order": number,
        "supplier": supplier,
        "part": part,
        "qty": int(qty),
        "ordered_on": day(ordered),
        "quoted_days": float(quoted),
        "due_on": day(due),
        "received_on": day(received) if received else None,
        "unit_price": store.parts[part].unit_cost,
    }
    store.orders.append(order)


def reservations() -> list[Reservation]:
    return [
        Reservation(
            part=part,
            qty=int(qty),
            for_=why,
            needed_on=day(needed),
            released_on=day(released) if released else None,
        )
        for part, qty, why, needed, released in rows(RESERVED)
    ]


# Care is written down since 2022; this one was forgotten.
CARE_SINCE = datetime.date(2022, 1, 3)
UNCARED = ("TDR-G2",)


def care(store: Store, every: list[Part], defaults: list[PartClass]) -> None:
    """Turn, power up or look at what lies in store, at the interval of its class."""
    months = {row.part_class: row.storage_months for row in defaults}
    for part in every:
        interval = months.get(part.part_class or "")
        if interval is None or part.part in UNCARED:
            continue
        on = CARE_SINCE
        while on <= TODAY:
            store.at(on, _care(store, on, part.part))
            on += datetime.timedelta(days=round(interval * 30))


def _care(store: Store, on: datetime.date, part: str) -> Callable[[], None]:
    def look() -> None:
        if store.on_hand(part):
            store.note(on, part, "care", by="storekeeper, days", note="turned, powered or greased")

    return look
