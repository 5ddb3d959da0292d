"""Failures to expect of each position: which knowledge wins, and what each comes to."""

from __future__ import annotations

import math
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest

from parts.calc.failing.fleet import Fleet
from parts.calc.likelihoods.likelihood import Likelihood
from parts.calc.likelihoods.renewals import expected_renewals
from parts.records.catalogue import Part, PartClass
from parts.records.history import Failure, Observation
from parts.records.site import Setting
from parts.records.structure import Crane, Position
from tests.calc.small_snapshot import TODAY, snapshot_with

FOUR_YEARS_AGO = TODAY - timedelta(days=1461)
WORN: dict[str, Any] = {"life_basis": "years", "life_shape": 2.0, "life_scale": 10.0}
M_OF_ONE = 0.7536912775  # renewals of shape 2 over one scale, computed


def likelihood(
    places: list[dict[str, Any]],
    parts: list[Part] | None = None,
    *,
    cranes: list[Crane] | None = None,
    records_from: date | None = None,
    failures: list[Failure] | None = None,
    observations: list[Observation] | None = None,
    **of_class: Any,
) -> Likelihood:
    """Positions are those of crane C1 and hold P unless told otherwise."""
    snapshot = snapshot_with(
        site=[Setting(key="records_from", value=str(records_from))] if records_from else [],
        classes=[PartClass(part_class="gear", **of_class)],
        cranes=cranes or [Crane(crane="C1", hours_per_year=1000.0)],
        parts=parts or [Part(part="P", failures_per_year=0.1)],
        positions=[Position(**{"crane": "C1", "part": "P"} | place) for place in places],
        failures=failures or [],
        observations=observations or [],
    )
    return Likelihood(snapshot, Fleet(snapshot))


def one(part: Part | None = None, qty: int = 1, **named: Any) -> tuple[float, str | None]:
    """Failures and basis of one position of a part, installed four years ago."""
    place = {"position": "p1", "installed": FOUR_YEARS_AGO, "qty": qty}
    found = likelihood([place | named.pop("place", {})], [part] if part else None, **named)
    return float(found.failures_next_year[0]), found.basis[0]


def about(figure: float) -> Any:
    return pytest.approx(figure, rel=1e-8)


def renewals(shape: float, scale: float, age: float, span: float) -> float:
    return float(expected_renewals(shape, scale, np.array([age]), np.array([span]))[0])


# Degenerate cases ---------------------------------------------------------------------------------


def test_a_site_without_positions_expects_nothing() -> None:
    found = likelihood([])

    assert found.failures_next_year.tolist() == []
    assert found.basis == []


def test_nothing_known_is_not_known_rather_than_none() -> None:
    failures, basis = one(Part(part="P"))

    assert math.isnan(failures)
    assert basis is None


def test_a_position_without_a_part_is_not_known() -> None:
    failures, basis = one(place={"part": None})

    assert math.isnan(failures)
    assert basis is None


def test_a_retired_crane_expects_nothing_but_its_years_count() -> None:
    cranes = [Crane(crane="C1"), Crane(crane="C2", retire_on=TODAY)]
    places = [{"position": "p1"}, {"crane": "C2", "position": "p1"}]
    found = likelihood(places, cranes=cranes, records_from=FOUR_YEARS_AGO)
    rate = found.rate("P")
    assert rate is not None

    assert rate.unit_years == 8.0
    assert math.isnan(found.failures_next_year[1])
    assert found.basis == ["own", None]


# Precedence ---------------------------------------------------------------------------------------


def test_each_kind_of_knowledge_wins_over_the_next() -> None:
    """Position, life, own records, the part's rate, the class's: taken away one by one."""
    aged = Part(part="P", part_class="gear", failures_per_year=0.1, **WORN)
    rated = Part(part="P", part_class="gear", failures_per_year=0.1)
    of_class: dict[str, Any] = {"failures_per_year": 0.05}
    since: dict[str, Any] = {"records_from": FOUR_YEARS_AGO}

    assert one(aged, place={"failures_per_year": 0.7}, **since, **of_class) == (0.7, "position")
    assert one(aged, **since, **of_class)[1] == "weibull"
    assert one(rated, **since, **of_class) == (about(1 / 14), "own")
    assert one(rated, **of_class) == (0.1, "stated")
    assert one(Part(part="P", part_class="gear"), **of_class) == (0.05, "class")


def test_a_life_without_a_known_age_gives_way_to_a_rate() -> None:
    aged = Part(part="P", failures_per_year=0.1, **WORN)

    assert one(aged, place={"installed": None}) == (0.1, "stated")


def test_a_life_in_hours_without_hours_gives_way_to_a_rate() -> None:
    aged = Part(part="P", failures_per_year=0.1, **WORN | {"life_basis": "hours"})

    assert one(aged, cranes=[Crane(crane="C1")]) == (0.1, "stated")


