"""What wears, how long it lasts, and when the unit in each position was put in.

The day is drawn for what fails by chance and for what is exchanged on plan; all else came with
its crane. Invariant: no unit is older than its crane, or was put in after the day of the demo.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from demo.ledger import OPENED
from demo.tables import TODAY, chance, rows

# What fails by chance: letters the part begins with | mean years between failures of one unit
#   | shape | causes. What carries the load line is left to failures that are told by hand.
FAILING = """
LIN   | 2.6  | 2.4 | worn to the rivets; oil on the lining; glazed
COL   | 26   | 1.3 | shoe worn through; arm bent at a joint
TIP   | 4.1  | 1.9 | tips welded; tips burnt away; arc chute cracked
BSH   | 4.8  | 2.6 | brushes worn; sparking
CON   | 16   | 1.3 | coil open; contacts welded
RAD   | 10   | 1.2 | buttons worn; receiver drops out; handset dropped
PEN   | 8    | 1.3 | cable broken at the gland; button stuck
LIM   | 30   | 1.2 | lever bent; cam loose
TLM   | 45   | 1.2 | hit by the stop; water inside
FES   | 16   | 1.6 | trolley jammed; core broken
TDR   | 45   | 1.1 | fan stopped; trips on undervoltage
ENC   | 30   | 1.1 | coupling broken; signal lost
TBR   | 90   | 1.2 | coil burnt; disc worn
COIL  | 60   | 1.2 | coil burnt
REL   | 130  | 1.1 | contact sticks
EST   | 130  | 1.1 | button cracked
BAT-G | 6    | 2   | holds no charge
GUIDE | 10   | 1.6 | broken by a slack rope
DISC  | 20   | 1.6 | air gap beyond limit; coil burnt
LAMP  | 50   | 1.1 | dark
TMO   | 200  | 1.2 | bearing noise; winding to earth
"""

# What is exchanged on plan, a whole crane at a time: letters | years from one time to the next
EXCHANGED = """
BUM  | 8
SEAL | 8
SHB  | 14
BRW  | 12
SHV  | 18
WHD  | 20
AXL  | 22
TRW  | 20
WHI  | 20
DBR  | 22
HKB  | 16
BDR  | 20
BAR-3 | 25
CAB-F | 14
"""


@dataclass(frozen=True)
class Wear:
    """How long one unit lasts, as a Weibull of years, and of what it fails."""

    mean_years: float
    shape: float
    causes: tuple[str, ...]


_FAILING = {
    letters: Wear(float(mean), float(shape), tuple(causes.split("; ")))
    for letters, mean, shape, causes in rows(FAILING)
}
_EXCHANGED = {letters: float(years) for letters, years in rows(EXCHANGED)}


def wear_of(part: str) -> Wear | None:
    """How a part fails by chance; None where it does not."""
    return next((wear for letters, wear in _FAILING.items() if part.startswith(letters)), None)


def put_in(crane: str, position: str, part: str, commissioned: datetime.date) -> datetime.date:
    """When the unit was put in that sat here as the records began, or sits here on plan.

    What fails by chance had lived a part of one mean life on the day the records begin.
    """
    on, years = commissioned, 0.0
    wear = wear_of(part)
    letters = next((letters for letters in _EXCHANGED if part.startswith(letters)), None)
    if wear is not None:
        on, years = OPENED, wear.mean_years * chance("start", crane, position).random()
    elif letters is not None:
        share = chance("exchanged", crane, letters).random()
        on, years = TODAY, _EXCHANGED[letters] * share
    return max(commissioned, on - datetime.timedelta(days=round(years * 365.25)))
