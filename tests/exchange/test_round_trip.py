"""What is saved reads back as the same book, and saving that gives the same bytes."""

from __future__ import annotations

import datetime
import zipfile
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parts.errors import UnwritableBook
from parts.exchange.reader import read_site_book
from parts.exchange.workbook import book_of
from parts.exchange.workbook_child import messages
from parts.exchange.writer import write_site_book
from parts.records.book import BOOK_FILES, Book
from parts.records.catalogue import Part
from parts.records.cells import FORBIDDEN, reader_of, short
from parts.records.fields import Column, Kind
from tests.exchange.small_book import checked, folder

FORMS = pytest.mark.parametrize("name", ["book", "book.xlsx"])


def bytes_of(place: Path) -> dict[str, bytes]:
    files = sorted(place.rglob("*")) if place.is_dir() else [place]
    return {path.name: path.read_bytes() for path in files if path.is_file()}


@pytest.fixture
def small(tmp_path: Path) -> Book:
    merged = checked(folder(tmp_path / "source"))
    assert merged.faults == []
    return merged.book


@FORMS
def test_save_load_save_gives_the_same_bytes(tmp_path: Path, small: Book, name: str) -> None:
    first, second = tmp_path / "first" / name, tmp_path / "second" / name
    for place in (first, second):
        place.parent.mkdir()
    write_site_book(small, first)
    loaded = checked(first)
    write_site_book(loaded.book, second)

    assert loaded.faults == []
    assert bytes_of(second) == bytes_of(first)


def test_both_forms_hold_the_same_book(tmp_path: Path, small: Book) -> None:
    write_site_book(small, tmp_path / "book")
    write_site_book(small, tmp_path / "book.xlsx")

    assert (
        read_site_book(tmp_path / "book").book.rows
        == read_site_book(tmp_path / "book.xlsx").book.rows
    )


def test_an_empty_book_has_the_three_files_that_every_book_has(tmp_path: Path) -> None:
    write_site_book(Book(), tmp_path / "book")

    assert set(bytes_of(tmp_path / "book")) == {"cranes.csv", "parts.csv", "positions.csv"}
    assert checked(tmp_path / "book").faults == []


def test_rows_stand_in_key_order_with_numbers_in_shortest_form(tmp_path: Path) -> None:
    book = Book()
    book["parts"].extend(
        [
            Part(part="b", unit_cost=5.0, life_scale=0.2, drawing=False),
            Part(part="a", unit_cost=1e-7, introduced=datetime.date(2020, 1, 2), life_scale=1e22),
        ]
    )
    write_site_book(book, tmp_path / "book")
    lines = (tmp_path / "book" / "parts.csv").read_bytes().decode().split("\n")

    assert lines[1] == "a,,,0.0000001,2020-01-02,,,,,,,,,,10000000000000000000000,,,0,,"
    assert lines[2] == "b,,,5,,,,,,no,,,,,0.2,,,0,,"


def test_an_older_book_is_replaced_and_leaves_no_file(tmp_path: Path, small: Book) -> None:
    write_site_book(small, tmp_path / "book")
    write_site_book(Book(), tmp_path / "book")

    assert set(bytes_of(tmp_path / "book")) == {"cranes.csv", "parts.csv", "positions.csv"}


def test_a_folder_that_holds_anything_else_is_left_alone(tmp_path: Path, small: Book) -> None:
    place = tmp_path / "papers"
    place.mkdir()
    (place / "letter.txt").write_text("dear")

    with pytest.raises(UnwritableBook, match=r"the folder also holds letter\.txt; name a new"):
        write_site_book(small, place)
    assert set(bytes_of(place)) == {"letter.txt"}


def test_nothing_but_a_site_book_is_replaced(tmp_path: Path, small: Book) -> None:
    other, file = tmp_path / "other.xlsx", tmp_path / "file"
    with zipfile.ZipFile(other, "w") as archive:
        archive.writestr("xl/workbook.xml", '<workbook><sheet name="wages"/></workbook>')
    file.write_text("x")
    before = bytes_of(tmp_path)

    for target in (other, file, tmp_path / "no" / "where", tmp_path / "no" / "book.xlsx"):
        with pytest.raises(UnwritableBook):
            write_site_book(small, target)
    assert bytes_of(tmp_path) == before


