"""Every cell and every header that cannot be right is one sentence that names its place.

What a CSV file is: RFC 4180. What is refused and how it is worded has no outside source: it is the
program's own rule.
"""

from __future__ import annotations

import codecs
from pathlib import Path

import pytest

from tests.exchange.small_book import bare, checked, folder, sentences


def part(header: str, cell: str) -> str:
    return f"part,{header}\nP1,{cell}\n"


def test_the_small_book_has_no_fault(tmp_path: Path) -> None:
    assert sentences(folder(tmp_path / "book")) == []


def test_a_book_of_headers_alone_has_no_fault(tmp_path: Path) -> None:
    book = bare(tmp_path / "b", cranes="crane\n", parts="part\n", positions="crane,position\n")

    assert sentences(book) == []


@pytest.mark.parametrize(
    ("header", "cell", "reason"),
    [
        ("unit_cost", "abc", "'abc' is not a number"),
        ("unit_cost", '"1,5"', "'1,5' is not a number"),
        ("unit_cost", "1e3", "'1e3' is not a number"),
        ("unit_cost", "nan", "'nan' is not a number"),
        ("unit_cost", "inf", "'inf' is not a number"),
        ("unit_cost", "1_000", "'1_000' is not a number"),
        ("unit_cost", "１２", "'１２' is not a number"),
        ("unit_cost", "²", "'²' is not a number"),
        ("unit_cost", "1 000", "'1 000' is not a number"),
        ("unit_cost", "-0.01", "'-0.01' is negative"),
        ("unit_cost", "9" * 400, f"'{'9' * 60}…' is too large"),
        ("min_stock", "1.5", "'1.5' is not a whole number"),
        ("min_stock", "5.0", "'5.0' is not a whole number"),
        ("min_stock", "-1", "'-1' is negative"),
        ("min_stock", "1000000000000", "'1000000000000' is too large"),
        ("introduced", "01.02.2020", "'01.02.2020' is not a date written YYYY-MM-DD"),
        ("introduced", "2023-02-29", "'2023-02-29' is a date that does not exist"),
        ("introduced", "2020-1-1", "'2020-1-1' is not a date written YYYY-MM-DD"),
        ("introduced", "2020-01-01T00:00", "'2020-01-01T00:00' is not a date written YYYY-MM-DD"),
        ("drawing", "Yes", "'Yes' is neither yes nor no"),
        ("drawing", "1", "'1' is neither yes nor no"),
        ("life_basis", "days", "'days' is none of years, hours"),
        ("description", "a\x00b", "'a␀b' holds the control character U+0000"),
        ("description", "a\x85b", "'a<U+0085>b' holds the control character U+0085"),
        ("description", '"a\rb"', "'a b' holds the control character U+000D"),
        ("description", "\x1b", "'␛' holds the control character U+001B"),
        ("description", "x" * 10_001, f"'{'x' * 60}…' is longer than 10,000 characters"),
    ],
)
def test_a_cell_of_the_wrong_kind_is_named(
    tmp_path: Path, header: str, cell: str, reason: str
) -> None:
    book = bare(tmp_path / "book", parts=part(header, cell))

    assert sentences(book) == [f"parts.csv row 2 column {header}: {reason}"]


@pytest.mark.parametrize(
    ("file", "content", "sentence"),
    [
        ("functions", "crane,function,lost_share\nC1,lift,0\n", "lost_share: '0' is not above 0"),
        ("functions", "crane,function,lost_share\nC1,lift,1.1\n", "lost_share: '1.1' is above 1"),
        ("cranes", "crane,hours_per_year\nC1,8785\n", "hours_per_year: '8785' is above 8784"),
        ("cranes", "crane,cover_share\nC1,-1\n", "cover_share: '-1' is negative"),
        ("positions", "crane,position,qty\nC1,K1,0\n", "qty: '0' is below 1"),
        ("parts", "part\nP1\n,\n", ""),
        ("functions", "crane,function,lost_share\nC1,lift,\n", "lost_share: must not be blank"),
        ("currencies", "currency,rate,dated\nX,0,2020-01-01\n", "rate: '0' is not above 0"),
    ],
)
def test_bounds_and_blanks_are_kept(tmp_path: Path, file: str, content: str, sentence: str) -> None:
    found = sentences(bare(tmp_path / "book", **{file: content}))

    assert found == ([f"{file}.csv row 2 column {sentence}"] if sentence else [])


def test_values_are_trimmed_and_signs_of_designations_kept(tmp_path: Path) -> None:
    text = 'part,description\n  =H1+S2-K3 ,"\t two\nlines "\n-K1,@x\nP1,\n'
    merged = checked(bare(tmp_path / "book", parts=text))

    assert merged.faults == []
    assert [row.part for row in merged.book["parts"]] == ["=H1+S2-K3", "-K1", "P1"]
    assert merged.book["parts"][0].description == "two\nlines"


@pytest.mark.parametrize("number", ["5", "5.0", "+5", "05", "5.", "5.00"])
def test_plain_decimals_are_numbers(tmp_path: Path, number: str) -> None:
    merged = checked(bare(tmp_path / "book", parts=part("unit_cost", number)))

    assert merged.faults == []
    assert merged.book["parts"][0].unit_cost == 5.0


