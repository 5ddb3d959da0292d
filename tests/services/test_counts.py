"""Stock counted by a blind sheet: printed, filled in, booked whole, once."""

from __future__ import annotations

import csv
from contextlib import closing
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from parts import errors
from parts.exchange.count_sheets import UnusableSheet, UnwritableSheet
from parts.records.catalogue import Part
from parts.records.stock import Movement
from parts.services import counts, stock
from parts.services.today import last_counted
from parts.store import ledger
from parts.store.database import Database
from tests.services.sheets import SHEET, entered, filled, printed
from tests.services.storeroom import (
    KEEPER,
    LAST_MONTH,
    TODAY,
    everything,
    fill,
    held,
    take,
    undo,
)

# Printing


def test_a_sheet_is_blind(storeroom: str, tmp_path: Path) -> None:
    sheet, path = printed(storeroom, tmp_path, store="main")

    assert all(line.counted is None for line in sheet.lines)
    assert {"book", "qty", "usable"}.isdisjoint(path.read_text("utf-8-sig").splitlines()[0])
    with path.open(encoding="utf-8-sig", newline="") as opened:
        coil = next(row for row in csv.DictReader(opened) if row["part"] == "COIL")
    assert coil == {"sheet": SHEET, "part": "COIL", "description": "brake coil, 230 V",
                    "store": "main", "bin": "R3", "after": "1", "counted": "", "tolerance": "",
                    "unit_cost": "310", "note": ""}  # fmt: skip


def test_lines_stand_in_the_order_of_the_walk_and_a_walk_has_two_ends(in_file: str) -> None:
    whole = counts.sheet(in_file, TODAY, store="main")
    part = counts.sheet(in_file, TODAY, store="main", bin_from="R3", bin_to="R10")

    assert [line.bin for line in whole.lines] == ["R2", "R3", "R10", None]
    assert [line.part for line in part.lines] == ["COIL", "LINING"]
    assert (whole.left_out, part.left_out) == (0, 1)


def test_what_has_run_out_and_should_be_kept_is_counted_too(in_file: str) -> None:
    take(in_file, "issue", "COIL", 4)
    take(in_file, "issue", "DRIVE", serial="A7", key="drive")

    counted = [line.part for line in counts.sheet(in_file, TODAY, store="main").lines]
    assert "COIL" in counted
    assert "DRIVE" not in counted, "nobody looks for what neither lies there nor should"


def test_a_store_that_is_not_there_is_told(in_file: str) -> None:
    with pytest.raises(errors.UnknownName, match="no store is called 'attic'; did you mean"):
        counts.sheet(in_file, TODAY, store="attic")


def test_a_sheet_never_takes_the_place_of_a_file(in_file: str, tmp_path: Path) -> None:
    _, path = printed(in_file, tmp_path)

    with pytest.raises(UnwritableSheet, match="there is a file of that name"):
        printed(in_file, tmp_path)
    assert [each.name for each in tmp_path.iterdir() if "saving" in each.name] == []
    with pytest.raises(UnwritableSheet):
        printed(in_file, tmp_path / "no such folder")
    assert path.exists()


def test_the_page_for_the_clipboard_is_80_columns_wide_and_cuts_nothing(in_file: str) -> None:
    sheet = counts.sheet(in_file, TODAY)
    long = replace(sheet.lines[0], part="X" * 50, description="a word " * 30)
    page = counts.page_of(replace(sheet, lines=(*sheet.lines, long)))

    assert max(map(len, page)) <= 80
    assert "".join(line[11:31].strip() for line in page[-8:]).count("X") == 50
    assert not any(str(qty) in "".join(page[6:]) for qty in (" 4 ", " 5 "))


# Booking


def test_a_sheet_is_booked_whole_and_every_line_is_counted_on_its_day(
    storeroom: str, tmp_path: Path
) -> None:
    path = filled(printed(storeroom, tmp_path)[1], COIL=2, LINING=6, DRIVE=1)
    report = entered(storeroom, path)

    assert [(line.part, line.book, line.counted, line.difference) for line in report.lines] == [
        ("COIL", 4, 2, -2),
        ("DRIVE", 1, 1, 0),
        ("LINING", 5, 6, 1),
    ]
    assert (held(storeroom, "COIL"), held(storeroom, "LINING")) == (
        {"main": (2, 2)},
        {"main": (6, 6)},
    )
    assert {part for part, _ in last_counted(storeroom)} == {"COIL", "DRIVE", "LINING"}
    assert set(report.not_counted) == {"SEAL", "-K1/2"}
    assert [(each.part, each.left, each.least) for each in report.below] == [("COIL", 2, 3)]
    (coil,) = stock.on_hand(storeroom, "COIL", TODAY)
    assert (coil.book, coil.usable, coil.last_counted) == (2, 2, TODAY)


