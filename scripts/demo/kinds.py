"""Kinds of parts, by the letters a part begins with: class, words, price, lead time, sources.

Prices and lead times are invented within what is usual for such parts. A source is
`supplier`, or `made:`, `repair:` or `used:` before it; made parts name the template of their
route.
"""

from __future__ import annotations

from dataclasses import dataclass

from demo.tables import rows, three_points

# prefix | class | words | price from-to | low/likely/high days | sources | route template
KINDS = """
RED   | hoist reducer   | hoist reducer, complete   | 16000-30000 | 50/70/100  | reducer works |
PIN   | hoist pinion    | pinion shaft, carburised  | 2200-5200   | 30/60/110  \
| made:gear shop north, made:gear shop east | pinion
GEAR  | hoist gear      | gear wheel, carburised    | 3400-7800   | 35/65/120  \
| made:gear shop north, made:gear shop east | gear
OPG   | open gear       | open gear, split ring     | 7000-12000  | 40/70/120  \
| made:gear shop east | ring
OPP   | open gear       | open pinion               | 2500-4500   | 30/50/90   \
| made:gear shop east | pinion
WORM  | worm set        | worm and bronze wheel set | 5000-9000   | 40/60/100  \
| made:gear shop north | worm
BRG   | reducer bearing | reducer bearing           | 180-700     | 2/6/20     \
| bearing counter, seal and oil counter |
SEAL  | seal kit        | seals, gaskets, shims     | 120-420     | 1/4/12     \
| seal and oil counter, bearing counter |
OIL   | gear oil        | gear oil, 20 l can        | 90-160      | 1/2/5      \
| seal and oil counter, bearing counter |
DRUM  | rope drum       | rope drum, grooved        | 9000-22000  | 40/65/100  \
| made:drum and shaft shop, made:structural shop | drum
DSH   | drum shaft      | drum shaft                | 2400-6500   | 15/30/60   \
| made:drum and shaft shop, made:wheel shop | shaft
DBR   | drum bearing    | drum pillow bearing       | 700-2600    | 3/14/40    \
| bearing counter, seal and oil counter |
CPL-B | coupling        | barrel coupling           | 2200-6000   | 15/30/60   | reducer works |
CPL   | coupling        | coupling, bored and keyed | 300-1800    | 5/12/30    \
| bearing counter, reducer works |
FSH   | float shaft     | float shaft, motor half   | 700-2200    | 10/20/45   \
| made:drum and shaft shop, made:wheel shop | shaft
ROPE  | wire rope       | wire rope, cut and served | 700-3600    | 3/9/25     \
| rope house, rigging loft |
SOCK  | rope socket     | rope socket               | 150-700     | 3/10/25    \
| rigging loft, rope house |
SHV   | sheave          | sheave, hardened groove   | 600-2100    | 15/30/55   | sheave works |
SHB   | sheave bearing  | sheave bearing and pin    | 150-600     | 4/12/30    \
| bearing counter, sheave works |
EQL   | equaliser       | rope equaliser            | 500-1700    | 10/25/50   | sheave works |
BLK   | bottom block    | bottom block, complete    | 4500-15000  | 20/45/85   \
| hook and block works |
HOOK  | hook            | hook with nut and latch   | 700-4800    | 15/40/80   \
| hook and block works |
HKB   | hook bearing    | hook thrust bearing       | 150-800     | 3/12/30    \
| bearing counter, hook and block works |
BRK   | shoe brake      | shoe brake, complete      | 1900-6200   | 15/35/70   \
| brake maker, brake rebuilder |
LIN   | brake lining    | brake lining set          | 120-380     | 2/6/14     \
| brake maker, brake rebuilder, seal and oil counter |
COIL  | brake coil      | brake coil                | 350-1500    | 5/15/40    \
| brake maker, repair:motor winders |
DISC  | disc brake      | spring-set disc brake     | 900-1600    | 5/18/45    | hoist maker |
BDR   | brake drum      | brake drum                | 400-1700    | 10/22/45   \
| made:drum and shaft shop, made:wheel shop | brake drum
LBK   | load brake      | mechanical load brake     | 5000-9000   | 30/60/90   \
| made:gear shop north | load brake
MOT   | hoist motor     | hoist motor               | 4000-16000  | 10/35/80   \
| motor counter, repair:motor winders |
DCM   | DC motor        | direct current mill motor | 16000-24000 | 30/90/160  \
| repair:motor winders |
BSH   | carbon brush    | carbon brush set          | 80-220      | 3/8/20     \
| motor counter, motor winders |
LIM   | hoist limit     | hoist limit switch        | 250-1100    | 3/14/40    \
| electric counter, brake maker |
CELL  | load cell       | load cell                 | 800-2400    | 5/20/45    | load cell bench |
CELA  | load cell       | load amplifier            | 600-1400    | 5/15/40    | load cell bench |
WHD   | drive wheel     | bridge drive wheel        | 800-3600    | 15/31/60   \
| made:wheel shop, made:gear shop east | wheel
WHI   | idler wheel     | bridge idler wheel        | 700-3200    | 15/31/60   \
| made:wheel shop, made:gear shop east | wheel
AXL   | wheel axle      | axle with bearings        | 500-2400    | 10/22/50   \
| made:drum and shaft shop, made:wheel shop | shaft
TRW   | trolley wheel   | trolley wheel             | 500-2600    | 12/28/55   \
| made:wheel shop, made:gear shop east | wheel
BRW   | wheel bearing   | wheel bearing             | 60-300      | 2/8/25     \
| bearing counter, seal and oil counter |
TRD   | travel reducer  | geared motor unit         | 1200-6200   | 10/35/70   \
| reducer works, motor counter |
TMO   | travel motor    | travel motor              | 500-2800    | 5/18/40    \
| motor counter, repair:motor winders |
TBR   | travel brake    | travel brake              | 350-1300    | 5/20/50    \
| brake maker, motor counter |
LSH   | line shaft      | line shaft                | 1500-3500   | 10/25/50   \
| made:drum and shaft shop | shaft
BUM   | bumper          | bumper                    | 60-600      | 3/10/25    \
| seal and oil counter, electric counter |
ETR   | end truck       | end truck repair          | 9000-20000  | 20/40/75   \
| repair:crane service firm, repair:structural shop |
GIR   | girder          | girder repair             | 25000-60000 | 20/45/80   \
| repair:crane service firm |
RAIL  | crane rail      | rail length, trolley      | 900-2600    | 10/25/50   \
| structural shop, crane service firm |
TLM   | travel limit    | travel limit switch       | 120-500     | 3/10/25    \
| electric counter, brake maker |
HDR   | hoist drive     | hoist drive with chopper  | 5000-14000  | 10/35/80   | drive maker |
TDR   | travel drive    | travel drive              | 900-3800    | 7/25/60    \
| drive maker, drive reseller |
BRES  | braking resistor | braking resistor bank    | 500-2200    | 5/20/45    \
| electric counter, drive reseller |
ENC   | encoder         | encoder with cable        | 300-900     | 3/12/30    \
| drive reseller, electric counter |
CON   | contactor       | contactor                 | 70-520      | 1/4/10     \
| electric counter, drive reseller |
DCC   | DC contactor    | direct current contactor  | 900-2600    | 30/65/110  \
| made:contactor workshop | contactor
TIP   | contact kit     | contacts and arc chute    | 90-300      | 10/20/40   \
| made:contactor workshop | contacts
REL   | control relay   | relay                     | 25-180      | 1/4/10     \
| electric counter, drive reseller |
PLC   | crane controller | crane controller         | 1800-5200   | 10/35/80   \
| drive maker, repair:board repair bench |
PSU   | power supply    | control supply, 24 V      | 90-300      | 1/5/14     \
| electric counter, drive reseller |
PST   | power supply    | control transformer       | 150-380     | 1/6/20     | electric counter |
SW    | main switch     | main switch               | 300-1600    | 3/12/30    | electric counter |
SWB   | main switch     | main breaker              | 400-1500    | 3/12/30    \
| electric counter, drive reseller |
RAD   | radio set       | radio, both ends          | 2200-4200   | 5/18/40    | radio dealer |
BAT   | radio battery   | radio battery             | 90-220      | 2/8/20     \
| radio dealer, electric counter |
PEN   | pendant         | pendant with cable        | 240-800     | 3/10/30    \
| electric counter, cable house |
MSW   | master switch   | master switch             | 900-3200    | 15/40/80   \
| contactor workshop |
BAR   | conductor bar   | conductor bar run         | 1800-5200   | 10/30/70   | conductor maker |
COL   | collector       | collector arm and shoe    | 60-240      | 3/9/25     \
| conductor maker, cable house |
FES   | festoon         | festoon trolleys, track   | 1200-4800   | 3/14/40    \
| cable house, conductor maker |
CAB-F | cable           | flat cable, cut           | 300-1200    | 3/10/40    | cable house |
CAB   | cable           | socket and cable          | 60-200      | 1/4/10     | cable house |
GRID  | grid resistor   | grid resistor bank        | 1200-3800   | 10/35/80   \
| contactor workshop |
RECT  | brake rectifier | crane rectifier           | 2600-5200   | 10/25/60   \
| contactor workshop, drive reseller |
REAC  | DC reactor      | field reactor             | 1800-3800   | 15/40/80   \
| repair:motor winders |
ANTI  | proximity sensor | anti-collision sensor    | 500-1600    | 5/15/40    | electric counter |
EST   | emergency stop  | emergency stop            | 40-160      | 1/3/8      \
| electric counter, cable house |
PKG   | packaged hoist  | packaged hoist, complete  | 14000-19000 | 30/60/95   | hoist maker |
CARD  | hoist card      | hoist card                | 1400-2600   | 7/25/60    | hoist maker |
GUIDE | rope guide      | rope guide                | 180-420     | 5/20/45    | hoist maker |
LAMP  | lamp            | lamp                      | 30-120      | 1/3/8      \
| electric counter, cable house |
LIGHT | old lighting    | work light                | 80-200      |            | |
HORN  | horn            | horn                      | 60-180      | 1/4/10     | electric counter |
WALK  | walkway         | gate or door              | 200-800     | 5/15/40    \
| structural shop |
FAN   | small material  | fan                       | 60-240      | 1/5/15     | electric counter |
HEAT  | small material  | cab heater                | 120-300     | 1/6/20     | electric counter |
KIT   | small material  | small parts kit           | 40-160      | 1/4/10     \
| electric counter, drive reseller |
LUB   | gear oil        | rope lubricant, can       | 30-60       | 1/2/5      | rope house |
"""

