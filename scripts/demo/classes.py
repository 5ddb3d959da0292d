"""Defaults of the classes of parts: rates, lead times, lives, market lives, care in store.

Each line says where its figures come from. Rates are failures of one unit a year; lives are
Weibull shape and scale; market figures are Weibull years on the market.
"""

from __future__ import annotations

from demo.tables import rows
from parts.records.catalogue import PartClass

# Where figures come from. A class may have its rate from one place and its life from another.
SOURCES = {
    "I": "demo figure, invented",
    "P": "common practice, no source",
    "M": "from memory",
    "T": "a public table of Weibull values that was read in part; its page is not at hand",
    "E": "USACE ETL 1110-2-560 (2001), Appendix D-5, environment factor 2",
}

# class | rate | weight | lead days | life: basis/shape/scale | market: shape/scale
#   | recommission | months between care | sources of rate, lead, life, market
# A class has a life only where its failures at the hours that a crane hoist runs, a twentieth of
# the year, and at the ages found here come near its rate: figures of plant that runs all day say
# little about what ages by the calendar. Lives marked E: scale = 1 / (printed rate per million
# hours x 2) at shape 1, as in that appendix.
CLASSES = """
hoist reducer     | 0.006  | 1 | 120 |                   | 2.5/45 | rated_load | 3  | I P - P
hoist pinion      | 0.003  | 1 | 75  | hours/2/75000     | 2.5/45 | rated_load | 12 | I P M P
hoist gear        | 0.003  | 1 | 75  | hours/2/75000     | 2.5/45 | rated_load | 12 | I P M P
open gear         | 0.004  | 1 | 100 | hours/2/75000     | 2.5/50 | rated_load | 12 | I P M P
worm set          | 0.006  | 1 | 80  | hours/2/20000     | 2.5/40 | rated_load | 12 | I P I P
reducer bearing   | 0.004  | 1 | 10  |                   | 3/50   | loaded     |    | I P - P
seal kit          | 0.03   | 1 | 5   | years/2/14        | 3/50   | functional |    | I P P P
gear oil          | 0.02   | 1 | 3   |                   | 3/60   | functional |    | I P - P
rope drum         | 0.002  | 1 | 90  | years/2.5/80      | 2.5/50 | rated_load |    | I P P P
drum shaft        | 0.002  | 1 | 45  | hours/1/537750    | 2.5/50 | rated_load |    | I P E P
drum bearing      | 0.006  | 1 | 20  | years/2.5/60      | 3/45   | loaded     |    | I P P P
wire rope         | 0.03   | 1 | 10  |                   | 3/60   | loaded     | 12 | I P - P
rope socket       | 0.004  | 1 | 12  |                   | 3/50   | loaded     |    | I P - P
sheave            | 0.004  | 1 | 35  | years/2.5/45      | 2.5/50 | loaded     |    | I P P P
sheave bearing    | 0.008  | 1 | 14  | years/2/40        | 3/50   | loaded     |    | I P P P
equaliser         | 0.002  | 1 | 25  |                   | 2.5/50 | loaded     |    | I P - P
bottom block      | 0.004  | 1 | 50  | years/2.5/60      | 2.5/40 | rated_load |    | I P P P
hook              | 0.003  | 1 | 45  | years/2.5/90      | 2.5/50 | rated_load |    | I P P P
hook bearing      | 0.006  | 1 | 15  | years/2/45        | 3/50   | loaded     |    | I P P P
shoe brake        | 0.02   | 1 | 40  | hours/1/238095    | 2.5/35 | loaded     | 12 | I P E P
brake lining      | 0.3    | 1 | 8   |                   | 3/40   | functional |    | I P - P
brake coil        | 0.03   | 1 | 20  |                   | 2.5/35 | functional |    | I P - P
disc brake        | 0.05   | 1 | 20  |                   | 2/25   | loaded     |    | I P - P
brake drum        | 0.01   | 1 | 25  | years/2/45        | 2.5/45 | functional |    | I P P P
coupling          | 0.006  | 1 | 15  |                   | 2.5/45 | functional |    | I P - P
float shaft       | 0.002  | 1 | 20  | hours/1/537750    | 2.5/50 | functional |    | I P E P
load brake        | 0.02   | 1 | 70  |                   | 2/30   | rated_load | 12 | I P - P
hoist motor       | 0.008  | 1 | 40  | hours/1.2/100000  | 2.5/30 | loaded     | 3  | I P T P
DC motor          | 0.04   | 1 | 90  |                   | 2.5/35 | loaded     | 3  | I P - P
carbon brush      | 0.3    | 1 | 10  |                   | 3/50   | functional |    | I P - P
hoist limit       | 0.03   | 1 | 15  |                   | 2/25   | loaded     |    | I P - P
load cell         | 0.03   | 1 | 20  |                   | 2/18   | loaded     |    | I P - P
drive wheel       | 0.006  | 1 | 31  | years/3/40        | 2.5/50 | loaded     |    | I P P P
idler wheel       | 0.005  | 1 | 31  | years/3/45        | 2.5/50 | loaded     |    | I P P P
wheel axle        | 0.004  | 1 | 25  | years/2.5/80      | 2.5/50 | loaded     |    | I P P P
trolley wheel     | 0.005  | 1 | 28  | years/3/45        | 2.5/50 | loaded     |    | I P P P
wheel bearing     | 0.008  | 1 | 10  | years/2/40        | 3/50   | loaded     |    | I P P P
travel reducer    | 0.01   | 1 | 40  | years/2/60        | 2.5/35 | functional | 3  | I P P P
travel motor      | 0.012  | 1 | 20  | hours/1.2/100000  | 2.5/30 | functional | 3  | I P T P
travel brake      | 0.05   | 1 | 25  |                   | 2/25   | functional |    | I P - P
line shaft        | 0.004  | 1 | 25  | hours/1/537750    | 2.5/50 | functional |    | I P E P
bumper            | 0.01   | 1 | 12  | years/3/18        | 3/40   | none       |    | I P P P
end truck         | 0.0015 | 1 | 75  |                   | 2.5/60 | rated_load |    | I P - P
girder            | 0.001  | 1 | 30  |                   | 2.5/60 | rated_load |    | I P - P
crane rail        | 0.005  | 1 | 30  |                   | 3/60   | functional |    | I P - P
travel limit      | 0.03   | 1 | 12  |                   | 2/25   | functional |    | I P - P
hoist drive       | 0.05   | 1 | 40  |                   | 2/11   | loaded     | 12 | I P - P
travel drive      | 0.03   | 1 | 30  |                   | 2/11   | functional | 12 | I P - P
braking resistor  | 0.01   | 1 | 25  |                   | 2.5/25 | functional |    | I P - P
encoder           | 0.04   | 1 | 14  |                   | 2/14   | loaded     |    | I P - P
contactor         | 0.05   | 1 | 5   |                   | 2.5/25 | functional |    | I P - P
DC contactor      | 0.01   | 1 | 75  |                   | 2/30   | functional |    | I P - P
contact kit       | 0.2    | 1 | 25  |                   | 2/30   | functional |    | I P - P
control relay     | 0.01   | 1 | 5   |                   | 2.5/25 | none       |    | I P - P
crane controller  | 0.03   | 1 | 40  |                   | 2/12   | functional | 12 | I P - P
power supply      | 0.02   | 1 | 7   |                   | 2/14   | none       | 12 | I P - P
main switch       | 0.005  | 1 | 15  | hours/1.5/100000  | 2.5/30 | functional |    | I P T P
radio set         | 0.1    | 1 | 20  |                   | 2/9    | functional |    | I P - P
radio battery     | 0.2    | 1 | 10  |                   | 2/9    | none       | 6  | I P - P
pendant           | 0.12   | 1 | 12  |                   | 2/25   | functional |    | I P - P
master switch     | 0.03   | 1 | 45  |                   | 2/30   | functional |    | I P - P
conductor bar     | 0.01   | 1 | 35  | years/2.5/70      | 2.5/25 | functional |    | I P P P
collector         | 0.04   | 1 | 10  |                   | 2.5/25 | functional |    | I P - P
festoon           | 0.06   | 1 | 15  | years/1.6/18      | 3/35   | functional |    | I P P P
grid resistor     | 0.01   | 1 | 35  |                   | 2.5/40 | functional |    | I P - P
brake rectifier   | 0.03   | 1 | 12  |                   | 2/18   | functional | 12 | I P - P
DC reactor        | 0.01   | 1 | 45  |                   | 2/30   | loaded     |    | I P - P
proximity sensor  | 0.04   | 1 | 20  |                   | 2/14   | functional |    | I P - P
emergency stop    | 0.01   | 1 | 5   |                   | 2.5/25 | functional |    | I P - P
packaged hoist    | 0.02   | 1 | 75  |                   | 2/20   | rated_load | 6  | I P - P
hoist card        | 0.05   | 1 | 30  |                   | 2/11   | loaded     | 12 | I P - P
rope guide        | 0.12   | 1 | 20  |                   | 2/20   | loaded     |    | I P - P
lamp              | 0.03   | 1 | 3   |                   | 2/15   | none       |    | I P - P
horn              | 0.03   | 1 | 5   |                   | 2.5/25 | none       |    | I P - P
walkway           | 0.002  | 1 | 20  |                   | 3/60   | none       |    | I P - P
cable             | 0.02   | 1 | 4   |                   | 3/50   | none       |    | I P - P
small material    |        | 1 | 3   |                   |        | none       |    | - P - -
old lighting      |        | 1 |     |                   |        | none       |    | - - - -
"""


def classes() -> list[PartClass]:
    """The defaults as rows of a site book."""
    return [_part_class(cells) for cells in rows(CLASSES)]


def _part_class(cells: list[str]) -> PartClass:
    name, rate, weight, lead, life, market, recommission, care, sources = cells
    basis, shape, scale = life.split("/") if life else (None, None, None)
    market_shape, market_scale = market.split("/") if market else (None, None)
    return PartClass(
        part_class=name,
        failures_per_year=_number(rate),
        rate_weight=float(weight),
        lead_days=_number(lead),
        life_basis=basis,
        life_shape=_number(shape),
        life_scale=_number(scale),
        market_shape=_number(market_shape),
        market_scale=_number(market_scale),
        recommission=recommission,
        storage_months=_number(care),
        source=_source(sources.split()),
    )


def _source(codes: list[str]) -> str:
    facts = zip(("rate", "lead time", "life", "market life"), codes, strict=True)
    said = [f"{fact}: {SOURCES[code]}" for fact, code in facts if code != "-"]
    return "; ".join(said) or "nothing known"


def _number(text: str | None) -> float | None:
    return float(text) if text else None
