"""A drawing may be coarse, but it never says what is not so.

No outside source: these are properties of the drawing itself.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from rich.cells import cell_len

from tui.widgets.bars import LEAST_BAR, bar, days_text, level, limit_bar, long_pole_lines

DAYS = st.floats(0, 5_000, allow_nan=False)
STEPS = st.lists(st.tuples(st.text(max_size=30), st.none() | DAYS), max_size=12)
INK = set("█▌▐#")
CHAIN = [("Find a maker", 3.0), ("Casting", 42.0), ("Approval", 0.0), ("Machining", 10.0)]


def test_a_bar_without_room_is_empty() -> None:
    assert bar(3, 5, 0) == ""


@pytest.mark.parametrize("value", [-1.0, math.nan, math.inf])
def test_what_is_no_length_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="from 0 up"):
        bar(value, 5, 10)
    with pytest.raises(ValueError, match="from 0 up"):
        long_pole_lines([("Casting", value)], 80)


@pytest.mark.parametrize(
    ("value", "expected"),
    [(0, "    "), (4, "██  "), (8, "████"), (3, "█▌  "), (9, "███▶"), (None, "?   ")],
)
def test_a_bar_is_to_scale(value: float | None, expected: str) -> None:
    assert bar(value, 8, 4) == expected


@pytest.mark.parametrize(("value", "expected"), [(0, "    "), (4, "##  "), (9, "###>")])
def test_a_plain_bar_is_to_scale(value: float, expected: str) -> None:
    assert bar(value, 8, 4, plain=True) == expected


@given(DAYS, DAYS, st.integers(1, 60), st.booleans())
def test_a_bar_is_empty_only_for_nothing_and_full_only_at_the_top(
    value: float, top: float, width: int, plain: bool
) -> None:
    drawn = bar(value, top, width, plain=plain)

    assert cell_len(drawn) == width
    assert (drawn.strip() == "") == (value == 0)
    if width > 1:
        assert (drawn == ("#" if plain else "█") * width) == (value == top > 0)


@given(DAYS, DAYS, st.integers(2, 60))
def test_the_greater_value_never_has_the_shorter_bar(a: float, b: float, width: int) -> None:
    less, more = sorted((a, b))
    inked = [sum(" ▏▎▍▌▋▊▉█".index(c) for c in bar(v, more, width)) for v in (less, more)]

    assert inked[0] <= inked[1]


def test_no_steps_say_so() -> None:
    assert long_pole_lines([], 80) == ["No steps."]


def test_the_pole_is_drawn_one_step_after_the_other() -> None:
    assert long_pole_lines(CHAIN, 50) == [
        "Find a maker   3 d  █▌",
        "Casting       42 d   ▐█████████████████████▌",
        "Approval       0 d                         ◇",
        "Machining     10 d                         ▐█████",
        "                    ┴────┴────┴─────┴────┴────┴───",
        "days                0    10   20    30   40   50",
        "in all        55 d",
    ]


def test_a_plain_terminal_gets_plain_characters() -> None:
    text = "\n".join(long_pole_lines([*CHAIN, ("Approval abroad", None)], 60, plain=True))

    assert text.isascii()
    assert ">= 55 d" in text


def test_an_unknown_step_is_a_question_and_a_sentence() -> None:
    lines = long_pole_lines([("Drawing", 5), ("Find a maker", None), ("Casting", 5)], 90)

    assert lines[1].split() == ["Find", "a", "maker", "?", "?"]
    assert "≥ 10 d" in lines[-2]
    assert lines[-1].startswith("? = nobody knows how many days")


def test_steps_without_any_days_need_no_axis() -> None:
    assert long_pole_lines([("Approval", 0)], 60) == ["Approval  0 d  ◇", "in all    0 d"]
    assert long_pole_lines([("Approval", None)], 90)[1] == "in all    ?"


def test_a_label_that_a_terminal_would_obey_is_shown() -> None:
    assert long_pole_lines([("\x1b[2J[/x]", 1)], 60)[0].startswith("␛[2J[/x]")


@given(STEPS, st.integers(16, 140), st.booleans())
def test_no_line_is_wider_than_asked(
    steps: list[tuple[str, float | None]], width: int, plain: bool
) -> None:
    assert all(cell_len(line) <= width for line in long_pole_lines(steps, width, plain=plain))


@given(st.lists(DAYS.filter(lambda d: d > 0), min_size=1, max_size=12), st.integers(30, 140))
def test_each_step_has_ink_and_begins_where_the_last_one_ended(
    days: list[float], width: int
) -> None:
    lines = long_pole_lines([(f"step {n}", d) for n, d in enumerate(days)], width)[: len(days)]
    spans = [ink_span(line) for line in lines]

    assert all(end > start for start, end in spans)
    assert all(abs(after[0] - before[1]) <= 1 for before, after in pairwise(spans))


@given(st.lists(DAYS.filter(lambda d: d > 0), min_size=1, max_size=8), st.integers(30, 140))
def test_bars_are_as_long_as_their_days_to_a_cell(days: list[float], width: int) -> None:
    lines = long_pole_lines([(f"step {n}", d) for n, d in enumerate(days)], width)
    axis = len(lines[len(days)].strip()) - 1

    for line, d in zip(lines, days, strict=False):
        start, end = ink_span(line)
        assert abs((end - start) - d / math.fsum(days) * axis) <= 1.5


def ink_span(line: str) -> tuple[float, float]:
    places = [place for place, character in enumerate(line) if character in INK]
    start, end = float(places[0]), places[-1] + 1.0
    return start + (line[places[0]] == "▐") / 2, end - (line[places[-1]] == "▌") / 2


@given(st.floats(0.01, 1e6), st.integers(30, 140))
def test_axis_labels_never_touch_and_stand_under_their_ticks(total: float, width: int) -> None:
    rule, numbers, _ = long_pole_lines([("step", total)], width)[1:]
    left = len(rule) - len(rule.lstrip())
    labels = numbers[left:].split()

    assert float(labels[0]) == 0
    assert len(labels) <= rule.count("┴")
    for label in labels[1:-1]:
        at = left + numbers[left:].index(f" {label} ") + 1
        assert rule[at] == "┴"
    assert all(float(a) < float(b) <= total * 1.001 for a, b in pairwise(labels))


@pytest.mark.parametrize(
    ("days", "expected"),
    [(0, "0 d"), (0.01, "<0.1 d"), (3, "3 d"), (2.54, "2.5 d"), (1234.0, "1234 d")],
)
def test_days_are_printed_short_and_never_as_nothing(days: float, expected: str) -> None:
    assert days_text(days) == expected


@given(DAYS)
def test_printed_days_are_right_to_a_tenth(days: float) -> None:
    assume(days >= 0.05)

    assert float(days_text(days).removesuffix(" d")) == pytest.approx(days, abs=0.0501)


# Bars with a limit, and one cell a share


@given(st.floats(0, 10), st.floats(1.05, 5), st.integers(0, 60))
def test_a_bar_passes_its_limit_when_the_value_does_and_never_else(
    value: float, top: float, width: int
) -> None:
    drawn = limit_bar(value, 1.0, top, width)

    assert len(drawn) == width
    if width >= LEAST_BAR:
        before, after = drawn.split("┃")
        assert (after.strip() != "") == (value > 1.0)
        assert (before == "█" * len(before)) == (value >= 1.0)
    if value > top and width > 0:
        assert drawn.endswith("▶")


def test_a_bar_whose_value_is_not_known_is_a_question_mark_beside_its_limit() -> None:
    assert limit_bar(None, 1.0, 2.0, 10) == "?    ┃    "


def test_a_level_is_whole_only_for_the_whole_and_none_only_for_none() -> None:
    assert [level(share) for share in (None, 0, 0.001, 0.5, 0.999, 1)] == list("?·▁▄▇█")
    assert all(level(share, plain=True).isascii() for share in (None, 0, 0.3, 1))
