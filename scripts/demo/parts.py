"""The parts of the site: those that sit in positions, and those that only lie in store."""

from __future__ import annotations

import datetime
from collections.abc import Iterable

from demo.kinds import SERIES, Kind, kind_of
from demo.tables import chance, day, rows
from parts.records.catalogue import Companion, Part, PartNumber, Substitute

SINCE = {"A": 1994, "A1": 1998, "A2": 1998, "P": 2001, "B": 2006, "BM": 2007, "BA": 2007}
SINCE |= {"8": 2008, "D": 1962, "G2": 2008}

# what the letters behind those of the kind stand for, unless they are a series
MIDDLE = {"HS": "high speed", "IM": "intermediate", "LS": "low speed", "M": "motor side"}
MIDDLE |= {"B": "bridge", "T": "trolley", "D": "drive", "I": "idler"}
MIDDLE |= {"LEV": "with lever", "ROT": "geared"}

# parts that sit nowhere: substitutes, kits, consumables, one offered successor
LOOSE = """
CON-63-Y ROPE-P-ALT SHV-A-ALT LIN-315-B HKB-BA-ALT RAD-G4 HDR-G3 TDR-G3 COL-B-ALT BRG-LS-A-ALT
LUB-1 KIT-RIVET KIT-REEVE KIT-HDR KIT-TDR KIT-ENC KIT-BRK KIT-WHEEL KIT-DCC OIL-68 OIL-T
PKG-N BRK-S KIT-RAD KIT-FES KIT-SEAL-8 LIM-ROT-C REL-24-B BRW-8-ALT EST-22-B PEN-8-B
"""

