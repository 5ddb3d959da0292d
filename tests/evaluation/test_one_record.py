"""Changing one record changes exactly the figures that depend on it; all others stay the same to
the last digit.

A site of two cranes, worked out so that it is plain what hangs on what:

    K (bay A)  hoist gear GEAR takes PINION along; box BOX holds shaft SHAFT; drives DRIVE, twins
    L (bay A)  hoist gear GEAR; lamp LAMP; pump PUMP, whose seal SEAL goes by chance
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from rows import FILE_OF, SHOP, TODAY, book_of, new, seat, stock

from parts.cli import documents
from parts.records.book import Book
from parts.records.catalogue import Companion, Part, PartClass
from parts.records.history import Duty, Failure
from parts.records.site import Score, Setting
from parts.records.snapshot import snapshot_of
from parts.records.stock import Reservation
from parts.records.structure import Crane, Function, Need
from parts.records.supply import Notice
from parts.services import risks
from parts.services.outages import outage

Path = tuple[str, ...]  # answer, kind of row, its name, field


def site() -> Book:
    return book_of(
        Setting(key="records_from", value="2016-11-25"),
        *scores(),
        PartClass(part_class="drives", market_shape=2.0, market_scale=20.0),
        *(Crane(crane=name, bay="A", commissioned=date(2005, 1, 1), hours_per_year=1000.0,
                down_cost_per_day=cost, cover_share=0.3) for name, cost in COSTS.items()),
        Function(crane="K", function="hoisting", lost_share=1.0),
        Function(crane="K", function="travel", lost_share=1.0),
        Function(crane="L", function="hoisting", lost_share=1.0),
        Function(crane="L", function="light", lost_share=0.1),
        seat("gear", "GEAR", None, installed=date(2005, 1, 1)),
        seat("box", "BOX", None),
        seat("shaft", "SHAFT", 0.3, parent="box"),
        seat("drive 1", "DRIVE", None, installed=date(2010, 1, 1)),
        seat("drive 2", "DRIVE", None, installed=date(2012, 1, 1)),
        seat("gear", "GEAR", None, crane="L", installed=date(2006, 1, 1)),
        seat("lamp", "LAMP", 0.2, crane="L"),
        seat("pump", "PUMP", 0.4, crane="L"),
        *(Need(crane="K", item="hoisting", needs=name) for name in ("gear", "box")),
        *(Need(crane="K", item="travel", needs=name, group="drives", at_least=1)
          for name in ("drive 1", "drive 2")),
        *(Need(crane="L", item="hoisting", needs=name) for name in ("gear", "pump")),
        Need(crane="L", item="light", needs="lamp"),
        Part(part="GEAR", failures_per_year=0.1), Part(part="PINION"), Part(part="BOX"),
        Part(part="SHAFT"), Part(part="LAMP"), Part(part="PUMP"), Part(part="SEAL"),
        Part(part="DRIVE", part_class="drives", failures_per_year=0.2,
             introduced=date(2010, 1, 1), default_lead_days=300.0),
        Companion(part="GEAR", companion="PINION"),
        Companion(part="PUMP", companion="SEAL", chance=0.5),
        SHOP, new("GEAR", 80), new("PINION", 60), new("BOX", 120), new("SHAFT", 50),
        new("DRIVE", 40), new("LAMP", 3), new("PUMP", 20), new("SEAL", 30),
        *(stock(part, 1) for part in ("GEAR", "PINION", "PUMP", "SEAL")),
        Failure(crane="K", position="drive 1", failed_on=date(2020, 2, 2),
                restored_on=date(2020, 3, 1)),
        Duty(crane="K", mechanism="hoist", group="M5", km=0.5, hours_used=800.0,
             hours_per_year=100.0),
        Duty(crane="L", mechanism="hoist", group="M4", km=0.25, hours_used=800.0,
             hours_per_year=100.0),
    )  # fmt: skip


COSTS = {"K": 1000.0, "L": 400.0}


def scores(**weights: float) -> list[Score]:
    usual = {"age": 0.3, "sources": 0.35, "lead_time": 0.35}
    points = {"age": "0:0+1:100", "sources": "0:100+3:0", "lead_time": "0:0+100:100"}
    return [
        Score(driver=name, weight=weights.get(name, usual[name]), points=points[name])
        for name in usual
    ]


# Figures and what of them changes ---------------------------------------------------------------


def figures(book: Book) -> dict[Path, Any]:
    """Every figure of the three answers under its own name, as the documents give it."""
    snapshot = snapshot_of(book, TODAY)
    fleet = outage(snapshot)
    exposed = risks.exposures(snapshot, fleet)
    found: dict[Path, Any] = {}
    for document in (
        {"risks": documents.risks(risks.risks(exposed))},
        {"likely": documents.likely(risks.likely(exposed))},
        {"outage": documents.outage(fleet, exposed, 2)},
    ):
        for answer, tables in json.loads(json.dumps(document)).items():
            for kind, rows in tables.items():
                for row in rows if isinstance(rows, list) else []:
                    for path, value in flat(row):
                        found[(answer, kind, name_of(kind, row), path)] = value
    return found


def name_of(kind: str, row: dict[str, Any]) -> str:
    if kind == "parts":
        return str(row["part"])
    if kind == "cranes":
        return str(row["crane"])
    return f"{row['crane']}/{row.get('position') or row.get('mechanism')}"


def flat(row: dict[str, Any], before: str = "") -> Iterator[tuple[str, Any]]:
    for key, value in row.items():
        if isinstance(value, dict):
            yield from flat(value, f"{before}{key}.")
        elif key == "importance":
            for each in value:
                yield from flat(each, f"{each['position']}.")
        else:
            yield f"{before}{key}", value


# Sentences and how firm a place is say the same things in other words.
ASIDE = ("top10_share", "next_part", "ahead_share", "sentences", "notes")


def changed(before: Book, after: Book) -> set[Path]:
    was, is_now = figures(before), figures(after)

    assert was.keys() == is_now.keys()
    return {path for path in was if was[path] != is_now[path] and not path[3].startswith(ASIDE)}


def with_row(row: Any, **facts: Any) -> Book:
    """The site with one row in another state."""
    book = site()
    rows = book[FILE_OF[type(row)]]
    rows[rows.index(row)] = replace(row, **facts)
    return book


def with_more(row: Any) -> Book:
    book = site()
    book[FILE_OF[type(row)]].append(row)
    return book


def without(row: Any) -> Book:
    book = site()
    book[FILE_OF[type(row)]].remove(row)
    return book


def row_of(file: str, **facts: Any) -> Any:
    """The one row of a file that has these facts."""
    (found,) = [
        row
        for row in site()[file]
        if all(getattr(row, name) == value for name, value in facts.items())
    ]
    return found


# What changes, by answer, kind of row and row ---------------------------------------------------

EXPOSURE = {"exposure_days", "exposure_cost"}
RESTORE = {"expected_restore_days", *EXPOSURE}
WAIT = {"expected_wait_days", *RESTORE}
TODAY_TOO = {"restore_days", "lost_days", "cost", "long_pole"}
CHANCE = {"unavailability", "criticality", "fussell_vesely"}
Expected = dict[str, set[str]]


def importance(changed: str, *others: str) -> set[str]:
    """The position whose unavailability moves, and the others, whose Birnbaum does."""
    whole = {"unavailability", "lost_days_per_year"}
    own = {f"{changed}.{figure}" for figure in CHANCE}
    return whole | own | {
        f"{other}.{figure}"
        for other in others
        for figure in ("birnbaum", "criticality", "fussell_vesely")
    }  # fmt: skip


def of_gears(*, today_too: bool = False, waits_for: bool = False) -> Expected:
    """What hangs on how long a gear takes, on both cranes."""
    named = {"waits_for"} if waits_for else set()
    more = TODAY_TOO | {"waits_for"} if today_too else set()
    return {
        "likely positions K/gear": WAIT | named,
        "likely positions L/gear": WAIT | named,
        "outage positions K/gear": RESTORE | more,
        "outage positions L/gear": RESTORE | more,
        "outage cranes K": importance("gear", "drive 1", "drive 2", "shaft"),
        "outage cranes L": importance("gear", "pump"),
        "risks parts GEAR": EXPOSURE | named | ({"worst_lost_days"} if today_too else set()),
    }


def of_drives() -> Expected:
    """What hangs on how often drives fail."""
    moved = {"failures_next_year", "weight", *EXPOSURE}
    return {
        "likely parts DRIVE": {"demand_per_year", "rate_mean", "rate_low", "rate_high"},
        **{f"{answer} positions K/drive {n}": moved for answer in ("likely", "outage")
           for n in (1, 2)},
        "outage cranes K": importance("drive 1", "drive 2", "gear", "shaft")
        | importance("drive 2", "drive 1"),
        "risks parts DRIVE": {"failures_next_year", "drivers.age", "supply_score", *EXPOSURE},
    }  # fmt: skip


def of_the_lamp() -> Expected:
    """The lamp stops no crane, so only the lost days of L hang on it."""
    return {
        "likely positions L/lamp": WAIT,
        "outage positions L/lamp": RESTORE | TODAY_TOO,
        "outage cranes L": {"lamp.unavailability", "lost_days_per_year"},
        "risks parts LAMP": EXPOSURE | {"worst_lost_days"},
    }


def of_its_share(*more: str) -> Expected:
    return {
        "likely positions L/lamp": {"weight", *EXPOSURE},
        "outage positions L/lamp": {"weight", "lost_share", "lost_days", "cost", *EXPOSURE, *more},
        "outage cranes L": {"lost_days_per_year"},
        "risks parts LAMP": EXPOSURE | {"worst_lost_days"},
    }


def of_money() -> Expected:
    places = ("gear", "lamp", "pump")
    return {
        **{f"likely positions L/{name}": {"exposure_cost"} for name in places},
        **{f"outage positions L/{name}": {"exposure_cost", "cost"} for name in places},
        **{f"risks parts {part}": {"exposure_cost"} for part in ("GEAR", "LAMP", "PUMP")},
    }


def together(*parts: Expected) -> Expected:
    found: Expected = {}
    for part in parts:
        for row, fields in part.items():
            found[row] = found.get(row, set()) | fields
    return found


def reweighed() -> Book:
    book = site()
    book.rows["scores"] = scores(age=0.5, sources=0.25, lead_time=0.25)
    return book


DRIVE_FAILED = Failure(
    crane="K", position="drive 2", failed_on=date(2021, 1, 1), restored_on=date(2021, 1, 5)
)
LAMP_FAILED = Failure(crane="L", position="lamp", failed_on=date(2021, 1, 1))
DRIVE_ENDS = Notice(
    part="DRIVE", notice_on=date(2026, 1, 1), kind="discontinuance", last_buy_on=date(2029, 6, 30)
)
CHANGES: dict[str, tuple[Book, Expected]] = {
    "an offer of a lamp takes a day longer": (
        with_row(row_of("offers", part="LAMP"), likely=4.0),
        together(
            of_the_lamp(), {"risks parts LAMP": {"drivers.lead_time", "supply_score"}}
        ),
    ),
    # The pinion now comes after the gear; today both lie in stock, so today nothing changes.
    "an offer of a companion takes longer": (
        with_row(row_of("offers", part="PINION"), likely=95.0), of_gears(waits_for=True),
    ),
    "a lamp is received": (
        with_more(stock("LAMP", 1, key="one more")),
        together(of_the_lamp(), {"outage positions L/lamp": {"waits_for"}}),
    ),
    "a second gear is received": (
        with_more(stock("GEAR", 1, key="one more")), of_gears(waits_for=True),
    ),
    "the gear is promised away": (
        with_more(Reservation(part="GEAR", qty=1, for_="overhaul")), of_gears(today_too=True),
    ),
    "a drive failed once more": (with_more(DRIVE_FAILED), of_drives()),
    "a lamp failed, whose position has a rate of its own": (with_more(LAMP_FAILED), {}),
    "a day of crane L costs more": (
        with_row(row_of("cranes", crane="L"), down_cost_per_day=500.0), of_money(),
    ),
    "more is lost without light": (
        with_row(row_of("functions", function="light"), lost_share=0.2), of_its_share(),
    ),
    "nothing needs the lamp": (
        without(row_of("needs", needs="lamp")), of_its_share("functions_lost", "state"),
    ),
    "the seal goes more often": (
        with_row(row_of("companions", part="PUMP"), chance=0.6),
        {
            "likely parts SEAL": {"demand_per_year"},
            "likely positions L/pump": WAIT,
            "outage positions L/pump": RESTORE,
            "outage cranes L": importance("pump", "gear"),
            "risks parts PUMP": EXPOSURE,
        },
    ),
    "drives are announced to end": (
        with_more(DRIVE_ENDS),
        {
            "likely parts DRIVE": {
                "obtainable.1", "obtainable.3", "obtainable.5", "obtainable.10", "jump_year",
                "closes_on", "stage",
            }
        },
    ),
    # The age of the other parts is not known, and the other two weigh alike before and after.
    "the site weighs age more": (
        reweighed(), {f"risks parts {part}": {"supply_score"} for part in ("DRIVE", "GEAR")},
    ),
    "a hoist has run longer": (
        with_row(row_of("duty", crane="K"), hours_used=900.0),
        {"likely duty K/hoist": {"used_hours", "used_share", "runs_out_on"}},
    ),
    # The shaft now comes with the box, for whose wait the shaft's failures count.
    "a box is received": (
        with_more(stock("BOX", 1, key="one more")),
        {
            "likely positions K/box": {"expected_wait_days", "expected_restore_days"},
            "likely positions K/shaft": WAIT | {"replaced", "waits_for"},
            "outage positions K/box": {"expected_restore_days", "waits_for", *TODAY_TOO},
            "outage positions K/shaft": RESTORE | TODAY_TOO | {"replaced", "fitted", "waits_for"},
            "outage cranes K": importance("shaft", "gear", "drive 1", "drive 2"),
            "risks parts BOX": {"worst_lost_days"},
            "risks parts SHAFT": EXPOSURE | {"worst_lost_days", "waits_for"},
        },
    ),
}  # fmt: skip


@pytest.mark.parametrize("change", CHANGES)
def test_one_record_changes_what_hangs_on_it_and_nothing_else(change: str) -> None:
    after, expected = CHANGES[change]

    found: Expected = {}
    for answer, kind, name, figure in changed(site(), after):
        found.setdefault(f"{answer} {kind} {name}", set()).add(figure)

    assert found == expected


def test_the_same_book_gives_the_same_figures_to_the_last_digit() -> None:
    assert changed(site(), site()) == set()


def test_rows_in_another_order_give_the_same_figures_to_the_last_digit() -> None:
    turned = site()
    for rows in turned.rows.values():
        rows.reverse()

    assert changed(site(), turned) == set()
