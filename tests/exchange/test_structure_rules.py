"""Assemblies, needs, groups and routes hold together. Circles: a need is a directed acyclic graph.

The search for circles is checked against networkx, which finds all of them.
"""

from __future__ import annotations

from pathlib import Path

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.exchange.circles import circles
from tests.exchange.small_book import bare, sentences

POSITIONS = "crane,position,parent\nC1,A,\nC1,B,A\nC1,C,A\nC1,K1,\n"
FUNCTIONS = "crane,function,lost_share\nC1,lift,1\n"


def found(tmp_path: Path, **files: str) -> list[str]:
    return sentences(bare(tmp_path / "b", **{"positions": POSITIONS, **files}))


def test_a_position_is_not_inside_itself(tmp_path: Path) -> None:
    positions = "crane,position,parent\nC1,S,S\nC1,A,B\nC1,B,C\nC1,C,A\nC1,D,A\n"

    assert found(tmp_path, positions=positions) == [
        "positions.csv row 2 column parent: is inside itself: 'S' in 'S'",
        "positions.csv row 3 column parent: is inside itself: 'A' in 'B' in 'C' in 'A'",
    ]


def test_a_position_may_be_in_one_of_a_like_name_on_another_crane(tmp_path: Path) -> None:
    positions = "crane,position,parent\nC1,A,B\nC1,B,\nC2,A,\nC2,B,A\n"

    assert found(tmp_path, cranes="crane\nC1\nC2\n", positions=positions) == []


def test_needs_run_in_no_circle(tmp_path: Path) -> None:
    needs = "crane,item,needs\nC1,lift,B\nC1,B,C\nC1,C,B\n"

    assert found(tmp_path, functions=FUNCTIONS, needs=needs) == [
        "needs.csv row 3 column needs: needs run in a circle: 'B' needs 'C' needs 'B' "
        "(an assembly also needs what is inside it)"
    ]


def test_a_position_that_needs_its_own_assembly_is_a_circle(tmp_path: Path) -> None:
    assert found(tmp_path, needs="crane,item,needs\nC1,B,A\n") == [
        "needs.csv row 2 column needs: needs run in a circle: 'B' needs 'A' needs 'B' "
        "(an assembly also needs what is inside it)"
    ]


def test_a_function_and_a_position_of_one_crane_share_no_name(tmp_path: Path) -> None:
    functions = "crane,function,lost_share\nC1,A,1\n"

    assert found(tmp_path, functions=functions) == [
        "positions.csv row 2 column position: 'A' is also a function of crane 'C1'"
    ]


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        ("C1,lift,B,g,1\nC1,lift,C,g,1\n", []),
        ("C1,lift,B,,1\n", ["row 2 column group: must not be blank where at_least (1) is given"]),
        (
            "C1,lift,B,g,\nC1,lift,C,g,1\n",
            ["row 2 column at_least: must not be blank where a group ('g') is given"],
        ),
        ("C1,lift,B,g,0\nC1,lift,C,g,1\n", ["row 2 column at_least: '0' is below 1"]),
        (
            "C1,lift,B,g,3\nC1,lift,C,g,3\n",
            ["row 2 column at_least: '3' is more than the 2 members of group 'g'"],
        ),
        (
            "C1,lift,B,g,1\nC1,lift,C,g,2\n",
            [
                "row 3 column at_least: '2' differs from '1' in row 2, "
                "which is of the same group 'g'"
            ],
        ),
    ],
)
def test_the_rows_of_a_group_say_the_same_and_no_more_than_it_has(
    tmp_path: Path, rows: str, expected: list[str]
) -> None:
    needs = f"crane,item,needs,group,at_least\n{rows}"
    sentences_found = found(tmp_path, functions=FUNCTIONS, needs=needs)

    assert sentences_found == [f"needs.csv {line}" for line in expected]


def test_an_operation_does_not_come_after_itself(tmp_path: Path) -> None:
    routes = "route,operation,after,likely\nR1,a,c,1\nR1,b,a,1\nR1,c,a+b,1\nR2,a,,1\n"

    assert found(tmp_path, routes=routes)[0].startswith(
        "routes.csv row 2 column after: comes after itself: 'a' after 'c' after 'a'"
    )


@given(st.dictionaries(st.integers(0, 7), st.lists(st.integers(0, 7), max_size=3), max_size=8))
def test_circles_are_found_where_and_only_where_there_are_any(edges: dict[int, list[int]]) -> None:
    graph = networkx.DiGraph([(a, b) for a, after in edges.items() for b in after])
    ours = circles(edges)

    assert bool(ours) != networkx.is_directed_acyclic_graph(graph)
    for circle in ours:
        for here, ahead in zip(circle, circle[1:] + circle[:1], strict=True):
            assert ahead in edges[here]