# part | description (blank: made from its kind) | facts
FACTS = """
GEAR-LS-A1 | low-speed gear, 25 t hoist, right hand, no drawing was ever handed over \
| drawing=no life=hours/2.5/22000
PIN-LS-A1 | low-speed pinion, right hand, mates with GEAR-LS-A1 | drawing=no life=hours/2.5/28000
GEAR-IM-A1 | | drawing=no
PIN-IM-A1 | | drawing=no
GEAR-HS-A1 | | drawing=no
PIN-HS-A1 | | drawing=no
GEAR-LS-A2 | low-speed gear, 25 t hoist, left hand, measured and drawn in 2023 | drawing=yes
PIN-LS-A2 | low-speed pinion, left hand, measured and drawn in 2023 | drawing=yes
WORM-D | | drawing=no
LBK-D | | drawing=no
DRUM-D | | drawing=no
BDR-D | | drawing=no
LSH-D | | drawing=no
OPG-D | open gear, split ring, spare since the crane was built | care=120
OPP-D | open pinion, spare since the crane was built | care=40
RED-BM | main hoist reducer, complete, overhauled spare | care=300 min=1 max=1
HDR-A | hoist drive of 2011, first generation, last buy closed | stage=last_buy_closed \
since=2003 out=2021-06-30
HDR-G2 | hoist drive, second generation, four in service, end announced | stage=end_announced \
min=1 max=2 care=60 usual=150
TDR-G2 | travel drive, second generation, end announced and put off once | stage=end_announced \
min=1 max=2 care=40
TDR-75 | travel drive of 2011 for A1 and A2 | stage=not_for_new_design since=2006 care=40 min=1
HDR-G3 | hoist drive, third generation, other fixing and parameters | since=2021
TDR-G3 | travel drive, third generation | since=2021
RAD-G2 | radio, both ends, old band, no longer made | stage=obsolete since=2009 out=2020-12-31
RAD-G3 | radio, both ends, present band | since=2016 stage=current
RAD-G4 | radio, both ends, successor of RAD-G3 | since=2023 stage=current
BAT-G2 | radio battery, old band | stage=obsolete since=2009
CARD-8 | hoist card, only from the hoist's maker, last buy closed | stage=last_buy_closed \
since=2008 out=2024-03-31
RED-8 | hoist gear stage, sealed, the maker sells it only inside the whole hoist | stage=obsolete
BAR-3 | conductor bar, three-bar profile, no longer drawn | stage=no_known_source
LIGHT-OLD | work light, discharge lamp, nobody makes it any more | stage=no_known_source
LIN-315 | brake lining set, 315 mm | life=years/2.5/3 planned=1 min=3 max=8
LIN-315-B | brake lining set, 315 mm, other compound |
LIN-250 | brake lining set, 250 mm | life=years/2.5/2.6 planned=1 min=3 max=8
LIN-D | brake lining set, D cranes | life=years/2.5/3.5 min=1 max=3
COL-4 | collector arm and shoe, four-bar profile of bays A and C | min=6 max=16
COL-B | collector arm and shoe, bay B profile | min=4 max=12
COL-3 | collector arm and shoe, three-bar profile | planned=1 min=1 max=4
TIP-150 | contacts and arc chute, 150 A | min=2 max=6 life=years/1.8/5
TIP-100 | contacts and arc chute, 100 A | min=2 max=6 life=years/1.8/5
BSH-250 | carbon brush set | min=2 max=6 life=hours/2.5/650
WHD-A | bridge drive wheel, 500 mm, changed in matched pairs | life=years/3/20
SEAL-A | seals, gaskets, shims, nitrile | shelf=84 min=1
SEAL-BM | | shelf=84
SEAL-BA | | shelf=84
SEAL-P | | shelf=84 min=1
SEAL-D | | shelf=84
BUM-125 | bumper, polyurethane, 125 mm | shelf=60
BUM-80 | bumper, polyurethane, 80 mm | shelf=60 min=2
BAT-G3 | radio battery, present band | shelf=48 planned=1 min=2 max=4 since=2016
BRG-LS-A | low-speed bearing, capped, greased | shelf=36
ROPE-P | wire rope, process crane, fibre core | planned=0.7 min=1 care=20
ROPE-P-ALT | wire rope, compacted strands, same diameter and lay as ROPE-P | care=20
ROPE-BA | wire rope, auxiliary hoist | planned=0.5 min=1
ROPE-A | wire rope, 25 t hoist | planned=0.4 min=1
SHV-A-ALT | sheave of another maker, same groove, other hub |
HKB-BA-ALT | hook thrust bearing, sealed type |
CON-63-X | contactor, 63 A | min=1 max=3
CON-63-Y | contactor, 63 A, other maker, same base | min=2 max=4
LAMP-LED | lamp, light-emitting diodes, 50 W | since=2016 planned=4 min=4 max=12
OIL-220 | gear oil 220, 20 l can | planned=8 min=4 max=16
OIL-T | gear oil 150 for travel reducers, 10 l can | min=3 max=12
OIL-68 | thruster oil 68, 5 l can | min=2 max=6
LUB-1 | rope lubricant, can | min=4 max=12
KIT-RIVET | rivets and drills for linings | planned=2 min=2 max=8
PEN-6 | pendant, six buttons, with cable | min=1
PEN-8 | pendant, eight buttons, with cable | min=1
REL-24 | relay, 24 V | min=4 max=10
EST-22 | emergency stop, 22 mm | min=2
EQL-A | rope equaliser, only a used one is offered, and nobody has approved it |
SOCK-A | rope socket, minimum raised when two ropes were to be changed at once | min=4 max=6
MOT-BA | hoist motor, auxiliary hoist of B1, the one ordered in July 2026 is overdue |
FAN-1 | cab fan |
FAN-2 | cab ventilation, nobody knows how often it fails |
CPL-LS-D | line shaft coupling of the old machine bay |
CPL-B-A | barrel coupling of the forge bay hoists |
PLC-A | crane controller, fitted with the drives of 2011 | since=2009
PLC-P | crane controller, fitted with the drives of 2013 | since=2011
ENC-A | | since=2008
PSU-24 | | since=2013
LIM-ROT-C | hoist limit switch, perhaps the same thing as LIM-ROT-B |
BRG-LS-A-ALT | reducer bearing, low speed, capped and greased, other maker |
PKG-N | packaged hoist of the present kind, 8 t to 15 t | since=2020
BRK-S | shoe brake, self-adjusting, for A1 and A2 | since=2012
SOCK-BM | rope socket, main hoist of B1, forged to order: the rope is there long before |
MSW-B2 | master switch of the cab of B2 |
HOOK-A | hook, 25 t, with nut and latch, certified | min=1 care=15
PKG-8 | packaged hoist, complete, 8 t | since=2008 stage=not_for_new_design
DCM-250 | direct current mill motor, one frame for hoist, trolley and bridge |
"""


