"""Present worth, equal annual cost and rate of return as books and worked pages print them.

Figures, sources and how they are known stand in economics.toml. One page adds what is got for a
machine at the end where it has to be taken off; its slip is shown, its figure is not reproduced.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from parts.calc.comparing.present_worth import (
    annuity_factor,
    equal_annual_cost,
    internal_rate_of_return,
    net_present_value,
    yearly,
)

Entry = dict[str, Any]
KNOWN: dict[str, Any] = tomllib.loads(Path(__file__).with_name("economics.toml").read_text("utf-8"))
VALUES = KNOWN["present_value"]
LAST_DIGIT = 0.01  # sources round their factors on the way


def each(rows: list[Entry]) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("row", rows, ids=[row["name"] for row in rows])


@each(VALUES)
def test_amounts_are_worth_today_what_the_source_says(row: Entry) -> None:
    worth = net_present_value(row["flows"], row["rate"])

    assert worth == pytest.approx(row["printed"], abs=LAST_DIGIT)
    assert worth == pytest.approx(row["reckoned"], abs=1e-7)


@each([row for row in VALUES if "years" in row])
def test_a_present_value_spreads_over_the_years_as_the_source_says(row: Entry) -> None:
    a_year = equal_annual_cost(
        net_present_value(row["flows"], row["rate"]), row["years"], row["rate"]
    )

    assert a_year == pytest.approx(row["printed_a_year"], abs=LAST_DIGIT)
    assert a_year == pytest.approx(row["reckoned_a_year"], abs=1e-7)


@each([row for row in VALUES if "printed_return" in row])
def test_the_rate_of_return_is_the_one_that_is_printed(row: Entry) -> None:
    found = internal_rate_of_return(row["flows"])

    assert found == pytest.approx(row["printed_return"], abs=0.5001e-4)
    assert found == pytest.approx(row["reckoned_return"], abs=1e-9)


def test_a_higher_rate_turns_the_rank_of_the_two_projects_round() -> None:
    worth = {row["name"]: net_present_value(row["flows"], row["rate"]) for row in VALUES}

    assert worth["gain of project A at 11 %"] > worth["gain of project B at 11 %"]
    assert worth["gain of project A at 16 %"] < worth["gain of project B at 16 %"]


def test_the_machine_that_costs_less_in_all_costs_more_a_year() -> None:
    a, b = (next(row for row in VALUES if row["name"] == f"machine {name}") for name in "AB")
    in_all = [net_present_value(row["flows"], row["rate"]) for row in (a, b)]
    a_year = [equal_annual_cost(cost, row["years"], row["rate"])
              for cost, row in zip(in_all, (a, b), strict=True)]  # fmt: skip

    assert in_all[0] > in_all[1]
    assert a_year[0] < a_year[1]


@each(KNOWN["equal_annual"])
def test_a_price_and_a_cost_a_year_make_one_equal_cost(row: Entry) -> None:
    in_all = row["price"] + net_present_value(yearly([row["a_year"]] * row["years"]), row["rate"])
    a_year = equal_annual_cost(in_all, row["years"], row["rate"])

    assert round(a_year) == row["printed"]
    assert a_year == pytest.approx(row["reckoned"], abs=1e-6)


def test_the_annuity_factor_is_the_one_that_is_printed() -> None:
    (row,) = KNOWN["annuity_factor"]
    factor = annuity_factor(row["years"], row["rate"])

    assert round(factor, 3) == row["printed"]
    assert factor == pytest.approx(row["reckoned"], abs=1e-7)


def sold_at_the_end(sign: float) -> float:
    """The equal annual cost of the page's machine, what it is sold for counted with a sign."""
    row = KNOWN["sold_at_the_end"]
    flows = [
        (0.0, row["price"]),
        *yearly([row["a_year"]] * row["years"]),
        *row["repairs"],
        (row["years"], sign * row["sold_for"]),
    ]
    return equal_annual_cost(net_present_value(flows, row["rate"]), row["years"], row["rate"])


def test_what_is_got_at_the_end_is_taken_off_the_costs() -> None:
    assert sold_at_the_end(-1.0) == pytest.approx(KNOWN["sold_at_the_end"]["right"], abs=1e-6)


def test_the_figure_of_the_page_comes_from_adding_what_is_got_at_the_end() -> None:
    row = KNOWN["sold_at_the_end"]
    slip = sold_at_the_end(+1.0)

    assert slip == pytest.approx(row["with_the_slip"], abs=1e-3)
    assert slip == pytest.approx(row["printed_wrong"], abs=1.5)  # the page rounds its factors
    assert abs(sold_at_the_end(-1.0) - row["printed_wrong"]) > 4000.0
