"""The drawings of the pictures as text, on tiny inputs and at widths down to nothing.

What they must never do: draw a length or a place that is not so, cut a figure, let two labels
touch.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from parts.records.picture_answers import HeatCell
from tui.pictures.ages import half_lines
from tui.widgets import heat
from tui.widgets.bars import LEAST_BAR, days_figure
from tui.widgets.branches import branches
from tui.widgets.strips import AT, BEYOND, BOTH, Spread, cell_of, ruler, strip
from tui.widgets.year_bars import YearBar, year_lines

WIDTHS = pytest.mark.parametrize("width", [*range(30), 40, 57, 78, 138])
EIGHTHS = " ▏▎▍▌▋▊▉█"


def length(bar: str) -> int:
    """Return how many eighths of a cell a bar is long."""
    return sum(EIGHTHS.index(cell) for cell in bar)


def parted(line: str) -> tuple[list[str], list[int]]:
    """Return the words of a line, and the lengths of its bars in eighths."""
    words = line.split()
    return (
        [word for word in words if not set(word) <= set(EIGHTHS)],
        [length(word) for word in words if set(word) <= set(EIGHTHS)],
    )


# Branches


def test_a_line_hangs_on_what_is_above_it() -> None:
    depths = [0, 1, 1, 2, 3, 2, 0, 1]

    assert branches(depths, 20) == ["", "├ ", "└ ", "  ├ ", "  │ └ ", "  └ ", "", "└ "]
    assert branches([], 20) == []


def test_a_branch_ends_where_a_root_begins() -> None:
    assert branches([0, 1, 0, 0, 1], 20) == ["", "└ ", "", "", "└ "]


def test_deep_lines_say_how_deep_they_are() -> None:
    depths = list(range(6))

    assert branches(depths, 5) == ["", "└ ", "  └ ", "3 ", "4 ", "5 "]


@WIDTHS
def test_branches_never_take_more_than_their_room(width: int) -> None:
    found = branches([*range(300), 0, 1, 2], width)

    assert all(cell_len(before) <= width for before in found)


# Ranges


def test_each_sign_stands_in_the_cell_of_its_figure() -> None:
    drawn = strip(Spread(0.5, 1.0, 1.5), 1.25, 2.0, 20)

    assert drawn == "     ├────┼─◆──┤"
    assert [drawn.index(sign) for sign in "├┼◆┤"] == [
        cell_of(figure, 2.0, 20) for figure in (0.5, 1.0, 1.25, 1.5)
    ]


def test_signs_in_one_cell_become_one_and_what_lies_above_the_axis_ends_in_an_arrow() -> None:
    assert strip(Spread(1.0, 1.0, 1.0), 1.0, 2.0, 20).strip() == BOTH
    assert strip(Spread(0.5, 1.0, 1.5), 9.0, 2.0, 20)[-1] == BEYOND
    assert strip(Spread(0.5, 1.0, 9.0), 0.1, 2.0, 20).endswith("─" + BEYOND)
    assert strip(Spread(3.0, 4.0, 5.0), None, 2.0, 20).strip() == BEYOND


def test_what_nobody_knows_is_left_out_and_nothing_known_is_a_question_mark() -> None:
    assert strip(None, None, 2.0, 20) == "?"
    assert strip(None, 1.0, 2.0, 20).strip() == AT
    assert AT not in strip(Spread(0.5, 1.0, 1.5), None, 2.0, 20)


def test_a_range_that_is_out_of_order_is_refused() -> None:
    with pytest.raises(ValueError, match="a range runs from low"):
        strip(Spread(2.0, 1.0, 3.0), None, 4.0, 20)


@WIDTHS
def test_no_range_is_drawn_where_it_would_show_no_proportion(width: int) -> None:
    drawn, title = strip(Spread(0.1, 0.9, 1.9), 1.0, 2.0, width), ruler(1.0, "mean", 2.0, width)

    assert cell_len(drawn) <= width
    assert len(title) == (width if width >= LEAST_BAR else 0)
    assert bool(drawn) == (width >= LEAST_BAR)


@given(
    st.lists(st.floats(0.0, 5.0), min_size=4, max_size=4),
    st.integers(LEAST_BAR, 60),
)
def test_signs_keep_the_order_of_their_figures(figures: list[float], width: int) -> None:
    low, middle, high = sorted(figures[:3])
    drawn = strip(Spread(low, middle, high), figures[3], 5.0, width)

    if AT in drawn and "┤" in drawn and figures[3] < high:
        assert drawn.index(AT) < drawn.index("┤")
    if AT in drawn and "├" in drawn and figures[3] > low:
        assert drawn.index(AT) > drawn.index("├")
    assert drawn.count(AT) <= 1
    assert BOTH in drawn or [drawn.count(sign) for sign in "├┼┤"] == [1, 1, 1]


def test_the_axis_names_its_mark_where_there_is_room() -> None:
    assert ruler(1.0, "mean life", 2.0, 20) == "0─────────┬mean life"
    assert ruler(1.0, "mean life", 2.0, 19) == "0────────┬mean life"
    assert ruler(1.0, "mean life", 2.0, 12) == "0─────┬─────"
    assert ruler(0.1, "mean", 2.0, 12) == "0───────────"


# Years

YEARS = [
    YearBar("2026-11-25", 800.0, 400.0),
    YearBar("2027-11-25", 400.0, 0.2),
    YearBar("2028-11-25", 0.0, 0.0),
]


def test_years_stand_side_by_side_on_one_scale() -> None:
    assert year_lines(YEARS, 48) == [
        "from        as is            with plan",
        "2026-11-25    800  ████████        400  ████",
        "2027-11-25    400  ████             <1  ▏",
        "2028-11-25      0                    0",
    ]


def test_without_a_plan_there_is_one_bar() -> None:
    years = [YearBar("2026", 3.0, None), YearBar("2027", 1.5, None)]

    assert year_lines(years, 26, days_figure) == [
        "from  as is",
        "2026      3  █████████████",
        "2027    1.5  ██████▌",
    ]


@WIDTHS
def test_a_bar_is_right_to_an_eighth_of_a_cell_or_is_not_drawn(width: int) -> None:
    lines = year_lines(YEARS, width)
    bars = [parted(line)[1] for line in lines[1:3]]

    assert all(cell_len(line) <= width for line in lines)
    assert len(bars[0] if bars else []) <= 2
    if bars and bars[0]:
        whole = bars[0][0]
        assert whole >= LEAST_BAR * 8
        assert whole % 8 == 0
        assert abs(bars[1][0] - whole / 2) <= 1
        assert bars[0][1:] in ([], [bars[1][0]])
        assert bars[1][1:] in ([], [1])


@WIDTHS
def test_no_figure_of_a_year_is_cut(width: int) -> None:
    years = [YearBar("2026-11-25", 1_234_567.0, 987_654.0)]
    text = " ".join(year_lines(years, width))

    digits = [word for word in text.split() if word[:1].isdigit() and word != "2026-11-25"]
    assert set(digits) <= {"1,234,567", "987,654"}


def test_no_year_and_nothing_expected_are_said() -> None:
    assert year_lines([], 40) == ["No year to show."]
    assert year_lines([YearBar("2026", 0.0, 0.0)], 40)[1].split() == ["2026", "0", "0"]


# Heat


def cell(value: float | None, unknown: int = 0) -> HeatCell:
    return HeatCell(positions=2, unknown=unknown, value=value, worst="hook")


def test_steps_begin_at_round_figures_and_the_highest_is_always_on_the_last() -> None:
    assert heat.bounds(89_735.0) == (1000.0, 3000.0, 10_000.0, 30_000.0)
    assert heat.bounds(1.0) == (0.01, 0.03, 0.1, 0.3)
    assert heat.bounds(0.0) == ()
    for most in (1e-9, 0.3, 1.0, 2.9, 3.0, 3.1, 10.0, 7e11):
        steps = heat.bounds(most)
        assert len(steps) == len(heat.STEPS) - 1
        assert heat.symbol(cell(most), steps) == "█"


@given(st.lists(st.floats(1e-6, 1e9), min_size=2, max_size=20))
def test_more_is_never_a_lighter_step(values: list[float]) -> None:
    steps = heat.bounds(max(values))
    found = [heat.step_of(value, steps) for value in sorted(values)]

    assert found == sorted(found)


def test_none_unknown_absent_and_partly_known_cells_look_unlike_one_another() -> None:
    steps = heat.bounds(100.0)
    drawn = [
        heat.shaded(each, steps, 5)
        for each in (None, cell(None, 2), cell(0.0), cell(0.5), cell(50.0, 1), cell(100.0))
    ]

    assert drawn == ["     ", "  ?  ", "  0  ", "·····", "████?", "█████"]


@pytest.mark.parametrize("width", range(1, 12))
def test_titles_take_their_cells_and_no_more(width: int) -> None:
    for name in ("hoisting", "emergency stop", "full bridge speed", "漢字漢字 漢字", "[/x]\x1b[2J"):
        lines = heat.title_lines(name, width)

        assert [cell_len(line) for line in lines] == [width] * heat.TITLE_LINES
        assert not any("\x1b" in line for line in lines)


def test_a_title_that_needs_more_lines_says_that_it_goes_on() -> None:
    assert heat.title_lines("full bridge speed", 8) == ["full    ", "bridge …"]
    assert heat.title_lines("hoisting", 8) == ["        ", "hoisting"]


def test_the_legend_tells_every_step() -> None:
    text = heat.legend(heat.bounds(89_735.0), "EUR")

    assert "· less, ░ from 1,000, ▒ from 3,000, ▓ from 10,000, █ from 30,000 EUR" in text
    assert heat.legend((), "EUR") == "0 nothing, ? not known, blank: no such system"


# Halves of a life


@WIDTHS
def test_counts_stand_beside_their_bars_at_any_width(width: int) -> None:
    found = [parted(line.plain) for line in half_lines((8, 4, 0, 1, 0), width)][:5]
    bars = [bar for _, bar in found]

    assert [words[-1] for words, _ in found] == [*"84010"]
    if bars[0]:
        assert bars[0][0] % 8 == 0
        assert abs(bars[1][0] - bars[0][0] / 2) <= 1
        assert (bars[2], bars[4]) == ([], [])
        assert abs(bars[3][0] - bars[0][0] / 8) <= 1


def test_without_a_known_age_there_are_no_bars() -> None:
    assert len(list(half_lines((0, 0, 0, 0, 0), 60))) == 1