def test_a_count_that_leaves_the_least_is_not_below_it(in_file: str, tmp_path: Path) -> None:
    assert entered(in_file, filled(printed(in_file, tmp_path)[1], COIL=3)).below == ()


def test_a_count_that_finds_what_the_book_says_tells_nothing_that_was_known(
    in_file: str, tmp_path: Path
) -> None:
    take(in_file, "issue", "COIL", 2)

    assert entered(in_file, filled(printed(in_file, tmp_path)[1], COIL=2)).below == ()


def test_a_cost_that_is_blank_on_the_sheet_is_that_of_the_part(
    in_file: str, tmp_path: Path
) -> None:
    sheet = filled(printed(in_file, tmp_path)[1], COIL=3, LINING=4)
    sheet.write_text(sheet.read_text().replace(",310,", ",,").replace(",85,", ",90,"))

    assert [line.value for line in entered(in_file, sheet).lines] == [-310.0, -90.0]


def test_a_part_in_two_stores_is_two_lines_and_both_are_booked(
    in_file: str, tmp_path: Path
) -> None:
    take(in_file, "transfer", "COIL", 2, to_store="crib")
    path = filled(printed(in_file, tmp_path)[1], COIL=1)
    report = entered(in_file, path)

    assert [(line.store, line.difference) for line in report.lines] == [("crib", -1), ("main", -1)]
    assert held(in_file, "COIL") == {"crib": (1, 1), "main": (1, 1)}
    assert entered(in_file, path).already


def test_a_line_of_a_sheet_is_counted_once_whoever_types_it(in_file: str) -> None:
    first = take(in_file, "count", "COIL", 3, sheet="S", key="a")
    again = take(in_file, "count", "COIL", 3, sheet="S", key="b")

    assert (first.already, again.already, again.movements) == (False, True, ())
    assert held(in_file, "COIL") == {"main": (3, 3)}
    with pytest.raises(errors.KeyTaken):
        take(in_file, "count", "COIL", 2, sheet="S", key="c")


def test_entering_a_sheet_twice_is_entering_it_once_also_on_another_day(
    storeroom: str, tmp_path: Path
) -> None:
    path = filled(printed(storeroom, tmp_path)[1], COIL=2, DRIVE=1)
    first = entered(storeroom, path)
    before = everything(storeroom)
    tomorrow = TODAY + timedelta(days=1)
    again = entered(storeroom, path, today=tomorrow, counted_on=tomorrow)

    assert (first.already, again.already) == (False, True)
    assert everything(storeroom) == before
    assert (again.lines, again.totals, again.seal) == (first.lines, first.totals, first.seal)


def test_the_rest_of_a_sheet_may_be_counted_later(storeroom: str, tmp_path: Path) -> None:
    _, path = printed(storeroom, tmp_path)
    entered(storeroom, filled(path, COIL=2))
    report = entered(storeroom, filled(path, COIL=2, LINING=4))

    assert (report.already, [line.part for line in report.lines]) == (False, ["COIL", "LINING"])
    assert (held(storeroom, "COIL"), held(storeroom, "LINING")) == (
        {"main": (2, 2)},
        {"main": (4, 4)},
    )


def refused(where: str, path: Path, **facts: Any) -> str:
    before = everything(where)
    with pytest.raises(UnusableSheet) as refusal:
        entered(where, path, **facts)

    assert everything(where) == before
    return str(refusal.value)


def test_a_sheet_that_was_booked_with_other_figures_is_refused(
    storeroom: str, tmp_path: Path
) -> None:
    _, path = printed(storeroom, tmp_path)
    entered(storeroom, filled(path, COIL=2))

    told = refused(storeroom, filled(path, COIL=3))

    assert "row 4: COIL is booked from this sheet as 2; count it by a new one" in told


def test_one_line_that_cannot_be_booked_leaves_all_of_them(storeroom: str, tmp_path: Path) -> None:
    path = filled(printed(storeroom, tmp_path)[1], COIL=2, LINING=4)
    text = path.read_text("utf-8").replace("LINING", "LININGS").replace("DRIVE,", "DRIVES,")
    path.write_text(text.replace(",R2,1,,", ",R2,1,7,"), "utf-8")

    told = refused(storeroom, path)

    assert "filled.csv row 3: no part is called 'DRIVES'" in told
    assert "did you mean DRIVE" in told
    assert "and 1 more; nothing of filled.csv was booked" in told


