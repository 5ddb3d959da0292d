"""Intermittent-demand estimates and demand classes of known series.

Series, where each comes from and how its figures are known stand in demand.toml. The methods are
Croston (1972), Syntetos and Boylan (2005), Teunter, Syntetos and Babai (2011); the class is that of
Syntetos, Boylan and Croston (2005).
"""

from __future__ import annotations

import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from parts.calc.likelihoods.intermittent import (
    DemandClass,
    Start,
    croston,
    demand_class,
    mean_interval,
    sba,
    squared_variation,
    tsb,
)

Series = dict[str, Any]

KNOWN: list[Series] = tomllib.loads(
    Path(__file__).with_name("demand.toml").read_text("utf-8"), parse_float=Decimal
)["series"]


def at_each_alpha(*entries: str) -> pytest.MarkDecorator:
    """Every series and smoothing constant that has one of these entries."""
    cases = [
        pytest.param(row["series"], at, id=f"{row['name']}-{at['alpha']}")
        for row in KNOWN
        for at in row["at"]
        if any(entry in at for entry in entries)
    ]
    return pytest.mark.parametrize(("series", "at"), cases)


def each_series_with(entry: str) -> pytest.MarkDecorator:
    cases = [pytest.param(row, id=row["name"]) for row in KNOWN if entry in row]
    return pytest.mark.parametrize("row", cases)


def as_given(digits: Decimal) -> Any:
    """A figure to the digits given, half a unit of the last one either way."""
    exponent = int(digits.as_tuple().exponent)
    return pytest.approx(float(digits), abs=0.5000001 * 10.0**exponent)


@at_each_alpha("croston")
def test_croston_gives_the_known_estimate(series: list[float], at: Series) -> None:
    found = croston(series, float(at["alpha"]), Start.SERIES)

    assert found is not None
    assert found.per_period == as_given(at["croston"])


@at_each_alpha("size")
def test_size_and_interval_are_smoothed_apart(series: list[float], at: Series) -> None:
    found = croston(series, float(at["alpha"]), Start.SERIES)

    assert found is not None
    assert found.size == as_given(at["size"])
    assert found.interval == as_given(at["interval"])


@at_each_alpha("sba")
def test_sba_gives_the_known_estimate(series: list[float], at: Series) -> None:
    assert sba(series, float(at["alpha"]), Start.SERIES) == as_given(at["sba"])


@at_each_alpha("sbj")
def test_sba_is_not_its_neighbour_with_another_factor(series: list[float], at: Series) -> None:
    """Shale, Boylan and Johnston (2006, from memory) correct by 1 - alpha / (2 - alpha)."""
    alpha = float(at["alpha"])
    found = croston(series, alpha, Start.SERIES)
    estimate = sba(series, alpha, Start.SERIES)

    assert found is not None
    assert found.per_period * (1.0 - alpha / (2.0 - alpha)) == as_given(at["sbj"])
    assert estimate != as_given(at["sbj"])


@at_each_alpha("tsb")
def test_tsb_gives_the_known_estimate(series: list[float], at: Series) -> None:
    alpha = float(at["alpha"])

    assert tsb(series, alpha, alpha, Start.SERIES) == as_given(at["tsb"])


@at_each_alpha("chance")
def test_tsb_is_the_known_chance_times_the_size(series: list[float], at: Series) -> None:
    estimate = tsb(series, 0.1, 0.1, Start.SERIES)

    assert estimate is not None
    assert estimate / float(at["size"]) == as_given(at["chance"])


@at_each_alpha("tsb_with_size_alpha_0_2")
def test_size_and_chance_may_be_smoothed_apart(series: list[float], at: Series) -> None:
    estimate = tsb(series, size_alpha=0.2, chance_alpha=0.1, start=Start.SERIES)

    assert estimate == as_given(at["tsb_with_size_alpha_0_2"])


@each_series_with("adi")
def test_variation_is_that_of_the_population(row: Series) -> None:
    series = row["series"]
    uses = sum(units > 0 for units in series)
    cv2 = squared_variation(series)

    assert mean_interval(series) == as_given(row["adi"])
    assert cv2 == as_given(row["population_cv2"])
    assert cv2 * uses / (uses - 1) == as_given(row["sample_cv2"])
    assert cv2 != as_given(row["sample_cv2"])


@each_series_with("demand_class")
def test_class_is_the_known_one(row: Series) -> None:
    found = demand_class(mean_interval(row["series"]), squared_variation(row["series"]))

    assert found == DemandClass(row["demand_class"])


@pytest.mark.parametrize(
    ("adi", "cv2", "expected"),
    [
        (1.319, 0.489, DemandClass.SMOOTH),
        (1.319, 0.491, DemandClass.ERRATIC),
        (1.321, 0.489, DemandClass.INTERMITTENT),
        (1.321, 0.491, DemandClass.LUMPY),
    ],
)
def test_classes_change_at_the_cited_cut_offs(
    adi: float, cv2: float, expected: DemandClass
) -> None:
    """Cut-offs 1.32 and 0.49, read as cited in public texts; the paper was not seen."""
    assert demand_class(adi, cv2) is expected


def test_a_figure_on_a_cut_off_belongs_to_the_less_regular_side() -> None:
    """No source: the texts that cite the cut-offs do not settle it, so this is our choice."""
    assert demand_class(1.32, 0.0) is DemandClass.INTERMITTENT
    assert demand_class(1.0, 0.49) is DemandClass.ERRATIC
    assert demand_class(1.32, 0.49) is DemandClass.LUMPY


def test_the_start_of_the_first_interval_makes_a_difference() -> None:
    """The largest disagreement among open implementations; ours says which one it follows."""
    series = [5, 0, 0, 4, 0, 6, 0, 0, 0, 3]  # intervals from the start 1 3 2 4; without it 3 2 4
    from_first_use = croston(series, 0.1, Start.FIRST_USE)

    assert from_first_use is not None
    # reckoned apart: an open implementation that drops the first gap gives 1.5977
    assert from_first_use.per_period == pytest.approx(1.5977, abs=5e-5)
