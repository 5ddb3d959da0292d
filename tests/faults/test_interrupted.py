"""Long works that are killed in the middle, in small numbers; scripts/faults has the large ones."""

from __future__ import annotations

from pathlib import Path

from faults import bit_flips, interrupted

from parts.services import copies
from parts.store.database import Database
from tests.faults import works
from tests.services.storeroom import fill, held, take


def test_what_is_killed_in_the_middle_is_done_whole_or_not_at_all() -> None:
    told = interrupted.interrupted(kills=1, rows=300)

    assert told["kills"] == 5
    assert told["neither before nor after"] == told["damaged"] == told["not swept"] == 0


def test_a_database_of_the_first_form_keeps_its_stock_and_takes_steps(tmp_path: Path) -> None:
    at = tmp_path / "site.db"
    works.make_form_1(at, movements=7)
    Database.open(str(at)).close()

    assert copies.verify(str(at)).damage == ()
    assert held(str(at), "COIL") == {"main": (11, 11)}
    assert take(str(at), "issue", "COIL", 11).after == 0
    assert (tmp_path / "site-form-1.db").exists()


def test_what_a_killed_copy_left_is_swept_by_the_next_under_whatever_name(tmp_path: Path) -> None:
    at = fill(str(tmp_path / "site.db"))
    gone, others = 2**22 + 1, (".site.db", ".other.db-x.4194305.new", "site-x.4194305.new")
    for name in (f".site-2026-01-01.db-x.{gone}.new", f".site.db-y.{gone}.new", *others):
        (tmp_path / name).touch()
    copies.backup(at, tmp_path / "copy.db")

    left = {path.name for path in tmp_path.iterdir()} - {"site.db", "site.db-journal", "copy.db"}

    assert left == set(others)


def test_most_turned_bits_are_noticed_or_do_no_harm() -> None:
    told, unseen = bit_flips.flipped(20, seed=5)

    assert told.total() == 20
    assert told["error when read"] + told["found by verify"] > 5
    assert told["seen by nothing"] <= 6
    assert told["not told in words"] == 0
    assert bool(unseen) == bool(told["seen by nothing"])