@FORMS
def test_a_failed_write_leaves_the_old_book(
    tmp_path: Path, small: Book, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "place" / name
    target.parent.mkdir()
    write_site_book(small, target)
    before = bytes_of(target)

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(UnwritableBook, match="No space left on device"):
        write_site_book(Book(), target)
    assert bytes_of(target) == before
    assert not list(target.parent.rglob(".longpole-*"))


def test_no_cell_of_a_workbook_is_a_formula(tmp_path: Path) -> None:
    book = Book()
    texts = ("=1+1", "-K1", "+5 V", "@x", "http://x", "007")
    book["parts"].extend(Part(part=text) for text in texts)
    write_site_book(book, tmp_path / "book.xlsx")
    with zipfile.ZipFile(tmp_path / "book.xlsx") as archive:
        sheets = [archive.read(name) for name in archive.namelist() if "worksheets/" in name]

    assert not any(b"<f>" in sheet or b"<hyperlink" in sheet for sheet in sheets)
    parts = read_site_book(tmp_path / "book.xlsx").book["parts"]
    assert [row.part for row in parts] == sorted(texts)


CHARACTERS = st.characters(codec="utf-8").filter(lambda c: not FORBIDDEN.match(c))
TEXTS = st.one_of(
    st.text(CHARACTERS, min_size=1, max_size=20).map(lambda text: text.strip() or "-"),
    st.sampled_from(
        ["_x0041_", "_x005F_", "x005F_", "_x000D_", '"', "a,b", "a\nb", "' =1", "\ufeff"]
    ),
)
NUMBERS = st.floats(0, 1e308).map(lambda number: number + 0.0)


def value_of(column: Column) -> st.SearchStrategy[Any]:
    bounds = (column.lowest, column.highest, column.above)
    kinds: dict[Kind, st.SearchStrategy[Any]] = {
        Kind.TEXT: st.sampled_from(column.choices) if column.choices else TEXTS,
        Kind.NUMBER: st.floats(0, 1) if bounds != (0.0, None, None) else NUMBERS,
        Kind.WHOLE: st.integers(1, 2**31 - 1),
        Kind.DAY: st.dates(),
        Kind.FLAG: st.booleans(),
    }
    made = kinds[column.kind]
    if column.above is not None:
        made = st.floats(0.001, 1)
    may_be_blank = not column.required and column.default is None
    return st.one_of(st.none(), made) if may_be_blank else made


@st.composite
def books(draw: st.DrawFn) -> Book:
    book = Book()
    some = st.lists(st.sampled_from(BOOK_FILES), min_size=1, max_size=4, unique=True)
    for book_file in draw(some):  # all files at once are more than an example may hold
        row = st.builds(
            book_file.record, **{column.name: value_of(column) for column in book_file.columns}
        )
        rows = draw(st.lists(row, max_size=2, unique_by=book_file.key_of))
        book[book_file.name].extend(sorted(rows, key=lambda r: order(book_file.key_of(r))))
    return book


def order(key: tuple[Any, ...]) -> tuple[Any, ...]:
    return tuple("" if part is None else part for part in key)


@settings(max_examples=60)
@given(books())
def test_any_book_reads_back_as_it_was_written(book: Book) -> None:
    with TemporaryDirectory() as place:
        write_site_book(book, Path(place) / "book")
        write_site_book(book, Path(place) / "book.xlsx")
        from_folder = read_site_book(Path(place) / "book")
        content = (Path(place) / "book.xlsx").read_bytes()
        from_workbook = book_of(Path("book.xlsx"), messages(content))

    assert from_folder.faults == from_workbook.faults == []
    assert from_folder.book.rows == book.rows
    assert from_workbook.book.rows == book.rows


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_the_shortest_form_is_the_same_number_without_an_exponent(number: float) -> None:
    text = short(number)

    assert float(text) == number
    assert set(text) <= set("-.0123456789")


@given(st.floats(0, 1e308))
def test_a_written_number_is_read_back(number: float) -> None:
    read = reader_of(Column("unit_cost", Kind.NUMBER, lowest=0.0))

    assert read(short(number)) == number