def parts(positioned: Iterable[str]) -> list[Part]:
    facts = {cells[0]: (cells[1], cells[2]) for cells in rows(FACTS)}
    every = sorted(set(positioned) | set(LOOSE.split()))
    lost = set(facts) - set(every)
    if lost:
        raise ValueError(f"facts about parts that are nowhere: {sorted(lost)}")
    return [_part(part, *facts.get(part, ("", ""))) for part in every]


def _part(part: str, description: str, words: str) -> Part:
    kind, draw = kind_of(part), chance("part", part)
    facts = dict(word.split("=") for word in words.split())
    out = facts.get("out")
    basis, shape, scale = facts["life"].split("/") if "life" in facts else (None, None, None)
    return Part(
        part=part,
        description=description or _description(part, kind),
        part_class=kind.part_class,
        unit_cost=_round(draw.uniform(*kind.price)),
        introduced=_introduced(part, facts.get("since")),
        stage=facts.get("stage", "current").replace("_", " "),
        last_buy_on=day(out) if out else None,
        shelf_life_months=_number(facts.get("shelf")),
        default_lead_days=_number(facts.get("usual")),
        drawing=_drawing(facts.get("drawing"), kind.template),
        life_basis=basis,
        life_shape=_number(shape),
        life_scale=_number(scale),
        planned_per_year=_number(facts.get("planned")),
        care_per_year=float(facts.get("care", 0)),
        min_stock=int(facts["min"]) if "min" in facts else None,
        max_stock=int(facts["max"]) if "max" in facts else None,
    )


def _drawing(said: str | None, template: str) -> bool | None:
    """Yes or no where it is said; what is made to order has one otherwise; else not known."""
    if said is not None:
        return said == "yes"
    return True if template else None


def _introduced(part: str, since: str | None) -> datetime.date:
    draw = chance("introduced", part)
    year = int(since) if since else SINCE.get(part.rpartition("-")[2], 2005)
    return datetime.date(year, draw.randint(1, 12), 1)


def _description(part: str, kind: Kind) -> str:
    *middle, last = part.removeprefix(kind.letters).strip("-").split("-")
    named = SERIES.get(last, MIDDLE.get(last, last))
    pieces = [kind.words, *(MIDDLE.get(piece, piece) for piece in middle), named]
    return ", ".join(filter(None, pieces))


def _round(price: float) -> float:
    step = 1 if price < 100 else 10 if price < 1000 else 50 if price < 10000 else 500
    return float(round(price / step) * step)


def _number(text: str | None) -> float | None:
    return float(text) if text else None


def numbers(every: list[Part]) -> list[PartNumber]:
    """What makers and suppliers call the parts; a few numbers differ by a dash only."""
    found = []
    for part in every:
        draw = chance("number", part.part)
        maker = f"{draw.randint(1000, 9999)} {draw.randint(100, 999)}"
        found.append(PartNumber(part=part.part, number=maker, owner="maker"))
        if draw.random() < 0.35:
            other = f"{part.part[:3]}{draw.randint(10000, 99999)}"
            found.append(PartNumber(part=part.part, number=other, owner="electric counter"))
    return found + [PartNumber(part=p, number=n, owner=o) for p, n, o in rows(SAME_NUMBERS)]


