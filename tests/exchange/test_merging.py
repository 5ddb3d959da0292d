"""A book laid over what is there: by key, deleting nothing, and a second time changing nothing."""

from __future__ import annotations

from pathlib import Path

from parts.exchange.merge import Merged, merge
from parts.exchange.reader import read_site_book
from parts.records.book import Book
from tests.exchange.small_book import bare, checked, folder, sentences

MOVES = "date,part,qty,kind,store,key\n"
RECEIPT = "2026-01-01,P1,1,receipt,A,\n"


def counts(of: dict[str, list[object]]) -> dict[str, int]:
    return {name: len(rows) for name, rows in of.items() if rows}


def over(existing: Book, tmp_path: Path, **files: str) -> Merged:
    return merge(existing, read_site_book(bare(tmp_path / "b", **files)))


def test_a_book_over_nothing_is_all_new(tmp_path: Path) -> None:
    merged = checked(folder(tmp_path / "b"))

    assert counts(merged.new) == counts(merged.book.rows)
    assert counts(merged.changed) == counts(merged.unchanged) == {}


def test_the_same_book_twice_changes_nothing(tmp_path: Path) -> None:
    book = folder(tmp_path / "b")
    first = checked(book)
    second = checked(book, first.book)

    assert counts(second.new) == counts(second.changed) == {}
    assert second.book.rows == first.book.rows


def test_rows_are_added_and_changed_by_key_and_none_is_deleted(tmp_path: Path) -> None:
    existing = checked(folder(tmp_path / "a")).book
    merged = over(existing, tmp_path, parts="part,unit_cost\nP1,7\nP9,1\n")

    assert [row.part for row in merged.new["parts"]] == ["P9"]
    assert [(row.part, row.unit_cost) for row in merged.changed["parts"]] == [("P1", 7.0)]
    assert {row.part for row in merged.book["parts"]} == {"P1", "P2", "=K3", "P9"}
    assert merged.book["suppliers"] == existing["suppliers"]


def test_origins_run_parallel_to_the_rows(tmp_path: Path) -> None:
    read = read_site_book(bare(tmp_path / "b", parts="part\n\nP1\nP2\n"))

    assert [tuple(origin) for origin in read.origins["parts"]] == [
        ("parts.csv", 3),
        ("parts.csv", 4),
    ]


def test_equal_movements_of_one_file_stay_two(tmp_path: Path) -> None:
    merged = over(Book(), tmp_path, movements=MOVES + RECEIPT + RECEIPT)
    keys = [row.key for row in merged.book["movements"]]

    assert len(set(keys)) == 2
    assert all(key.startswith("2026-01-01-") for key in keys)


def test_a_second_load_of_the_same_lines_adds_only_the_one_that_is_new(tmp_path: Path) -> None:
    first = over(Book(), tmp_path, movements=MOVES + RECEIPT + RECEIPT)
    second = over(first.book, tmp_path, movements=MOVES + RECEIPT * 3)

    assert len(second.new["movements"]) == 1
    assert len(second.unchanged["movements"]) == 2


def test_a_line_added_to_a_saved_book_counts_the_saved_ones_as_equal(tmp_path: Path) -> None:
    first = over(Book(), tmp_path, movements=MOVES + RECEIPT)
    saved = RECEIPT.replace(",\n", f",{first.book['movements'][0].key}\n")
    second = over(first.book, tmp_path, movements=MOVES + RECEIPT + saved)

    assert len(second.new["movements"]) == len(second.unchanged["movements"]) == 1


def test_keys_are_made_from_contents_and_not_from_the_place_in_the_file(tmp_path: Path) -> None:
    other = "2026-01-02,P1,5,receipt,A,\n"
    first = over(Book(), tmp_path, movements=MOVES + RECEIPT + other)
    second = over(first.book, tmp_path, movements=MOVES + other + RECEIPT)

    assert counts(second.new).get("movements") is None


def test_a_movement_is_never_changed(tmp_path: Path) -> None:
    existing = checked(folder(tmp_path / "a")).book
    moves = f"{MOVES}2026-01-01,P1,3,opening,Main,m1\n"
    merged = over(existing, tmp_path, movements=moves)

    assert sentences(bare(tmp_path / "b", movements=moves), existing) == [
        "movements.csv row 2 column key: 'm1' is already booked with other contents; "
        "a movement is never changed, book a reversal"
    ]
    assert merged.book["movements"] == existing["movements"]
