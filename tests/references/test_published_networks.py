"""Published precedence networks come out at the digits that their sources print.

Sources, how we know each and its errata stand in networks.toml. Mean (a + 4m + b) / 6 and variance
((b - a) / 6)^2 of an activity: Malcolm, Roseboom, Clark and Fazar, "Application of a technique for
research and development program evaluation", Operations Research 7 (1959) 646-669. The probability
of a date takes the variances on the mean critical path as adding up and the sum as normal, as these
texts do.
"""

from __future__ import annotations

import tomllib
from decimal import Decimal
from pathlib import Path
from statistics import NormalDist
from typing import Any

import pytest

from parts.calc.getting.networks import Schedule, critical_path
from parts.calc.getting.three_point import pert_mean

Network = dict[str, Any]

NETWORKS: list[Network] = tomllib.loads(
    Path(__file__).with_name("networks.toml").read_text(encoding="utf-8")
)["network"]


def each_network_with(*path: str) -> pytest.MarkDecorator:
    """Every network that has this entry; the id says which figures are from memory."""
    chosen = []
    for network in NETWORKS:
        entry: Any = network
        for name in path:
            entry = entry.get(name, {})
        if entry:
            mark = "-from-memory" if network["known"] == "from memory" else ""
            chosen.append(pytest.param(network, id=network["name"] + mark))
    return pytest.mark.parametrize("network", chosen)


def as_printed(figure: float, printed: str) -> bool:
    """Whether the figure, rounded to the digits of the printed one, is the printed one.

    Half a unit of the last digit either way, since sources round halves up or to even.
    """
    half = float(Decimal((0, (5,), Decimal(printed).as_tuple().exponent - 1)))  # type: ignore[operator]  # finite
    return abs(figure - float(printed)) <= half + 1e-9


def durations_of(network: Network) -> dict[str, float]:
    return {
        name: pert_mean(*points) if len(points) == 3 else float(points[0])
        for name, points, _ in network["operations"]
    }


def after_of(network: Network) -> dict[str, tuple[str, ...]]:
    return {name: tuple(before) for name, _, before in network["operations"]}


def schedule(network: Network) -> Schedule:
    return critical_path(durations_of(network), after_of(network))


def critical_variance(network: Network) -> float:
    """The textbook's sum of ((high - low) / 6)^2 along the critical path."""
    points = {name: points for name, points, _ in network["operations"]}
    spans = (points[name] for name in schedule(network).critical)
    return float(sum(((high - low) / 6.0) ** 2 for low, _, high in spans))


def test_an_empty_network_takes_no_time() -> None:
    empty = critical_path({}, {})

    assert empty.length == 0
    assert list(empty.critical) == []


def test_one_operation_takes_its_own_time_and_is_critical() -> None:
    alone = critical_path({"A": 5.0}, {"A": ()})

    assert alone.length == 5
    assert list(alone.critical) == ["A"]
    assert (alone.start["A"], alone.finish["A"]) == (0, 5)
    assert (alone.late_start["A"], alone.late_finish["A"], alone.slack["A"]) == (0, 5, 0)


@each_network_with("printed", "means")
def test_mean_durations_are_those_printed(network: Network) -> None:
    means = durations_of(network)

    for name, printed in network["printed"]["means"].items():
        assert as_printed(means[name], printed), name


@each_network_with("printed", "length")
def test_length_is_the_one_printed(network: Network) -> None:
    assert as_printed(schedule(network).length, network["printed"]["length"])


@each_network_with("printed", "critical")
def test_critical_path_is_the_one_printed(network: Network) -> None:
    assert list(schedule(network).critical) == network["printed"]["critical"]


@each_network_with("printed", "table")
def test_every_row_of_the_printed_table_of_dates_and_slack(network: Network) -> None:
    plan = schedule(network)
    rows = {
        name: [
            plan.start[name],
            plan.finish[name],
            plan.late_start[name],
            plan.late_finish[name],
            plan.slack[name],
        ]
        for name in after_of(network)
    }

    assert rows == network["printed"]["table"]


@each_network_with("printed", "slack")
def test_slack_is_the_one_printed(network: Network) -> None:
    slack = schedule(network).slack

    for name, printed in network["printed"]["slack"].items():
        assert as_printed(slack[name], printed), name


@each_network_with("printed", "variance")
def test_variance_on_the_critical_path_is_the_one_printed(network: Network) -> None:
    assert as_printed(critical_variance(network), network["printed"]["variance"])


@each_network_with("printed", "probability")
def test_probability_of_a_date_is_the_one_printed(network: Network) -> None:
    printed = network["printed"]["probability"]
    z = (printed["by"] - schedule(network).length) / critical_variance(network) ** 0.5
    if "table_z" in printed:  # the source looked a rounded z up in a table
        z = round(z, printed["table_z"])

    assert as_printed(NormalDist().cdf(z), printed["is"])


# Figures that the sources leave out, reckoned apart from the program ----------------------------


@each_network_with("computed", "slack")
def test_slack_that_no_source_prints_is_the_one_reckoned_apart(network: Network) -> None:
    slack = schedule(network).slack

    for name, expected in network["computed"]["slack"].items():
        assert slack[name] == pytest.approx(expected, abs=1e-9), name


@each_network_with("computed", "length")
def test_path_that_no_source_prints_is_the_one_reckoned_apart(network: Network) -> None:
    plan = schedule(network)

    assert plan.length == pytest.approx(network["computed"]["length"], abs=1e-9)
    assert list(plan.critical) == network["computed"]["critical"]
    assert critical_variance(network) == pytest.approx(network["computed"]["variance"], abs=1e-9)


@each_network_with("computed", "longest_at_high")
def test_longest_path_at_one_end_of_the_range_may_be_another_path(network: Network) -> None:
    """The mean critical path at its pessimistic durations is not the longest one there."""
    low = {name: float(points[0]) for name, points, _ in network["operations"]}
    high = {name: float(points[2]) for name, points, _ in network["operations"]}
    mean_path_at_high = sum(high[name] for name in schedule(network).critical)

    assert mean_path_at_high == 69
    assert critical_path(high, after_of(network)).length == network["computed"]["longest_at_high"]
    assert critical_path(low, after_of(network)).length == network["computed"]["longest_at_low"]