SAME_NUMBERS = """
LIM-ROT-B | RL-2040 | old crane maker
LIM-ROT-C | RL2040  | electric counter
CON-63-X  | K63/2-230 | electric counter
CON-63-Y  | K 632 230 | drive reseller
"""

# part | substitute | extra hours | both ways | approval
SUBSTITUTES = """
ROPE-P     | ROPE-P-ALT   | 2 | no  | rope engineer 2024-05-14, certificate VR-77, B2 only
HKB-BA     | HKB-BA-ALT   | 1 | no  | crane engineer 2022-09-06, file VC-31
SHV-A      | SHV-A-ALT    | 4 | no  |
CON-63-X   | CON-63-Y     | 1 | yes | electrician 2021-02-03, same base and coil
LIN-315    | LIN-315-B    | 0 | no  | crane engineer 2020-11-19, torque test VC-22
RAD-G2     | RAD-G4       | 8 | no  | electrician 2024-10-01, stop category checked
RAD-G3     | RAD-G4       | 6 | no  | electrician 2024-10-01, stop category checked
HDR-A      | HDR-G3       | 40 | no | drive engineer 2025-03-12, parameters held in file VD-9
HDR-G2     | HDR-G3       | 24 | no | drive engineer 2026-09-18, parameters held in file VD-14
TDR-G2     | TDR-G3       | 12 | no |
COL-B      | COL-B-ALT    | 0 | yes | electrician 2023-04-04, same profile
BRG-LS-A   | BRG-LS-A-ALT | 0 | no  | crane engineer 2019-05-20, file VC-14
REL-24     | REL-24-B     | 0 | yes |
EST-22     | EST-22-B     | 0 | yes |
PEN-8      | PEN-8-B      | 1 | no  |
BRW-8      | BRW-8-ALT    | 0 | no  |
"""


def substitutes() -> list[Substitute]:
    return [
        Substitute(
            part=part,
            substitute=other,
            extra_hours=float(hours),
            both_ways=both == "yes",
            approval=approval or None,
        )
        for part, other, hours, both, approval in rows(SUBSTITUTES)
    ]


