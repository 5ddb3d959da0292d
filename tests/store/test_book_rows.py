"""Whatever records may hold comes back equal from the tables."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from contextlib import ExitStack, closing, suppress
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parts.records.book import BOOK_FILES, BookFile
from parts.records.catalogue import Part
from parts.records.fields import Column, Kind
from parts.records.snapshot import NeedColumns
from parts.records.stock import Reservation
from parts.records.structure import Position
from parts.records.supply import Notice, Offer
from parts.store.books import (
    read_book,
    read_need_columns,
    read_position_columns,
    read_rows,
    write_rows,
)
from parts.store.database import Database, new_database
from parts.store.schema import may_be_blank
from parts.store.snapshots import read_snapshot
from tests.servers import Server
from tests.store.conftest import KINDS
from tests.store.site_rows import DAY, ROWS

TEXTS = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), min_size=1)


class _Undone(Exception):
    """Ends a transaction whose rows refer to nothing, so that it is not kept."""


@pytest.fixture(scope="module", params=KINDS)
def empty(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Database]:
    with ExitStack() as made:
        if request.param == "sqlite":
            address = str(tmp_path_factory.mktemp("rows") / "site.db")
        else:
            server: Server = request.getfixturevalue("server")
            address = made.enter_context(server.database())
        with new_database(address):
            pass
        yield made.enter_context(closing(Database.open(address)))


def values_of(column: Column) -> st.SearchStrategy[Any]:
    match column.kind:
        case Kind.TEXT:
            values: st.SearchStrategy[Any] = (
                st.sampled_from(column.choices) if column.choices else TEXTS
            )
        case Kind.NUMBER:
            lowest = column.lowest if column.above is None else column.above
            highest = 1e308 if column.highest is None else column.highest
            values = st.floats(lowest, highest, exclude_min=column.above is not None)
        case Kind.WHOLE:
            # without a bound it is the ledger's, which holds no less than nothing
            lowest = 0 if column.lowest is None else int(column.lowest)
            values = st.integers(int(lowest), 2**61 if column.lowest is None else 2**63 - 1)
        case Kind.DAY:
            values = st.dates()
        case Kind.FLAG:
            values = st.booleans()
    return st.none() | values if may_be_blank(column) else values


def rows_of(book_file: BookFile) -> st.SearchStrategy[list[Any]]:
    row = st.builds(book_file.record, **{c.name: values_of(c) for c in book_file.columns})
    # only the ledger has a second key; rows without it are enough
    free = row.filter(lambda movement: getattr(movement, "reverses", None) is None)
    return st.lists(free, max_size=4, unique_by=book_file.key_of)


@pytest.mark.parametrize("book_file", BOOK_FILES, ids=lambda book_file: book_file.name)
@settings(max_examples=25)
@given(st.data())
def test_any_row_comes_back_equal(
    empty: Database, book_file: BookFile, data: st.DataObject
) -> None:
    rows = data.draw(rows_of(book_file))
    with suppress(_Undone), empty.writing() as connection:
        write_rows(connection, book_file.name, rows)
        found = read_rows(connection, book_file.name)
        raise _Undone

    if book_file.name == "movements":
        assert found == rows
    else:
        assert {repr(row) for row in found} == {repr(_plain(row)) for row in rows}
        assert [book_file.key_of(row) for row in found] == sorted(
            map(book_file.key_of, rows), key=lambda key: [value or "" for value in key]
        )


def _plain(row: Any) -> Any:
    """Minus zero is kept as zero."""
    return type(row)(
        **{
            name: 0.0 if isinstance(value, float) and value == 0 else value
            for name in type(row).__dataclass_fields__
            for value in [getattr(row, name)]
        }
    )


def test_a_site_comes_back_as_it_was_written(database: Database) -> None:
    with database.reading() as connection:
        book = read_book(connection)

    for name, rows in ROWS.items():
        assert sorted(map(repr, book[name])) == sorted(map(repr, rows))
    assert len(ROWS) == len(BOOK_FILES)


def test_only_the_files_that_are_named_are_read(database: Database) -> None:
    with database.reading() as connection:
        book = read_book(connection, ["cranes"])

    assert book["cranes"] == ROWS["cranes"]
    assert not any(rows for name, rows in book.rows.items() if name != "cranes")


def test_a_changed_row_is_found_by_its_key_even_where_that_is_blank(database: Database) -> None:
    offer = Offer(supplier="S1", part="P1", likely=4.5, valid_until=DAY)
    notice = Notice(part="P1", notice_on=DAY, note="second thoughts")
    reservation = Reservation(part="P1", qty=7, for_="overhaul")
    with database.writing() as connection:
        write_rows(connection, "offers", [], [offer])
        write_rows(connection, "notices", [], [notice])
        write_rows(connection, "reservations", [], [reservation])
    with database.reading() as connection:
        offers, notices = read_rows(connection, "offers"), read_rows(connection, "notices")
        assert read_rows(connection, "reservations") == [reservation]

    assert offer in offers
    assert notice in notices
    assert set(ROWS["offers"]) - set(offers) == {ROWS["offers"][0]}
    assert set(ROWS["notices"]) - set(notices) == {ROWS["notices"][0]}


def test_a_changed_row_may_lose_what_was_known(database: Database) -> None:
    with database.writing() as connection:
        write_rows(connection, "parts", [], [Part(part="P1")])
    with database.reading() as connection:
        assert read_rows(connection, "parts")[0] == Part(part="P1")


def test_progress_counts_every_row_once(database: Database) -> None:
    told: list[int] = []
    new = [Part(part=f"N{number:05}") for number in range(10_001)]
    with database.writing() as connection:
        write_rows(connection, "parts", new, [Part(part="P1")], progress=told.append)

    assert told == [10_000, 1, 1]


def test_columns_hold_what_the_rows_hold_in_the_order_of_the_key(database: Database) -> None:
    with database.reading() as connection:
        positions, needs = read_position_columns(connection), read_need_columns(connection)

    assert [positions.row(index) for index in range(len(positions))] == ROWS["positions"]
    assert needs == NeedColumns(["C1"], ["hoist"], ["B"], ["drives"], [1])


def test_equal_names_are_held_once(database: Database) -> None:
    with database.writing() as connection:
        many = [Position(crane="C1", position=f"X{n}", part="P2") for n in range(50)]
        write_rows(connection, "positions", many)
    with database.reading() as connection:
        positions = read_position_columns(connection)

    assert len({id(crane) for crane in positions.crane}) == 2
    assert len({id(part) for part in positions.part}) == 3


def test_a_snapshot_knows_what_was_known_on_its_day(database: Database) -> None:
    before = read_snapshot(database, DAY - datetime.timedelta(days=1))
    after = read_snapshot(database, DAY)

    assert (len(before.movements), len(after.movements)) == (0, 3)
    assert (len(before.failures), len(after.failures)) == (0, 1)
    assert list(after.cranes) == ["C1", "C2"]
    assert after.positions.row(0) == ROWS["positions"][0]
    assert after.needs.needs == ["B"]
