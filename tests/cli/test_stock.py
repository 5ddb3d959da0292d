"""Steps with the stock as commands: what they say, what they refuse, what they leave alone."""

from __future__ import annotations

import csv
import shutil
from pathlib import Path
from typing import Any

import pytest

from parts.records.copies import ABOUT_THE_SEAL
from tests.cli.conftest import TODAY, Said, Say

PLACE = "A1/hoist brake 1 lining"
STEPS = ("issue", "receive", "return", "count", "scrap", "transfer", "care")


@pytest.fixture
def do(say: Say, demo_database: Path, tmp_path: Path) -> Say:
    """Give a command about a copy of the demo site on its day."""
    copy = tmp_path / "demo.db"
    shutil.copyfile(demo_database, copy)

    def give(*words: str | Path) -> Said:
        return say(*words, "--db", copy, "--today", TODAY)

    return give


def on_hand(do: Say, part: str = "LIN-315") -> Any:
    return do("stock", part, "--json").document["stores"]


def test_an_issue_tells_what_there_was_and_is_and_how_to_undo_it(do: Say) -> None:
    said = do("issue", "LIN-315", "--qty", "2")
    key = said.out.split("longpole undo ")[1].split()[0]

    assert said.status == 0
    assert said.out.startswith("LIN-315 in main store: 5 on hand before, 3 after.\n")
    assert len(key) == 32

    undone = do("undo", key)

    assert "3 on hand before, 5 after" in undone.out
    assert "Nothing was erased" in undone.out
    assert do("undo", key, "--key", "again").err == (
        f"longpole: '{key}' is undone already, by '{_reversal(do)}' on 2026-11-25\n"
    )


def _reversal(do: Say) -> str:
    (first, *_) = do("stock", "LIN-315", "--json").document["postings"]
    key: str = first["movement"]["key"]
    return key


def test_a_refusal_is_one_line_and_nothing_changes(do: Say) -> None:
    before = on_hand(do)
    said = do("issue", "LIN-315", "--qty", "8")

    assert (said.status, said.out, said.err.count("\n")) == (2, "", 1)
    assert "on hand 5, asked 8, short 3" in said.err
    assert on_hand(do) == before


@pytest.mark.parametrize(
    "qty", ["0", "-1", "1.5", "NaN", "1e400", "1_0", "１２", "²", "+2", "1000000000000", "", " 2"]
)
@pytest.mark.parametrize("command", ["issue", "receive", "reserve"])
def test_a_quantity_is_a_plain_whole_number(do: Say, command: str, qty: str) -> None:
    job = ("--for", "job") if command == "reserve" else ()
    said = do(command, "LIN-315", "--qty", qty, *job)

    assert (said.status, said.err.count("\n")) == (2, 1)
    assert "whole number" in said.err or "whole units" in said.err


def test_asking_with_one_key_twice_is_asking_once(do: Say) -> None:
    first = do("issue", "LIN-315", "--key", "slip 12", "--json").document
    again = do("issue", "LIN-315", "--key", "slip 12", "--json").document

    assert (first["already"], first["before"], first["after"]) == (False, 5, 4)
    assert (again["already"], again["before"], again["after"]) == (True, 4, 4)
    assert set(first) == {"key", "kind", "part", "already", "movements", "before", "after",
                          "store", "notes"}  # fmt: skip
    assert "other contents" in do("issue", "LIN-315", "--qty", "2", "--key", "slip 12").err


def test_a_part_that_is_fitted_where_load_is_borne_comes_with_the_cautions(do: Say) -> None:
    said = do("issue", "LIN-315", "--at", PLACE, "--failed", "2026-11-24", "--restored",
              "2026-11-25", "--cause", "worn", "--consumed", "KIT-RIVET", "--by", "night shift",
              "--for", "A2 yearly overhaul", "--on", "2026-11-25")  # fmt: skip

    assert said.status == 0
    assert f"{PLACE} bears load: a qualified person inspects and releases it" in said.out
    assert "Planning aid only" in said.out
    assert "night shift" in do("stock", "LIN-315").out


def test_names_with_strokes_are_told_from_cranes(do: Say) -> None:
    assert "no position is called" in do("issue", "LIN-315", "--at", "A1/none").err
    assert "no crane is called 'Z9'" in do("issue", "LIN-315", "--at", "Z9/hoist").err
    assert do("issue", "LUB-1", "--at", "A1").status == 0


def test_a_delivery_of_what_bears_load_needs_its_certificate(do: Say) -> None:
    assert "certificate" in do("receive", "LIN-315", "--qty", "2").err
    assert do("receive", "LIN-315", "--qty", "2", "--certificate", "C-9").status == 0
    assert [(each["store"], each["book"]) for each in on_hand(do)] == [("main store", 7)]


def test_stock_is_moved_held_back_put_back_and_thrown_away(do: Say) -> None:
    moves: tuple[tuple[str, ...], ...] = (
        ("transfer", "LIN-315", "--to-store", "crib", "--to-bin", "7"),
        ("transfer", "LIN-315", "--store", "main store", "--to-condition", "quarantine",
         "--note", "wet"),
        ("return", "LIN-315", "--store", "crib", "--condition", "in_repair", "--at", PLACE),
        ("scrap", "LIN-315", "--store", "main store", "--condition", "quarantine", "--note", "wet"),
        ("care", "LIN-315", "--store", "crib"),
    )  # fmt: skip
    assert [do(*move).status for move in moves] == [0] * len(moves)

    crib, main = on_hand(do)

    assert (crib["store"], crib["book"], crib["usable"], crib["in_repair"]) == ("crib", 2, 1, 1)
    assert (main["store"], main["book"], main["usable"], main["quarantine"]) == (
        "main store", 3, 3, 0,
    )  # fmt: skip