def test_the_life_of_a_class_wins_over_own_records_but_not_over_a_stated_rate() -> None:
    silent = Part(part="P", part_class="gear")
    rated = Part(part="P", part_class="gear", failures_per_year=0.1)
    known: dict[str, Any] = {"failures_per_year": 0.05, **WORN, "records_from": FOUR_YEARS_AGO}

    assert one(silent, **known)[1] == "weibull"
    assert one(rated, **known)[1] == "own"


def test_a_rate_of_the_position_is_for_all_its_units_and_any_other_for_one() -> None:
    assert one(qty=3, place={"failures_per_year": 0.7}) == (0.7, "position")
    assert one(qty=3) == (about(0.3), "stated")
    aged = Part(part="P", **WORN)
    assert one(aged, qty=3)[0] == pytest.approx(3 * one(aged)[0])


def test_an_assembly_fails_by_its_parts_unless_its_position_says_otherwise() -> None:
    places: list[dict[str, Any]] = [
        {"position": "gearbox"},
        {"position": "gearbox 2", "failures_per_year": 0.02},
        {"position": "pinion", "parent": "gearbox"},
        {"position": "pinion 2", "parent": "gearbox 2"},
        {"position": "trolley", "part": None},
        {"position": "wheel", "parent": "trolley"},
    ]
    found = likelihood(places)

    assert found.failures_next_year.tolist() == [0.0, 0.02, 0.1, 0.1, 0.0, 0.1]
    assert found.basis == [None, "position", "stated", "stated", None, "stated"]


# Lives --------------------------------------------------------------------------------------------


def test_a_new_unit_renews_over_one_scale() -> None:
    yearly = Part(part="P", life_basis="years", life_shape=2.0, life_scale=1.0)
    place = {"installed": TODAY}

    assert one(yearly, place=place) == (about(M_OF_ONE), "weibull")


def test_age_makes_wear_likelier_and_infant_failure_rarer() -> None:
    old, new = {"installed": FOUR_YEARS_AGO}, {"installed": TODAY}
    wears = Part(part="P", **WORN)
    settles = Part(part="P", **WORN | {"life_shape": 0.6})

    assert one(wears, place=old)[0] > one(wears, place=new)[0]
    assert one(settles, place=old)[0] < one(settles, place=new)[0]


def test_running_hours_take_the_cranes_year() -> None:
    hourly = Part(part="P", life_basis="hours", life_shape=2.0, life_scale=3000.0)
    failures, basis = one(hourly)

    assert failures == pytest.approx(renewals(2.0, 3000.0, 4000.0, 1000.0))
    assert basis == "weibull"


def test_a_meter_moves_the_age_in_hours() -> None:
    hourly = Part(part="P", life_basis="hours", life_shape=2.0, life_scale=3000.0)
    read = Observation(crane="C1", position="p1", date=TODAY, what="hours_meter", value="250")
    failures, _ = one(hourly, place={"hours_at_install": 0.0}, observations=[read])

    assert failures == pytest.approx(renewals(2.0, 3000.0, 250.0, 1000.0))


def test_a_fitted_life_is_the_one_used() -> None:
    failed = Failure(
        crane="C1", position="p1", failed_on=TODAY - timedelta(days=400), restored_on=TODAY
    )
    found = likelihood(
        [{"position": "p1", "installed": FOUR_YEARS_AGO}],
        [Part(part="P", **WORN)],
        failures=[failed],
    )
    life = found.life("P")
    assert life is not None

    assert life.fitted
    assert found.failures_next_year[0] == pytest.approx(renewals(2.0, life.scale, 0.0, 1.0))


def test_years_ahead_add_up_to_the_renewals_until_then() -> None:
    place = {"position": "p1", "installed": FOUR_YEARS_AGO, "qty": 2}
    found = likelihood([place], [Part(part="P", **WORN)])
    years = [float(found.failures_in_year(year)[0]) for year in range(1, 13)]

    assert years[0] == found.failures_next_year[0]
    assert sum(years) == pytest.approx(2 * renewals(2.0, 10.0, 4.0, 12.0), abs=1e-6)


def test_a_constant_rate_is_the_same_every_year() -> None:
    found = likelihood([{"position": "p1"}])

    assert found.failures_in_year(7).tolist() == [0.1]


def test_positions_of_many_lives_get_each_its_own() -> None:
    """Rows stand in the order of their names, whatever life they share."""
    rng = np.random.default_rng(1)
    shapes, scales = rng.choice([1.0, 1.7, 2.4], size=40), rng.uniform(1.0, 20.0, size=40)
    parts = [
        Part(part=f"P{n}", life_basis="years", life_shape=shapes[n], life_scale=scales[n])
        for n in range(40)
    ]
    days = rng.integers(0, 9000, size=40)
    places = [
        {
            "position": f"p{n:02}",
            "part": f"P{n}",
            "installed": TODAY - timedelta(days=int(days[n])),
        }
        for n in range(40)
    ]
    found = likelihood(places, parts)
    expected = [renewals(shapes[n], scales[n], days[n] / 365.25, 1.0) for n in range(40)]

    assert found.failures_next_year == pytest.approx(np.array(expected), abs=1e-8)
