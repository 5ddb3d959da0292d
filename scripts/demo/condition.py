"""What was measured and how the hoists were used; and the upgrades that are thought about."""

from __future__ import annotations

from demo.tables import day, rows
from parts.records.history import Duty, Observation, Upgrade, UpgradeEffect

# crane | mechanism | group | running hours a year | km | spectrum | hours used | method factor
DUTY = """
A1 | hoist       | M5 | 520 |      | 1:0.1+0.75:0.2+0.5:0.3+0.25:0.3+0.1:0.1 | 14820 | 1.1
A2 | hoist       | M5 | 95  |      | 1:0.05+0.75:0.15+0.5:0.3+0.25:0.4+0.1:0.1 | 2660 | 1.1
B1 | main hoist  | M4 | 110 | 0.25 | | 1950 | 1.1
B1 | aux hoist   | M6 | 430 | 0.25 | | 7600 | 1.1
B2 | east hoist  | M6 | 485 | 0.25 | | 11400 | 1.0
B2 | west hoist  | M6 | 455 | 0.25 | | 10700 | 1.0
C1 | hoist       | M4 | 140 | 0.63 | | 1060 | 1.2
C2 | hoist       | M4 | 110 | 0.25 | | 1330 | 1.2
D1 | hoist       | M5 | 120 | 0.25 | | 4300 | 1.5
"""

# crane | position | day | what | value | by
OBSERVED = """
A1 | bridge drive wheel 1 | 2024-08-12 | wheel_hardness_hb | 415 | crane service firm
A1 | bridge drive wheel 1 | 2024-08-12 | rail_hardness_hb | 290 | crane service firm
A1 | bridge drive wheel 1 | 2026-04-13 | tread_wear_pct | 38 | crane service firm
A1 | bridge drive wheel 2 | 2026-04-13 | tread_wear_pct | 12 | crane service firm
A1 | bridge idler wheel 1 | 2024-08-12 | wheel_hardness_hb | 275 | crane service firm
A1 | bridge idler wheel 1 | 2024-08-12 | rail_hardness_hb | 290 | crane service firm
A1 | hoist motor | 2025-11-24 | hours_meter | 2930 | electrician
A1 | hoist motor | 2026-10-26 | hours_meter | 3410 | electrician
A1 | conductor bar 1 | 2025-02-10 | conductors | 4 | electrician
A1 | conductor bar 1 | 2025-02-10 | ground_conductor | yes | electrician
A2 | hoist motor | 2026-10-26 | hours_meter | 2640 | electrician
B1 | aux hoist motor | 2026-10-05 | hours_meter | 3790 | electrician
B1 | conductor bar 1 | 2025-02-11 | conductors | 4 | electrician
B1 | conductor bar 1 | 2025-02-11 | ground_conductor | yes | electrician
B2 | bridge drive wheel 1 | 2025-06-02 | wheel_hardness_hb | 300 | crane service firm
B2 | bridge drive wheel 1 | 2025-06-02 | rail_hardness_hb | 310 | crane service firm
B2 | east hoist motor | 2026-10-05 | hours_meter | 11340 | electrician
B2 | west hoist motor | 2026-10-05 | hours_meter | 10650 | electrician
D1 | conductor bar 1 | 2025-02-12 | conductors | 3 | electrician
B1 | trolley travel drive | 2026-11-23 | last_powered | 2026-11-23 | electrician
B1 | bridge travel drive 1 | 2026-11-23 | last_powered | 2026-11-23 | electrician
C1 | packaged hoist | 2026-06-15 | brake_air_gap_mm | 0.9 | crane service firm
"""

# upgrade | title | cost | lead days | days down | life
UPGRADES = """
U1 | radio of the present band on C1 | 5200 | 25 | 1 | 8
U2 | new hoist drive and motor control on A1 | 46000 | 90 | 5 | 12
U3 | packaged hoist of the present kind on C1 | 24000 | 75 | 3 | 15
U4 | four-bar insulated power feed on D1 | 38000 | 90 | 4 | 20
U5 | self-adjusting hoist brakes on A1 | 17000 | 60 | 2 | 15
U6 | alternating current motors and drives on D1 | 165000 | 200 | 12 | 20
U7 | a new crane in place of D1 | 620000 | 360 | 20 | 30
U8 | hardened wheels in matched sets and runway repair under A1 | 52000 | 80 | 4 | 15
"""

# upgrade | crane | position | new part | factor on failures
EFFECTS = """
U1 | C1 | radio set | RAD-G4 |
U2 | A1 | hoist drive | HDR-G3 |
U2 | A1 | hoist motor | | 0.8
U3 | C1 | packaged hoist | PKG-N |
U4 | D1 | conductor bar 1 | BAR-4 |
U4 | D1 | conductor bar 2 | BAR-4 |
U4 | D1 | conductor bar 3 | BAR-4 |
U4 | D1 | collector 1 | COL-4 |
U4 | D1 | collector 2 | COL-4 |
U4 | D1 | collector 3 | COL-4 |
U5 | A1 | hoist brake 1 | BRK-S |
U5 | A1 | hoist brake 2 | BRK-S |
U5 | A1 | hoist motor coupling | | 0.9
U6 | D1 | hoist panel | HDR-G3 |
U6 | D1 | travel panel | TDR-G3 |
U6 | D1 | rectifier | |
U6 | D1 | field reactor | |
U7 | D1 | hoist machinery | PKG-N |
U7 | D1 | bottom block | |
U7 | D1 | hoist panel | HDR-G3 |
U7 | D1 | trolley | TRD-T-B |
U7 | D1 | bridge gear | TRD-B-B |
U7 | D1 | travel panel | TDR-G3 |
U7 | D1 | power feed | BAR-B |
U8 | A1 | bridge drive wheel 1 | WHD-A |
U8 | A1 | bridge drive wheel 2 | WHD-A |
U8 | A1 | bridge drive wheel 3 | WHD-A |
U8 | A1 | bridge drive wheel 4 | WHD-A |
U8 | A1 | bridge idler wheel 1 | | 0.6
U8 | A1 | bridge idler wheel 2 | | 0.6
"""


def duty() -> list[Duty]:
    return [
        Duty(
            crane=crane,
            mechanism=mechanism,
            group=group,
            hours_per_year=float(hours),
            km=float(km) if km else None,
            spectrum=spectrum or None,
            hours_used=float(used),
            method_factor=float(factor),
        )
        for crane, mechanism, group, hours, km, spectrum, used, factor in rows(DUTY)
    ]


def observations() -> list[Observation]:
    return [
        Observation(crane=crane, position=position, date=day(on), what=what, value=value, by=by)
        for crane, position, on, what, value, by in rows(OBSERVED)
    ]


def upgrades() -> list[Upgrade]:
    return [
        Upgrade(
            upgrade=key,
            title=title,
            cost=float(cost),
            lead_days=float(lead),
            down_days=float(down),
            life_years=float(life),
        )
        for key, title, cost, lead, down, life in rows(UPGRADES)
    ]


def effects() -> list[UpgradeEffect]:
    return [
        UpgradeEffect(
            upgrade=key,
            crane=crane,
            position=position,
            new_part=part or None,
            failures_factor=float(factor) if factor else None,
        )
        for key, crane, position, part, factor in rows(EFFECTS)
    ]
