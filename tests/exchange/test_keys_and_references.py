"""A key stands once, and whatever a row names is there, spelt the same way."""

from __future__ import annotations

from pathlib import Path

import pytest

from parts.records.book import Book
from parts.records.catalogue import Part
from parts.records.structure import Crane, Position
from tests.exchange.small_book import bare, folder, sentences

FOLDED = "differs only in case, width or blanks"


@pytest.mark.parametrize(
    ("file", "content", "sentence"),
    [
        ("parts", "part\nP1\nP1\n", "row 3 column part: 'P1' stands here twice, also in row 2"),
        ("parts", "part\nP1\np1\n", f"row 3 column part: 'p1' {FOLDED} from 'P1' in row 2"),
        ("parts", "part\nP1\nＰ1\n", f"row 3 column part: 'Ｐ1' {FOLDED} from 'P1' in row 2"),
        (
            "positions",
            "crane,position\nC1,K1\nC1,k1\n",
            f"row 3: 'C1, k1' {FOLDED} from 'C1, K1' in row 2",
        ),
        (
            "holidays",
            "date\n2026-01-01\n2026-01-01\n",
            "row 3 column date: '2026-01-01' stands here twice, also in row 2",
        ),
        (
            "notices",
            "part,notice_on\nP1,2026-01-01\nP1,2026-01-01\n",
            "row 3: 'P1, 2026-01-01' stands here twice, also in row 2",
        ),
        ("site", "key,value\ndonors,no\ndonors,yes\n", "row 3 column key: 'donors' stands here"),
    ],
)
def test_a_key_stands_once(tmp_path: Path, file: str, content: str, sentence: str) -> None:
    (found,) = sentences(bare(tmp_path / "b", **{file: content}))

    assert found.startswith(f"{file}.csv {sentence}")


def test_a_key_that_differs_only_in_case_from_the_database_is_refused(tmp_path: Path) -> None:
    existing = Book()
    existing["parts"].append(Part(part="p1"))

    assert sentences(bare(tmp_path / "b"), existing) == [
        f"parts.csv row 2 column part: 'P1' {FOLDED} from 'p1' in the database"
    ]


@pytest.mark.parametrize(
    ("file", "content", "sentence"),
    [
        ("positions", "crane,position\nC9,K1\n", "row 2 column crane: 'C9' is not in cranes"),
        (
            "positions",
            "crane,position\nc1,K1\n",
            f"row 2 column crane: 'c1' is not in cranes; 'C1' {FOLDED}",
        ),
        (
            "positions",
            "crane,position,parent\nC1,K1,A\n",
            "row 2 column parent: 'A' is no position of crane 'C1'",
        ),
        (
            "positions",
            "crane,position,parent\nC1,K1,\nC1,K2,k1\n",
            f"row 3 column parent: 'k1' is no position of crane 'C1'; 'K1' {FOLDED}",
        ),
        ("companions", "part,companion\nP1,P9\n", "row 2 column companion: 'P9' is not in parts"),
        (
            "needs",
            "crane,item,needs\nC1,lift,K1\n",
            "row 2 column item: 'lift' is no position or function of crane 'C1'",
        ),
        (
            "needs",
            "crane,item,needs\nC1,K1,k1\n",
            f"row 2 column needs: 'k1' is no position or function of crane 'C1'; 'K1' {FOLDED}",
        ),
        (
            "failures",
            "crane,position,failed_on,consumed\nC1,K1,2026-01-01,P1+P9\n",
            "row 2 column consumed: 'P9' is not in parts",
        ),
        (
            "failures",
            "crane,position,failed_on,consumed\nC1,K1,2026-01-01,P1+\n",
            "row 2 column consumed: 'P1+' has a + without a name beside it",
        ),
        (
            "routes",
            "route,operation,after,likely\nR1,a,b,1\n",
            "row 2 column after: 'b' is no operation of route 'R1'",
        ),
        (
            "movements",
            "date,part,qty,kind,position\n2026-01-01,P1,1,receipt,K1\n",
            "row 2 column crane: must not be blank where a position ('K1') is given",
        ),
        (
            "movements",
            "date,part,qty,kind,reverses\n2026-01-01,P1,1,reversal,m9\n",
            "row 2 column reverses: 'm9' is not in movements",
        ),
    ],
)
def test_a_name_that_is_not_there_is_a_fault(
    tmp_path: Path, file: str, content: str, sentence: str
) -> None:
    assert sentences(bare(tmp_path / "b", **{file: content})) == [f"{file}.csv {sentence}"]


def test_a_refused_row_still_counts_for_those_that_name_it(tmp_path: Path) -> None:
    book = bare(tmp_path / "b", parts="part,unit_cost\nP1,x\n", cranes="crane,bay\nC1\n")

    assert sentences(book) == [
        "cranes.csv row 2: has 1 cells where the header has 2",
        "parts.csv row 2 column unit_cost: 'x' is not a number",
    ]


def test_a_file_that_cannot_be_read_makes_no_reference_to_it_wrong(tmp_path: Path) -> None:
    assert sentences(folder(tmp_path / "b", parts=b"\xff")) == [
        "parts.csv: is not UTF-8 (line 1); save it as CSV UTF-8"
    ]


def test_names_in_the_database_are_there_too(tmp_path: Path) -> None:
    existing = Book()
    existing["cranes"].append(Crane(crane="C7"))
    positions = "crane,position,part\nC7,K1,P1\n"

    assert sentences(bare(tmp_path / "b", positions=positions), existing) == []


def test_a_fault_of_a_row_in_the_database_names_the_database(tmp_path: Path) -> None:
    existing = Book()
    existing["positions"].append(Position(crane="C1", position="K7", part="P7"))

    assert sentences(bare(tmp_path / "b"), existing) == [
        "database positions C1, K7 column part: 'P7' is not in parts"
    ]
