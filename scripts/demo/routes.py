"""How parts are made to order: one route a part, from the template of its kind.

A part without a drawing begins with measuring and drawing; where these are done already, they
stand as done, which is a head start that lasts. A blank that lies ready serves one part only.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from demo.kinds import kind_of
from demo.tables import chance, rows, three_points
from parts.records.catalogue import Part
from parts.records.supply import Operation

# operation | after | low/likely/high | unit | cost of doing it ahead (blank: not possible ahead)
DRAWN_FIRST = """
measure          |                  | 2/4/8    | d  | 900
resolve geometry | measure          | 3/6/12   | d  | 1400
drawing          | resolve geometry | 2/4/10   | d  | 800
approval         | drawing          | 1/3/8    | wd | 300
"""

TEMPLATES = {
    "gear": """
enquiry          | approval         | 5/10/20  | d  | 180
bar              | enquiry          | 3/8/20   | d  | 1100
hob tool         | enquiry          | 4/10/25  | d  | 1600
rough turn       | bar              | 2/4/8    | d  | 700
normalise        | rough turn       | 2/4/7    | d  | 250
hob teeth        | normalise+hob tool | 2/5/10 | d  |
carburise        | hob teeth        | 5/9/18   | d  |
hard turn        | carburise        | 2/4/8    | d  |
grind teeth      | hard turn        | 3/6/14   | d  |
keyway           | hard turn        | 1/2/4    | d  |
inspect          | grind teeth+keyway | 1/3/6  | d  |
ship             | inspect          | 2/4/10   | d  |
""",
    "pinion": """
enquiry          | approval         | 5/9/16   | d  | 180
bar              | enquiry          | 3/7/14   | d  | 600
rough turn       | bar              | 2/3/6    | d  | 400
hob teeth        | rough turn       | 2/4/8    | d  |
carburise        | hob teeth        | 5/8/14   | d  |
grind teeth      | carburise        | 3/5/11   | d  |
keyway           | carburise        | 1/2/4    | d  |
inspect          | grind teeth+keyway | 1/3/6  | d  |
ship             | inspect          | 2/4/8    | d  |
""",
    "ring": """
enquiry          | approval         | 5/8/15   | d  | 180
ring forging     | enquiry          | 15/24/40 | d  | 2400
rough turn       | ring forging     | 2/4/8    | d  | 900
hob teeth        | rough turn       | 2/5/9    | d  |
harden           | hob teeth        | 2/4/8    | d  |
inspect          | harden           | 1/3/6    | d  |
ship             | inspect          | 2/4/8    | d  |
""",
    "worm": """
enquiry          | approval         | 4/7/14   | d  | 180
bar for worm     | enquiry          | 2/5/10   | d  | 300
bronze casting   | enquiry          | 8/14/25  | d  | 1500
grind worm       | bar for worm     | 3/6/10   | d  |
cut wheel        | bronze casting   | 3/5/8    | d  |
match set        | grind worm+cut wheel | 1/2/4 | d |
ship             | match set        | 2/3/6    | d  |
""",
    "load brake": """
enquiry          | approval         | 4/7/14   | d  | 180
ratchet          | enquiry          | 8/14/24  | d  | 900
screw            | enquiry          | 7/12/20  | d  | 700
friction discs   | enquiry          | 4/8/15   | d  | 300
assemble         | ratchet+screw+friction discs | 1/2/4 | d |
ship             | assemble         | 2/3/6    | d  |
""",
    "wheel": """
enquiry          | approval         | 2/4/8    | d  | 180
blank            | enquiry          | 4/10/20  | d  | 350
rough turn       | blank            | 1/2/4    | d  | 200
harden tread     | rough turn       | 2/4/8    | d  |
finish turn      | harden tread     | 1/3/6    | d  |
press bearings   | finish turn      | 1/1/3    | d  |
ship             | press bearings   | 2/3/6    | d  |
""",
    "shaft": """
enquiry          | approval         | 2/4/8    | d  | 180
bar              | enquiry          | 2/6/12   | d  | 400
turn             | bar              | 1/3/6    | wd | 350
quench and temper | turn            | 2/4/7    | d  |
grind            | quench and temper | 1/2/5   | wd |
keyway           | grind            | 1/1/2    | wd |
inspect          | keyway           | 1/1/3    | d  |
ship             | inspect          | 2/3/6    | d  |
""",
    "drum": """