SERIES = {
    "A": "forge bay A1 and A2",
    "A1": "forge bay A1, right hand",
    "A2": "forge bay A2, left hand",
    "B": "coil bay B1",
    "BM": "coil bay B1 main hoist",
    "BA": "coil bay B1 auxiliary hoist",
    "P": "coil bay B2",
    "8": "finishing bay C1 and C2",
    "D": "old machine bay D1",
    "G2": "second drive generation",
}


@dataclass(frozen=True)
class Kind:
    """What parts that begin with the same letters have in common."""

    letters: str
    part_class: str
    words: str
    price: tuple[float, float]
    lead: tuple[float, float, float] | None
    sources: tuple[tuple[str, str], ...]
    template: str


def _kind(cells: list[str]) -> Kind:
    letters, part_class, words, price, lead, sources, template = cells
    cheap, dear = price.split("-")
    return Kind(
        letters=letters,
        part_class=part_class,
        words=words,
        price=(float(cheap), float(dear)),
        lead=three_points(lead) if lead else None,
        sources=tuple(_source(s.strip()) for s in sources.split(",") if s.strip()),
        template=template,
    )


def _source(text: str) -> tuple[str, str]:
    kind, found, supplier = text.partition(":")
    return (kind, supplier) if found else ("new", text)


_BY_PREFIX = {cells[0]: _kind(cells) for cells in rows(KINDS)}


def kind_of(part: str) -> Kind:
    """The kind of the longest run of leading letters that is known."""
    pieces = part.split("-")
    for length in range(len(pieces), 0, -1):
        found = _BY_PREFIX.get("-".join(pieces[:length]))
        if found is not None:
            return found
    raise KeyError(part)