def test_a_row_number_is_the_one_a_spreadsheet_shows(tmp_path: Path) -> None:
    text = 'part,description,unit_cost\nP1,"a\n\nquoted break",1\n\n,,\nP2,,x\n'

    assert sentences(bare(tmp_path / "book", parts=text)) == [
        "parts.csv row 5 column unit_cost: 'x' is not a number"
    ]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", [b"", codecs.BOM_UTF8])
def test_line_ends_and_a_byte_order_mark_do_not_matter(
    tmp_path: Path, end: str, mark: bytes
) -> None:
    content = mark + f"part,description{end}P1,Größe{end}".encode()
    merged = checked(bare(tmp_path / "book", parts=content))

    assert merged.faults == []
    assert merged.book["parts"][0].description == "Größe"


@pytest.mark.parametrize(
    ("header", "reason"),
    [
        ("part,colour", "'colour' is not a column of part_numbers; it has part, number, owner"),
        ("part,Owner", "'Owner' is written owner here"),
        ("part,owner,owner", "the column 'owner' stands here twice"),
        ("part,owner,OWNER", "the column 'OWNER' stands here twice, also as 'owner'"),
        ("part,", "column 2 has no name"),
    ],
)
def test_a_header_names_known_columns_once(tmp_path: Path, header: str, reason: str) -> None:
    text = f"{header},number\n" + "P1," * header.count(",") + "P1,N1\n"

    assert sentences(bare(tmp_path / "b", part_numbers=text)) == [
        f"part_numbers.csv row 1: {reason}"
    ]


def test_a_missing_column_is_one_fault_and_not_one_for_each_row(tmp_path: Path) -> None:
    book = bare(tmp_path / "b", functions="crane,function\nC1,lift\nC1,travel\n")

    assert sentences(book) == ["functions.csv row 1: the column 'lost_share' is missing"]


def test_columns_set_apart_by_semicolons_are_recognised(tmp_path: Path) -> None:
    assert sentences(bare(tmp_path / "b", parts="part;unit_cost\nP1;5\n")) == [
        "parts.csv row 1: the columns are not separated by commas"
    ]


@pytest.mark.parametrize(("cells", "count"), [("P1", 1), ("P1,disc,5,6", 4)])
def test_a_row_is_as_long_as_its_header(tmp_path: Path, cells: str, count: int) -> None:
    text = f"part,description,unit_cost\n{cells}\n"

    assert sentences(bare(tmp_path / "b", parts=text)) == [
        f"parts.csv row 2: has {count} cells where the header has 3"
    ]


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (b"", ": is empty; it needs a row with the names of its columns"),
        (b"\n\n , \n", ": is empty; it needs a row with the names of its columns"),
        ("part\nGröße\n".encode("cp1252"), ": is not UTF-8 (line 2); save it as CSV UTF-8"),
        ("part\nP1\n".encode("utf-16"), ": is UTF-16; save it as CSV UTF-8"),
        ("part\nP1\n".encode("utf-16-le"), ": is UTF-16; save it as CSV UTF-8"),
        (b'part\nP1\n"P2\nP3\n', " row 3: a quote that begins in line 3 is not closed"),
        (
            b'part\n"P2"x\nP1\n',
            " row 2: in line 2 a quote is followed by more text; "
            "double a quote within a quoted text",
        ),
        (
            b'part\nP1\n"' + b"x" * 200_000 + b'"\n',
            " row 3: the text that begins in line 3 is far too long, or its quote is not closed",
        ),
    ],
)
def test_a_file_that_cannot_be_read_is_one_fault(
    tmp_path: Path, content: bytes, reason: str
) -> None:
    assert sentences(bare(tmp_path / "b", parts=content)) == [f"parts.csv{reason}"]


def test_unknown_files_and_missing_ones_are_named(tmp_path: Path) -> None:
    book = bare(tmp_path / "b", cranes=None)
    (book / "notes.txt").write_text("x")
    (book / "Offers.csv").write_text("x")
    (book / "stock").mkdir()
    (book / ".DS_Store").write_text("x")

    assert sentences(book) == [
        "cranes.csv: is missing; every site book has it",
        "Offers.csv: is not a file of a site book; it is written offers.csv",
        "notes.txt: is not a file of a site book",
        "stock: is not a file of a site book",
    ]


def test_all_faults_come_in_one_run_and_in_the_order_of_the_book(tmp_path: Path) -> None:
    book = bare(
        tmp_path / "b",
        offers="supplier,part,likely\nS1,P1,x\nS1,P9,5\n",
        parts="part,unit_cost,default_route\nP1,x,R9\nP2,-1,\np1,,\n",
        positions="crane,position,part\nC1,K1,P2\nC9,K1,P1\n",
        suppliers="supplier\nS1\n",
    )

    assert sentences(book) == [
        "parts.csv row 2 column unit_cost: 'x' is not a number",
        "parts.csv row 2 column default_route: 'R9' is not in routes",
        "parts.csv row 3 column unit_cost: '-1' is negative",
        "parts.csv row 4 column part: 'p1' differs only in case, width or blanks "
        "from 'P1' in row 2",
        "positions.csv row 3 column crane: 'C9' is not in cranes",
        "offers.csv row 2 column likely: 'x' is not a number",
        "offers.csv row 3 column part: 'P9' is not in parts",
    ]