# parts (`*` = every ending) | companion (`*` = the same ending) | quantity | chance
COMPANIONS = """
GEAR-LS-* | PIN-LS-* | 1 | 1
PIN-LS-*  | GEAR-LS-* | 1 | 1
GEAR-IM-* | PIN-IM-* | 1 | 1
PIN-IM-*  | GEAR-IM-* | 1 | 1
GEAR-HS-* | PIN-HS-* | 1 | 1
PIN-HS-*  | GEAR-HS-* | 1 | 1
GEAR-*-*  | SEAL-* | 1 | 1
PIN-*-*   | SEAL-* | 1 | 1
GEAR-LS-* | BRG-LS-* | 2 | 1
PIN-LS-*  | BRG-LS-* | 2 | 1
GEAR-HS-* | BRG-HS-* | 1 | 0.7
PIN-HS-*  | BRG-HS-* | 2 | 1
GEAR-*-*  | OIL-220 | 3 | 1
PIN-*-*   | OIL-220 | 3 | 1
BRG-HS-*  | SEAL-* | 1 | 1
BRG-LS-*  | SEAL-* | 1 | 1
BRG-LS-*  | GEAR-LS-* | 1 | 0.35
RED-*     | OIL-220 | 4 | 1
RED-*     | CPL-M-* | 1 | 0.3
OPG-D     | OPP-D | 1 | 0.8
OPP-D     | OPG-D | 1 | 0.3
WORM-D    | SEAL-D | 1 | 1
WORM-D    | OIL-460 | 2 | 1
ROPE-*    | SOCK-* | 2 | 1
ROPE-P-ALT | SOCK-P | 2 | 1
ROPE-*    | LUB-1 | 1 | 1
ROPE-*    | SHV-* | 1 | 0.1
ROPE-8    | GUIDE-8 | 1 | 0.3
DRUM-*    | ROPE-* | 1 | 1
DRUM-*    | SOCK-* | 2 | 1
DRUM-*    | DBR-* | 1 | 1
SHV-*     | SHB-* | 1 | 1
SHB-*     | ROPE-* | 1 | 0.6
HOOK-*    | HKB-* | 1 | 1
BRK-A     | LIN-315 | 1 | 1
BRK-BM    | LIN-315 | 1 | 1
BRK-BA    | LIN-250 | 1 | 1
BRK-P     | LIN-250 | 1 | 1
BRK-D     | LIN-D | 1 | 1
BRK-*     | BDR-* | 1 | 0.3
BRK-*     | KIT-BRK | 1 | 1
LIN-*     | KIT-RIVET | 1 | 1
LIN-315   | BDR-A | 1 | 0.05
LIN-D     | BDR-D | 1 | 0.05
MOT-*     | CPL-M-* | 1 | 0.2
HDR-*     | KIT-HDR | 1 | 1
HDR-A     | BRES-A | 1 | 0.1
HDR-G2    | BRES-G2 | 1 | 0.1
HDR-G2    | ENC-G2 | 1 | 0.05
TDR-*     | KIT-TDR | 1 | 1
ENC-*     | KIT-ENC | 1 | 1
WHD-A     | WHD-A | 1 | 1
WHD-B     | WHD-B | 1 | 1
WHD-P     | WHD-P | 1 | 1
WHD-D     | WHD-D | 1 | 1
WHD-8     | WHD-8 | 1 | 1
WHD-A     | AXL-B-A | 2 | 0.35
WHD-*     | KIT-WHEEL | 1 | 1
WHI-*     | KIT-WHEEL | 1 | 1
TRW-D-A   | TRW-D-A | 1 | 1
TRW-D-B   | TRW-D-B | 1 | 1
TRW-D-P   | TRW-D-P | 1 | 1
TRD-*-*   | OIL-T | 1 | 1
BAR-4     | COL-4 | 2 | 1
BAR-B     | COL-B | 2 | 1
BAR-3     | COL-3 | 1 | 1
RAD-G2    | BAT-G2 | 1 | 1
RAD-G3    | BAT-G3 | 1 | 1
RAD-*     | KIT-RAD | 1 | 1
FES-*     | KIT-FES | 1 | 1
FES-*     | CAB-F-* | 1 | 0.5
DCC-150   | TIP-150 | 1 | 1
DCC-100   | TIP-100 | 1 | 1
DCC-*     | KIT-DCC | 1 | 1
DCM-250   | BSH-250 | 1 | 1
CARD-8    | DISC-8 | 1 | 0.05
PKG-8     | CAB-M | 1 | 1
CELL-*    | CELA-1 | 1 | 0.2
"""


def companions(every: list[Part]) -> list[Companion]:
    """The pairs that exist, of those that the table stands for."""
    known = {part.part for part in every}
    found: dict[tuple[str, str], Companion] = {}
    for pattern, with_, qty, likely in rows(COMPANIONS):
        for part in sorted(known):
            ending = _ending(pattern, part)
            if ending is None:
                continue
            companion = with_.replace("*", ending)
            if companion not in known:  # A1 and A2 have gears of their own, all else in common
                companion = with_.replace("*", ending.rstrip("12"))
            if companion in known:
                found[part, companion] = Companion(
                    part=part, companion=companion, qty=int(qty), chance=float(likely)
                )
    return list(found.values())


def _ending(pattern: str, part: str) -> str | None:
    """What the last star of a pattern stands for: `GEAR-*-*` of GEAR-LS-A1 is A1.

    None where the part does not match, nothing where the pattern has no star at its end.
    """
    wanted, pieces = pattern.split("-"), part.split("-")
    if len(wanted) != len(pieces):
        return None
    if any(want not in ("*", piece) for want, piece in zip(wanted, pieces, strict=True)):
        return None
    return pieces[-1] if wanted[-1] == "*" else ""
