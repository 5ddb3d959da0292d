"""Numbers as people type them; what cannot be read is told, and read back nothing shrinks."""

from __future__ import annotations

import pytest

from tui.amounts import number, round_step, stepped, written


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0", 0.0),
        (" 12000 ", 12000.0),
        ("12,000", 12000.0),
        ("1,234,567.50", 1234567.5),
        ("12 000", 12000.0),
        ("12'000", 12000.0),
        ("12.5", 12.5),
        (".5", 0.5),
        ("12.", 12.0),
    ],
)
def test_a_number_is_read_as_people_write_it(text: str, value: float) -> None:
    assert number(text) == (value, "")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "Type a number"),
        ("   ", "Type a number"),
        ("-5", "cannot be less than 0"),
        ("\N{MINUS SIGN}5", "cannot be less than 0"),
        ("12,5", "which is it?"),
        ("1,2345", "which is it?"),
        ("abc", "Type digits"),
        ("1e5", "Type digits"),
        ("nan", "Type digits"),
        ("inf", "Type digits"),
        ("1 000,000", "Type digits"),
        ("12..5", "Type digits"),
        (".", "Type digits"),
        ("[/x]", "Type digits"),
        ("\N{ARABIC-INDIC DIGIT ONE}", "Type digits"),
        ("9" * 200, "too much"),
    ],
)
def test_what_is_no_number_is_told(text: str, said: str) -> None:
    value, trouble = number(text)

    assert value is None
    assert said in trouble


@pytest.mark.parametrize("value", [0.0, 0.1, 99.99, 103153.29, 1e9])
def test_what_is_written_reads_back_as_no_less(value: float) -> None:
    read = number(written(value)).value

    assert read is not None
    assert value <= read < value + 1


@pytest.mark.parametrize(
    ("value", "up", "beside"),
    [
        (0.0, True, 500.0),
        (0.0, False, 0.0),
        (500.0, True, 1000.0),
        (500.0, False, 0.0),
        (501.0, True, 1000.0),
        (501.0, False, 500.0),
        (0.3, False, 0.0),
    ],
)
def test_a_step_leads_to_the_next_round_number(value: float, up: bool, beside: float) -> None:
    assert stepped(value, 500.0, up) == beside


@pytest.mark.parametrize(
    ("most", "step"), [(0.0, 1.0), (10.0, 1.0), (400.0, 20.0), (433812.0, 50000.0), (2e6, 1e5)]
)
def test_a_step_is_round_and_goes_a_few_times_into_all(most: float, step: float) -> None:
    assert round_step(most) == step
