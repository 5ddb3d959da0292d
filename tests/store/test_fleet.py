"""The large invented fleet is a valid site book, and the same one whenever it is made."""

from __future__ import annotations

from pathlib import Path

from make_fleet import TODAY, fleet_book, main

from parts.exchange.merge import merge
from parts.exchange.reader import read_site_book
from parts.exchange.rules import faults_of
from parts.records.book import BOOK_FILES, Book
from parts.store.books import write_rows
from parts.store.database import Database, new_database
from parts.store.snapshots import read_snapshot


def test_the_same_seed_makes_the_same_fleet() -> None:
    assert fleet_book(2, seed=1) == fleet_book(2, seed=1)
    assert fleet_book(2, seed=1) != fleet_book(2, seed=2)


def test_the_fleet_is_a_book_without_faults(tmp_path: Path) -> None:
    folder = tmp_path / "fleet"
    main([str(folder), "--cranes", "12"])
    read = read_site_book(folder)

    assert faults_of(merge(Book(), read)) == []


def test_the_fleet_fits_into_a_database_and_comes_out_whole(tmp_path: Path) -> None:
    book, where = fleet_book(12, seed=1), str(tmp_path / "fleet.db")
    with new_database(where) as database, database.writing() as connection:
        for book_file in BOOK_FILES:
            write_rows(connection, book_file.name, book[book_file.name])
    site = read_snapshot(Database.open(where), TODAY)

    assert len(site.positions) == 12 * 400
    assert len(site.needs) == 12 * 60
    assert len(site.parts) == 12 * 20
