"""The positions of every crane, made from the outlines."""

from __future__ import annotations

import datetime

from demo import outlines
from demo.cranes import commissioned
from demo.tables import Line, day, outline
from demo.wear import put_in
from parts.records.structure import Position


def _hoist(h: str, s: str, rope: str, drive: str, **other: str) -> str:
    facts = {"g": s, "e": s, "lining": "LIN-315", "reducer": "", "limit": f"LIM-ROT-{s}"}
    facts |= {"h": h, "s": s, "rope": rope, "drive": drive, "b": "bottom block", "u": ""} | other
    text = outlines.HOIST.replace("{h} block\n", outlines.BLOCK.lstrip("\n"))
    return text.format(**facts)


def _twin(tag: str) -> str:
    return (
        _hoist("hoist", "A", "2024-08-19", "2011-07-04", g=tag)
        + outlines.TROLLEY.format(t="", s="A", e="75", drive="2011-07-04")
        + outlines.BRIDGE.format(
            s="A", e="75", drive="2011-07-04", bar="4", bump="125", wheels="2008-04-14"
        )
        + outlines.STATION.format(s="A")
    )


def _main_and_auxiliary() -> str:
    return (
        _hoist(
            "main hoist", "BM", "2022-03-14", "2009-03-16", e="G2", reducer=" : RED-BM | 40 LB",
            b="main bottom block", u="main ", limit="LIM-ROT-B",
        )
        + _hoist(
            "aux hoist", "BA", "2025-02-10", "2009-03-16", e="G2", reducer=" : RED-BA | 32 LB",
            b="aux bottom block", u="aux ", limit="LIM-ROT-B", lining="LIN-250",
        )
        + outlines.TROLLEY.format(t="", s="B", e="G2", drive="2009-03-16")
        + outlines.BRIDGE.format(
            s="B", e="G2", drive="2009-03-16", bar="B", bump="125", wheels="2009-03-16"
        )
        + outlines.B1_STATION.format(s="B")
    )  # fmt: skip


def _twin_trolleys() -> str:
    text = ""
    for side in ("east", "west"):
        text += _hoist(
            f"{side} hoist", "P", "2025-06-16", "2013-08-05", e="G2", lining="LIN-250",
            reducer=" : RED-P | 44 LB", b=f"{side} bottom block", u=f"{side} ", limit="LIM-ROT-B",
        )  # fmt: skip
        text += outlines.DRUM_BRAKE.format(t=side)
        text += outlines.TROLLEY.format(t=f"{side} ", s="P", e="G2", drive="2013-08-05")
    return (
        text
        + outlines.BRIDGE.format(
            s="P", e="G2", drive="2013-08-05", bar="B", bump="H", wheels="2017-08-07"
        ).replace("  trolley bumper #1-2 ", "  trolley bumper #1-4 ")
        + outlines.B2_STATION.format(s="P")
    )


def _texts() -> dict[str, str]:
    c1 = outlines.PACKAGED.format(rope="2023-09-11", radio="RAD-G2", battery="BAT-G2")
    c2 = outlines.PACKAGED.format(rope="2022-10-03", radio="RAD-G3", battery="BAT-G3")
    return {
        "A1": _twin("A1"),
        "A2": _twin("A2"),
        "B1": _main_and_auxiliary(),
        "B2": _twin_trolleys(),
        "C1": c1,
        "C2": c2,
        "D1": outlines.CONTACTOR_CRANE,
        "D2": outlines.CONTACTOR_CRANE,
    }


def positions() -> list[Position]:
    """Every position of the site, in the order of the outlines."""
    since = commissioned()
    return [
        position
        for tag, text in _texts().items()
        for position in _of_crane(tag, outline(text + outlines.EXTRAS[tag]), since[tag])
    ]


def _of_crane(tag: str, lines: list[Line], since: datetime.date) -> list[Position]:
    above: list[str] = []
    found = []
    for line in lines:
        del above[line.depth :]
        on, rate = line.fact("on"), line.fact("rate")
        # no day precedes the crane: twins share outlines but not birthdays
        fitted = max(day(on), since) if on else put_in(tag, line.name, line.part or "", since)
        found.append(
            Position(
                crane=tag,
                position=line.name,
                parent=above[-1] if above else None,
                part=line.part,
                qty=line.qty,
                installed=fitted if line.part else None,
                hours_at_install=0.0 if line.part and fitted == since else None,
                exchange_hours=line.hours,
                load_bearing="LB" in line.words,
                failures_per_year=float(rate) if rate else None,
            )
        )
        above.append(line.name)
    return found