enquiry          | approval         | 4/8/14   | d  | 180
shell            | enquiry          | 12/20/32 | d  | 2600
weld and relieve | shell            | 4/7/12   | d  | 1400
groove           | weld and relieve | 4/7/12   | d  |
journals         | weld and relieve | 3/5/9    | d  |
inspect          | groove+journals  | 1/3/5    | d  |
ship             | inspect          | 2/4/8    | d  |
""",
    "brake drum": """
enquiry          | approval         | 2/4/8    | d  | 180
casting          | enquiry          | 6/12/22  | d  | 300
turn             | casting          | 1/2/4    | wd | 150
balance          | turn             | 1/1/2    | wd |
ship             | balance          | 2/3/6    | d  |
""",
    "contactor": """
strip pattern    |                  | 1/2/4    | d  | 200
castings         | strip pattern    | 12/24/40 | d  | 900
wind coil        | strip pattern    | 4/8/14   | d  | 150
assemble         | castings+wind coil | 2/4/7  | wd |
test             | assemble         | 1/1/3    | wd |
ship             | test             | 2/3/6    | d  |
""",
    "contacts": """
press tips       |                  | 4/8/15   | d  | 120
arc chute        |                  | 5/10/18  | d  | 160
fit and pack     | press tips+arc chute | 1/2/4 | wd |
ship             | fit and pack     | 2/3/6    | d  |
""",
    "rewind": """
collect          |                  | 1/1/3    | d  |
strip            | collect          | 1/2/4    | wd |
wind             | strip            | 3/6/12   | wd |
varnish and bake | wind             | 2/3/5    | d  |
commutator       | strip            | 4/8/16   | wd |
assemble and test | varnish and bake+commutator | 1/2/4 | wd |
ship             | assemble and test | 1/2/4   | d  |
""",
}

# operations that are done: those of the left hand gears of A2, and blanks that lie ready
DRAWN_AHEAD = ("GEAR-HS-A2", "PIN-HS-A2", "GEAR-IM-A2", "PIN-IM-A2", "GEAR-LS-A2", "PIN-LS-A2")
BLANKS_READY = {"WHD-P": ("enquiry", "blank", "rough turn"), "FSH-BM": ("enquiry", "bar")}
LASTING = ("measure", "resolve geometry", "drawing", "approval", "hob tool", "strip pattern")
# sizes: the great low-speed gear of A1 takes the full time of its template
FULL_SIZE = ("GEAR-LS-A1",)


def route_of(part: str) -> str | None:
    """The name of the route by which a part is made, where its kind has one."""
    template = kind_of(part).template
    return f"{template} for {part}" if template else None


def routes(every: Iterable[Part]) -> list[Operation]:
    found = [operation for part in every for operation in _route(part)]
    return found + list(_operations("motor rewind", TEMPLATES["rewind"], 1.0, ()))


def _route(part: Part) -> Iterator[Operation]:
    name, template = route_of(part.part), kind_of(part.part).template
    if name is None:
        return
    text, ahead = TEMPLATES[template], part.part in DRAWN_AHEAD
    done: tuple[str, ...] = BLANKS_READY.get(part.part, ())
    if part.drawing is False or ahead:
        text = DRAWN_FIRST + text
    if ahead:
        done = ("measure", "resolve geometry", "drawing", "approval")
    size = 1.0 if part.part in FULL_SIZE else chance("size", part.part).uniform(0.82, 0.98)
    yield from _operations(name, text, size, done)


def _operations(name: str, text: str, size: float, done: tuple[str, ...]) -> Iterator[Operation]:
    table = list(rows(text))
    present = {cells[0] for cells in table}
    for operation, after, days, unit, cost in table:
        low, likely, high = (max(0.5, round(d * size * 2) / 2) for d in three_points(days))
        ahead = cost != ""
        kept = "+".join(before for before in after.split("+") if before in present)
        yield Operation(
            route=name,
            operation=operation,
            after=kept or None,
            low=low,
            likely=likely,
            high=high,
            unit=unit,
            ahead=ahead,
            ahead_cost=float(cost) if ahead else None,
            ahead_lasts=operation in LASTING if ahead else None,
            done=operation in done,
        )
