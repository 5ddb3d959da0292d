"""The frontier in block characters: true at every size, and nothing at all where it cannot be."""

from __future__ import annotations

import pytest
from rich.cells import cell_len

from tui.widgets.frontier import BELOW, LEVELS, Spot, column_of, frontier_lines

POINTS = [Spot(0, 1000), Spot(100, 600), Spot(250, 350), Spot(1000, 100)]
KNEE = POINTS[2]


def heights(lines: list[str], rows: int) -> list[int]:
    """Return how many eighths each column is high."""
    drawn = [line.partition("│")[2] for line in lines[:rows]]
    columns = max(map(len, drawn))
    return [sum(LEVELS.index(line.ljust(columns)[at]) for line in drawn) for at in range(columns)]


def test_a_site_where_nothing_is_worth_buying_says_so() -> None:
    lines = frontier_lines([Spot(0, 1000)], Spot(0, 1000), None, 60, 10)

    assert lines == ["No purchase is worth making: there is nothing to draw."]
    assert frontier_lines([], Spot(0, 0), None, 60, 10) == lines


def test_heights_are_the_shares_that_are_left() -> None:
    lines = frontier_lines(POINTS, Spot(0, 1000), KNEE, len("1,000 │") + 101, 10 + BELOW)
    found = heights(lines, 10)

    # 101 columns over 1000: a column each 10; 80 eighths over 1000
    assert len(found) == 101
    assert found[0] == found[9] == 80
    assert found[10] == found[24] == 48
    assert found[25] == found[99] == 28
    assert found[100] == 8


@pytest.mark.parametrize("width", [*range(22, 90, 7), 140])
@pytest.mark.parametrize("height", [5, 6, 9, 17])
def test_columns_never_rise_and_what_is_left_is_never_drawn_as_nothing(
    width: int, height: int
) -> None:
    points = [Spot(0, 1e6), Spot(1, 999_999), Spot(500, 20), Spot(1000, 0.1)]
    lines = frontier_lines(points, points[2], points[1], width, height)
    found = heights(lines, height - BELOW)

    assert sorted(found, reverse=True) == found
    assert found[-1] == 1
    assert all(each < 8 * (height - BELOW) for each in found[1:])


def test_a_frontier_that_ends_at_nothing_ends_without_ink() -> None:
    lines = frontier_lines([Spot(0, 5), Spot(10, 0)], Spot(10, 0), None, 40, 8)

    assert heights(lines, 5)[-1:] != [1]
    assert lines[4].endswith("█")


@pytest.mark.parametrize("width", range(80))
@pytest.mark.parametrize("height", [0, 1, 2, 4, 5, 12])
def test_no_line_is_too_wide_and_no_drawing_too_high(width: int, height: int) -> None:
    lines = frontier_lines(POINTS, POINTS[1], KNEE, width, height)

    assert len(lines) <= max(0, height)
    assert all(cell_len(line) <= width for line in lines)


def test_where_there_is_no_room_the_figures_stand_alone() -> None:
    lines = frontier_lines(POINTS, POINTS[1], KNEE, 60, 4)

    assert lines == ["▲ this plan: 100 leaves 600", "◆ knee: 250 leaves 350"]


def test_plan_and_knee_stand_at_their_amounts_and_are_told() -> None:
    lines = frontier_lines(POINTS, POINTS[1], KNEE, 80, 10)
    axis = lines[7].partition("└")[2]

    assert axis.index("▲") == column_of(100, 1000, len(axis))
    assert axis.index("◆") == column_of(250, 1000, len(axis))
    assert lines[8].split() == ["0", "500", "1,000"]
    assert lines[9] == "▲ this plan: 100 leaves 600 · ◆ knee: 250 leaves 350"


def test_a_plan_at_the_knee_has_one_sign() -> None:
    lines = frontier_lines(POINTS, KNEE, KNEE, 80, 10)

    assert lines[7].count("◈") == 1
    assert "▲" not in "".join(lines)
    assert lines[9] == "◈ this plan, at the knee: 250 leaves 350"


def test_a_plan_beside_the_knee_in_one_column_is_told_apart() -> None:
    lines = frontier_lines(POINTS, Spot(251, 349), KNEE, 40, 10)

    assert lines[7].count("◈") == 1
    assert "▲ this plan: 251 leaves 349" in lines[9]
