"""A sheet printed, filled in as somebody would in a spreadsheet, and entered."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

from parts.records.count_answers import CountReport, CountSheet
from parts.services import counts
from tests.services.storeroom import KEEPER, TODAY

SHEET = "2026-11-25-test"


def printed(where: str, folder: Path, **facts: Any) -> tuple[CountSheet, Path]:
    sheet = counts.sheet(where, TODAY, name=SHEET, **facts)
    path = folder / "sheet.csv"
    counts.write_sheet(sheet, path)
    return sheet, path


def filled(path: Path, **counted: int | tuple[int, str]) -> Path:
    """The sheet with what was counted of each part, and perhaps a tolerance; `_` for a blank."""
    with path.open(encoding="utf-8-sig", newline="") as opened:
        rows = list(csv.DictReader(opened))
    for row in rows:
        name = row["part"].replace(" ", "_")
        if name in counted:
            found = counted[name]
            qty, tolerance = found if isinstance(found, tuple) else (found, "")
            row["counted"], row["tolerance"] = str(qty), tolerance
    target = path.with_name("filled.csv")
    with target.open("w", encoding="utf-8", newline="") as opened:
        writer = csv.DictWriter(opened, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return target


def entered(where: str, path: Path, **facts: Any) -> CountReport:
    named = {"counted_on": TODAY, "by": "counter", **facts}
    return counts.enter_sheet(where, path, KEEPER, named.pop("today", TODAY), **named)
