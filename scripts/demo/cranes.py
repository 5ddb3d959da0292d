"""The site, its cranes and what each must do: the functions and what they need."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterator

from demo.tables import day, names, rows
from parts.records.site import Holiday, Score, Setting
from parts.records.structure import Crane, Function, Need
from parts.records.supply import Currency

SITE = """
currency               | EUR
hours_per_day          | 16
default_exchange_hours | 8
donors                 | yes
working_week           | 1111100
holding_rate           | 0.2
discount_rate          | 0.08
confidence             | 0.8
records_from           | 2016-12-01
horizon_years          | 15
"""

SCORES = """
age       | 0.3  | 0:0+0.5:20+1:70+1.5:100
lead_time | 0.35 | 7:0+30:25+90:55+180:80+365:100
sources   | 0.35 | 0:100+1:75+2:40+3:15+4:0
"""

CURRENCIES = """
GBP | 1.15 | 2026-10-30
USD | 0.92 | 2026-10-30
"""

HOLIDAYS = """
01-01 | new year
05-01 | first of May
12-25 | winter holiday
12-26 | second winter holiday
"""

# Hours are those that the busiest hoist runs, not shift hours; lives in hours count in them.
# crane | name | bay | t | group | commissioned | retires | hours a year | cost a day | covered
CRANES = """
A1 | Vellmarsh (invented site): forge bay lead crane, 25 t, bottleneck | A | 25 | M5 \
| 1998-05-11 | | 520 | 18000 | 0.35
A2 | Vellmarsh (invented site): forge bay twin of A1, 25 t, standby | A | 25 | M5 \
| 1998-09-21 | | 95 | 18000 | 0.85
B1 | Vellmarsh (invented site): coil bay main and auxiliary, 50/10 t | B | 50 | M4 \
| 2009-03-16 | | 430 | 9000 | 0.3
B2 | Vellmarsh (invented site): coil bay twin trolley process crane, 2 x 20 t | B | 40 | M6 \
| 2003-06-02 | | 485 | 14000 | 0.2
C1 | Vellmarsh (invented site): finishing bay packaged hoist, 8 t | C | 8 | M4 \
| 2012-02-13 | | 140 | 2500 | 0.6
C2 | Vellmarsh (invented site): finishing bay packaged hoist, 8 t, younger sister of C1 | C | 8 \
| M4 | 2014-10-06 | | 110 | 2200 | 0.6
D1 | Vellmarsh (invented site): old machine bay, direct current and contactors, 15 t | D | 15 \
| M5 | 1971-04-19 | 2034-12-31 | 120 | 4000 | 0.1
D2 | Vellmarsh (invented site): retired sister of D1, kept as a donor | D | 15 | M5 \
| 1969-10-06 | 2022-06-30 | | |
"""

# crane | function | share of work lost | what it needs, `;` between; `2 of a, b, c` is a group.
# A line without a share is a position that says which of its own positions it can spare.
NEEDS = """
A1 A2 | hoisting | 1 | hoist machinery; hoist electrics; hoist limit; control; electric power
A1 A2 | load holding | 1 | 1 of hoist brake 1, hoist brake 2; hoist reducer; hoist drum; \
hoist rope; bottom block; structure
A1 A2 | trolley travel | 0.6 | trolley; control; electric power
A1 A2 | full trolley speed | 0.1 | trolley drive 1; trolley drive 2
A1 A2 | bridge travel | 1 | bridge gear; control; electric power
A1 A2 | full bridge speed | 0.2 | bridge drive 1; bridge drive 2; bridge drive 3; bridge drive 4
B1 | main hoisting | 0.8 | main hoist machinery; main hoist electrics; main upper limit; control; \
electric power
B1 | load holding | 1 | 1 of main hoist brake 1, main hoist brake 2; main hoist reducer; \
main hoist drum; main hoist rope; main bottom block; structure
B1 | auxiliary hoisting | 0.5 | aux hoist machinery; aux hoist electrics; aux bottom block; \
aux upper limit; \
control; electric power
B1 | trolley travel | 0.6 | trolley; control; electric power
B1 | full trolley speed | 0.1 | trolley drive 1; trolley drive 2
B1 | bridge travel | 1 | bridge gear; control; electric power
B1 | full bridge speed | 0.2 | bridge drive 1; bridge drive 2; bridge drive 3; bridge drive 4
B2 | east hoisting | 0.5 | east hoist machinery; east hoist electrics; east upper limit; \
control; electric power
B2 | west hoisting | 0.5 | west hoist machinery; west hoist electrics; west upper limit; \
control; electric power
B2 | tandem lifting | 0.4 | east hoisting; west hoisting; east trolley travel; west trolley travel
B2 | east load holding | 1 | 2 of east hoist brake 1, east hoist brake 2, east drum brake; \
east hoist reducer; east hoist drum; east hoist rope; east bottom block; structure
B2 | west load holding | 1 | 2 of west hoist brake 1, west hoist brake 2, west drum brake; \
west hoist reducer; west hoist drum; west hoist rope; west bottom block; structure
B2 | east trolley travel | 0.3 | east trolley; control; electric power
B2 | west trolley travel | 0.3 | west trolley; control; electric power
B2 | bridge travel | 1 | bridge gear; control; electric power
B2 | full bridge speed | 0.15 | bridge drive 1; bridge drive 2; bridge drive 3; bridge drive 4
C1 C2 | hoisting | 1 | packaged hoist; hoist limit; control; electric power
C1 C2 | load holding | 1 | packaged hoist; structure
C1 C2 | trolley travel | 0.7 | trolley; control; electric power
C1 C2 | bridge travel | 1 | bridge gear; control; electric power
D1 D2 | hoisting | 1 | hoist machinery; hoist panel; hoist limit; control; electric power
D1 D2 | load holding | 1 | 1 of hoist brake, hoist load brake; hoist gear case; hoist drum; \
hoist rope; bottom block; structure
D1 D2 | trolley travel | 0.7 | trolley; travel panel; control; electric power
D1 D2 | bridge travel | 1 | bridge gear; travel panel; control; electric power
A1 A2 B1 B2 C1 C2 D1 D2 | control | 1 | operator station
A1 A2 B1 B2 C1 C2 D1 D2 | electric power | 1 | power feed
A1 A2 B1 B2 C1 C2 D1 D2 | emergency stop | 1 | stop circuit; main switch
A1 A2 C1 C2 D1 D2 | hoist limit | 1 | upper limit
A1 A2 B1 B2 C1 C2 D1 D2 | travel limits | 0.3 | end stops
A1 A2 B1 B2 C1 C2 D1 D2 | structure | 1 | bridge structure
A1 A2 B1 B2 C1 C2 D1 D2 | lights and access | 0.05 | light and access
A1 A2 B1 B2 | load display | 0.15 | load weighing
A1 | lift recording | 0.02 |
A1 A2 B1 B2 | bridge gear | | 2 of bridge drive 1..4; 1 of bridge travel drive 1..2
A1 A2 B1 | trolley | | 1 of trolley drive 1..2
A1 A2 B1 | bridge drive 1 | | bridge travel drive 1
A1 A2 B1 | bridge drive 3 | | bridge travel drive 1
A1 A2 B1 | bridge drive 2 | | bridge travel drive 2
A1 A2 B1 | bridge drive 4 | | bridge travel drive 2
A1 A2 C1 C2 | operator station | | 1 of radio set, pendant
B1 | operator station | | 1 of radio set, spare radio set
B2 | operator station | | 1 of cab master switch, radio set
A1 A2 B1 B2 | power feed | | 1 of collector 1, collector 5; 1 of collector 2, collector 6; \
1 of collector 3, collector 7; 1 of collector 4, collector 8
A1 A2 B1 B2 C1 C2 | light and access | | 2 of bridge light 1..4
"""


def settings() -> list[Setting]:
    return [Setting(key=key, value=value) for key, value in rows(SITE)]


def scores() -> list[Score]:
    return [Score(driver=d, weight=float(w), points=points) for d, w, points in rows(SCORES)]


def currencies() -> list[Currency]:
    return [Currency(currency=c, rate=float(r), dated=day(d)) for c, r, d in rows(CURRENCIES)]


def holidays() -> list[Holiday]:
    return [
        Holiday(date=day(f"{year}-{on}"), name=name)
        for year in range(2025, 2030)
        for on, name in rows(HOLIDAYS)
    ]


def cranes() -> list[Crane]:
    return [_crane(cells) for cells in rows(CRANES)]


def _crane(cells: list[str]) -> Crane:
    crane, name, bay, tonnes, group, commissioned, retires, hours, cost, cover = cells
    return Crane(
        crane=crane,
        name=name,
        bay=bay,
        capacity_t=float(tonnes),
        duty_group=group,
        commissioned=day(commissioned),
        retire_on=day(retires) if retires else None,
        hours_per_year=float(hours) if hours else None,
        down_cost_per_day=float(cost) if cost else None,
        cover_share=float(cover or 0),
    )


def commissioned() -> dict[str, datetime.date]:
    return {crane.crane: crane.commissioned for crane in cranes() if crane.commissioned}


def functions() -> list[Function]:
    return [
        Function(crane=crane, function=name, lost_share=float(share))
        for crane, name, share, _ in _lines()
        if share
    ]


def needs() -> list[Need]:
    return [need for crane, item, _, text in _lines() for need in _needs(crane, item, text)]


def _lines() -> Iterator[tuple[str, str, str, str]]:
    for tags, item, share, text in rows(NEEDS):
        for crane in tags.split():
            yield crane, item, share, text


def _needs(crane: str, item: str, text: str) -> Iterator[Need]:
    seen: Counter[str] = Counter()
    for part in filter(None, (p.strip() for p in text.split(";"))):
        head, found, members = part.partition(" of ")
        if not (found and head.isdigit()):
            yield Need(crane=crane, item=item, needs=part)
            continue
        among = names(members)
        group = f"{head} of {len(among)}"
        seen[group] += 1
        if seen[group] > 1:
            group += f", no. {seen[group]}"
        for member in among:
            yield Need(crane=crane, item=item, needs=member, group=group, at_least=int(head))