def test_a_promise_is_given_and_taken_back(do: Say) -> None:
    asked = do("reserve", "LIN-315", "--qty", "4", "--for", "job 7", "--needed", "2027-01-10")

    assert asked.out == "4 LIN-315 are promised to job 7.\n"
    assert "promised 5" in do("issue", "LIN-315").err
    assert "0 promised to nobody" in do("stock", "LIN-315").out
    assert "4 promised to job 7, needed on 2027-01-10." in do("stock", "LIN-315").out
    assert do("release", "LIN-315", "--for", "job 7", "--json").document["qty"] == 4
    assert do("issue", "LIN-315").status == 0


def test_a_card_shows_three_figures_promises_whole_sets_and_the_journal(do: Say) -> None:
    do("count", "LIN-315", "--qty", "5")
    said = do("stock", "LIN-315")

    assert "5 on the book, 5 usable, 4 promised to nobody; at least 3 are to be kept." in said.out
    assert "2026-11-25" in next(line for line in said.out.splitlines() if line[:4] == "main")
    assert "Whole sets (1 LIN-315, 1 KIT-RIVET): 3; one more lacks 1 KIT-RIVET" in said.out
    assert said.out.count("issue") == 10
    assert do("stock", "LIN-315", "--all").out.count("issue") > 10


def test_a_part_of_which_none_is_there_says_so(do: Say) -> None:
    said = do("stock", "AXL-B-A")

    assert said.status == 1
    assert "None in store." in said.out
    assert "did you mean LIN-315" in do("stock", "LIN-314").err


# Counting


def test_counting_is_one_of_three_things(do: Say, tmp_path: Path) -> None:
    ways: tuple[tuple[str, ...], ...] = (
        (),
        ("LIN-315",),
        ("--qty", "3"),
        ("LIN-315", "--qty", "3", "--sheet", str(tmp_path / "s.csv")),
        ("--sheet", str(tmp_path / "s.csv"), "--entered", "t.csv"),
    )
    for words in ways:
        assert "one of these" in do("count", *words).err
    assert not (tmp_path / "s.csv").exists()


def test_a_count_tells_the_book_and_what_it_finds(do: Say) -> None:
    assert "Counted 4, book 5." in do("count", "LIN-315", "--qty", "4").out
    assert "Nothing was booked." in do("count", "LIN-315", "--qty", "4").out


def test_a_sheet_is_printed_filled_in_and_booked(do: Say, tmp_path: Path) -> None:
    path = tmp_path / "walk.csv"
    said = do("count", "--sheet", path, "--store", "main store", "--bin-from", "A", "--bin-to", "A")
    with path.open(encoding="utf-8-sig", newline="") as opened:
        rows = list(csv.DictReader(opened))

    assert said.status == 0
    assert max(map(len, said.out.splitlines()[:-1])) <= 80
    assert {row["bin"][0] for row in rows} == {"A"}

    rows[0]["counted"], rows[1]["counted"] = "0", "7"
    filled = tmp_path / "filled.csv"
    with filled.open("w", encoding="utf-8", newline="") as opened:
        writer = csv.DictWriter(opened, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    report = do("count", "--entered", filled, "--json").document
    again = do("count", "--entered", filled)

    assert [line["counted"] for line in report["lines"]] == [0, 7]
    assert report["totals"]["lines"] == 2
    assert report["seal"] in again.out
    assert ABOUT_THE_SEAL in again.out
    assert "was booked already; nothing was added" in again.out
    assert "A second person counts, before anybody relies on it: " in again.out


def test_a_walk_on_which_nothing_lies_writes_no_sheet(do: Say, tmp_path: Path) -> None:
    path = tmp_path / "none.csv"

    assert do("count", "--sheet", path, "--bin-from", "ZZ").status == 1
    assert not path.exists()


def test_a_sheet_that_cannot_be_read_is_one_line(do: Say, tmp_path: Path) -> None:
    path = tmp_path / "bad.csv"
    path.write_text("part,counted\nLIN-315,1.5\n")
    said = do("count", "--entered", path)

    assert (said.status, said.out, said.err.count("\n")) == (2, "", 1)
    assert "nothing of bad.csv was booked" in said.err


@pytest.mark.parametrize("command", STEPS)
def test_no_text_reaches_the_terminal_as_a_command_to_it(do: Say, command: str) -> None:
    words = {"count": ("--qty", "4"), "receive": ("--qty", "1"), "care": ()}.get(command, ())
    said = do(command, "LIN-315", *words, "--note", "\x1b]0;title\x07")

    assert (said.status, "\x1b" in said.err + said.out) == (2, False)
    assert "control character U+001B" in said.err


def test_a_seal_on_paper_is_held_against_the_ledger(do: Say) -> None:
    printed = do("verify", "--json").document["seal"]
    do("issue", "LIN-315")

    assert do("verify", "--seal", printed).status == 0
    assert do("verify", "--seal", f"1-{'0' * 64}").status == 1
    assert "is no seal" in do("verify", "--seal", "4711").err