def test_what_was_booked_between_printing_and_counting_is_told(
    storeroom: str, tmp_path: Path
) -> None:
    _, path = printed(storeroom, tmp_path)
    yesterday = TODAY - timedelta(days=1)
    take(storeroom, "issue", "COIL", 1, key="night", date=yesterday)
    take(storeroom, "issue", "LINING", 1, key="noon")
    report = entered(storeroom, filled(path, COIL=3, LINING=5))

    assert [line.difference for line in report.lines] == [0, 0]
    assert [row.key for row in report.since] == ["noon"]
    assert [row.key for row in report.late] == ["night"]
    assert (held(storeroom, "COIL"), held(storeroom, "LINING")) == (
        {"main": (3, 3)},
        {"main": (4, 4)},
    )


def test_an_undone_count_is_no_count(storeroom: str, tmp_path: Path) -> None:
    report = entered(storeroom, filled(printed(storeroom, tmp_path)[1], COIL=2, DRIVE=1))
    undo(storeroom, report.lines[0].movement or "")

    assert held(storeroom, "COIL") == {"main": (4, 4)}
    assert last_counted(storeroom) == {("DRIVE", "main"): TODAY}


def test_a_count_that_a_book_brought_is_a_count_until_it_is_undone(storeroom: str) -> None:
    row = Movement(date=LAST_MONTH, part="COIL", qty=1, kind="count", store="main", key="kept")
    with closing(Database.open(storeroom)) as opened, opened.writing() as connection:
        ledger.append(connection, [row], KEEPER.stamp())
    before = last_counted(storeroom)
    (coil,) = stock.on_hand(storeroom, "COIL", TODAY)
    undo(storeroom, "kept")

    assert before == {("COIL", "main"): LAST_MONTH}
    assert coil.last_counted == LAST_MONTH
    assert last_counted(storeroom) == {}


def test_the_seal_on_a_report_is_another_one_after_every_movement(
    storeroom: str, tmp_path: Path
) -> None:
    _, path = printed(storeroom, tmp_path)
    first = entered(storeroom, filled(path, COIL=4)).seal
    take(storeroom, "issue", "COIL")
    second = entered(storeroom, filled(path, COIL=4)).seal

    assert len({first, second}) == 2
    assert [each.partition("-")[0] for each in (first, second)] == ["6", "7"]


def test_names_that_look_like_formulas_come_back_as_they_are(in_file: str, tmp_path: Path) -> None:
    _, path = printed(in_file, tmp_path, store="@crib")

    assert '"\'-K1/2","\'=relay","\'@crib"' in path.read_text("utf-8-sig")

    text = path.read_text("utf-8-sig").replace('"1","",""', '"1","1",""')
    path.with_name("filled.csv").write_text(text, "utf-8")
    report = entered(in_file, path.with_name("filled.csv"))

    assert [(line.part, line.store, line.difference) for line in report.lines] == [
        ("-K1/2", "@crib", -1)
    ]


# The worked example of a count

COUNTED: dict[str, tuple[int, int, str, float]] = {
    "brake coil": (4, 2, "", 310.0),
    "contactor": (6, 6, "", 44.0),
    "hoist drive": (1, 1, "", 2600.0),
    "lining": (14, 15, "", 85.0),
    "limit switch": (3, 3, "", 120.0),
    "fuse": (120, 124, "5 %", 1.2),
    "grease cartridge": (40, 37, "5 %", 6.5),
    "lamp": (25, 25, "1", 3.0),
}
"""Book, count, tolerance and cost of eight lines at an invented mill."""


def test_pluses_and_minuses_that_come_to_nothing_are_ten_pieces_and_729_30(tmp_path: Path) -> None:
    """Worked by hand: -2 coils, +1 lining, +4 fuses, -3 cartridges.

    -620.00 + 85.00 + 4.80 - 19.50 = -549.70, and 729.30 without the signs.
    """
    where = fill(str(tmp_path / "mill.db"), _mill())
    path = filled(
        printed(where, tmp_path)[1],
        **{name.replace(" ", "_"): (counted, tolerance)
           for name, (_, counted, tolerance, _) in COUNTED.items()},
    )  # fmt: skip
    report = entered(where, path)
    found = report.totals

    assert (found.within, found.lines, found.share_within) == (5, 8, 0.625)
    assert (found.net, found.absolute) == (0, 10)
    assert found.net_value == pytest.approx(-549.70, abs=0.005)
    assert found.absolute_value == pytest.approx(729.30, abs=0.005)
    assert [each.part for each in report.below] == ["brake coil"]


def _mill() -> dict[str, list[Any]]:
    return {
        "parts": [
            Part(part=name, unit_cost=cost, min_stock=3 if name == "brake coil" else None)
            for name, (_, _, _, cost) in COUNTED.items()
        ],
        "movements": [
            Movement(date=date(2024, 1, 1), part=name, qty=book, kind="opening", store="main",
                     key=name)
            for name, (book, _, _, _) in COUNTED.items()
        ],
    }  # fmt: skip
