"""The long pole in little room, and the operations of a route, stay to scale.

No outside source: these are properties of the drawings themselves.
"""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from parts.records.answers import OperationAnswer, Step
from parts.records.states import State
from tui.widgets.operations import CRITICAL, LOOSE, SLACK, operation_lines
from tui.widgets.pole import Pole, pole_lines, squeezed

DAYS = st.floats(0, 500, allow_nan=False)
BARS = st.lists(st.tuples(st.text(max_size=9), DAYS, st.booleans()), min_size=1, max_size=20)
OPERATIONS = st.lists(
    st.builds(
        lambda name, start, days, slack, done: OperationAnswer(
            name, start, start + days, slack, slack == 0, done
        ),
        *(st.text(max_size=40), DAYS, DAYS, DAYS, st.booleans()),
    ),
    max_size=12,
)


@given(BARS, st.integers(-3, 25))
def test_squeezing_keeps_all_days_and_every_assumption(
    bars: list[tuple[str, float, bool]], most: int
) -> None:
    found = squeezed(bars, most)

    assert len(found) == min(len(bars), max(1, most))
    assert math.isclose(sum(days for _, days, _ in found), sum(days for _, days, _ in bars))
    assert any(assumed for _, _, assumed in found) == any(assumed for _, _, assumed in bars)


def test_squeezing_joins_the_shortest_neighbours_and_says_how_many() -> None:
    bars = [
        ("order", 1.0, False),
        ("casting", 60.0, False),
        ("turn", 2.0, False),
        ("ship", 2.0, True),
    ]

    assert squeezed(bars, 3) == [
        ("order", 1.0, False),
        ("casting", 60.0, False),
        ("2 steps: turn, ship", 4.0, True),
    ]


@given(st.lists(DAYS, max_size=15), st.integers(16, 150), st.integers(-2, 15))
def test_a_pole_keeps_to_its_lines_and_its_width(days: list[float], width: int, most: int) -> None:
    steps = tuple(Step(f"P: step {n}", d, record=f"routes R/step {n}") for n, d in enumerate(days))
    lines = pole_lines(Pole(steps, "C/p", "P", State.DOWN), width, most)

    assert len(lines) <= max(3, most)
    assert all(cell_len(line.plain) <= width for line in lines)


def test_a_pole_of_nothing_is_nothing() -> None:
    assert pole_lines(Pole((), "C/p", None, State.DOWN), 80) == []


def test_a_pole_names_operations_without_what_the_reader_knows() -> None:
    steps = (
        Step("P: cut", 2.0, assumed=True, record="routes R/cut"),
        Step("P: new from S", 2.0),
        Step("hands-on at C/p, 8 h", 1.0),
    )

    words = [words for words, _, _ in Pole(steps, "C/p", "P", State.DOWN).bars()]
    assert words == ["cut (assumed)", "new from S", "hands-on, 8 h"]


@given(OPERATIONS, st.integers(30, 150))
def test_operations_have_one_line_each_and_fit(
    operations: list[OperationAnswer], width: int
) -> None:
    lines = operation_lines(operations, width)

    assert len(lines) == len(operations) + 1
    assert all(cell_len(line.plain) <= max(width, 36) for line in lines)


def test_operations_are_drawn_when_they_run_and_how_long_they_can_wait() -> None:
    lines = operation_lines(
        [
            OperationAnswer("cutting", 10.0, 40.0, 0.0, critical=True, done=False),
            OperationAnswer("keyway", 10.0, 20.0, 20.0, critical=False, done=False),
            OperationAnswer("turning", 0.0, 10.0, 0.0, critical=True, done=True),
        ],
        74,
    )
    drawn = [line.plain for line in lines[1:]]

    assert [line.split()[0] for line in drawn] == ["turning", "keyway", "cutting"]
    assert drawn[0].count(CRITICAL) * 3 == drawn[2].count(CRITICAL)
    assert (drawn[1].count(LOOSE), drawn[1].count(SLACK)) == (10, 20)
    assert "done" in drawn[0]
    assert "20 d" in drawn[1]
