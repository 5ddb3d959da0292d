"""Lives of parts: which ages count as failed and as running, and which life wins."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest

from parts.calc.failing.fleet import Fleet
from parts.calc.likelihoods.ages import Ages
from parts.calc.likelihoods.life_fits import Lifetimes
from parts.calc.likelihoods.lives import Life, Lives
from parts.records.catalogue import Part, PartClass
from parts.records.history import Failure
from parts.records.site import Setting
from parts.records.structure import Crane, Position
from tests.calc.small_snapshot import TODAY, snapshot_with

HANDBOOK = (54, 187, 216, 240, 244, 335, 361, 373, 375, 386)  # e-Handbook 8.4.1.3: 1.7208, 606.5
LINING = Part(part="P", life_basis="years", life_shape=2.5, life_scale=3.0)


def ago(years: float) -> date:
    return TODAY - timedelta(days=round(years * 365.25))


def life(
    part: Part = LINING,
    positions: list[dict[str, Any]] | None = None,
    failures: list[dict[str, Any]] | None = None,
    cranes: list[Crane] | None = None,
    records_from: date | None = None,
    **of_class: Any,
) -> Life | None:
    """The life of P; failures are at position p1 of crane C1 unless told otherwise."""
    places = [{"position": "p1", "installed": ago(8)}] if positions is None else positions
    at_p1 = {"crane": "C1", "position": "p1"}
    snapshot = snapshot_with(
        site=[Setting(key="records_from", value=str(records_from))] if records_from else [],
        classes=[PartClass(part_class="lining", **of_class)],
        cranes=cranes or [Crane(crane="C1", hours_per_year=1000.0)],
        parts=[part, Part(part="other")],
        positions=[Position(**{"crane": "C1", "part": "P"} | place) for place in places],
        failures=[Failure(**at_p1 | failure) for failure in failures or []],
    )
    return Lives(Ages(Fleet(snapshot))).life("P")


def known(*args: Any, **named: Any) -> Life:
    found = life(*args, **named)
    assert found is not None
    return found


def exchanged(years_ago: float, **facts: Any) -> dict[str, Any]:
    """A failure that was restored on its day."""
    return {"failed_on": ago(years_ago), "restored_on": ago(years_ago), **facts}


# What is stated -----------------------------------------------------------------------------------


def test_nothing_stated_is_no_life() -> None:
    assert life(Part(part="P")) is None
    assert life(Part(part="P", part_class="lining")) is None


def test_without_failures_the_stated_life_stands() -> None:
    assert known() == Life(2.5, 3.0, "years", "stated")
    assert known().mean == pytest.approx(2.6617914)  # 3 x Gamma(1.4), by table


def test_a_scale_alone_takes_the_shape_of_its_class_or_none() -> None:
    part = Part(part="P", part_class="lining", life_basis="hours", life_scale=4000.0)

    assert known(part, life_shape=3.0).shape == 3.0
    assert known(part).shape == 1.0


def test_the_class_speaks_for_a_part_that_states_neither_life_nor_rate() -> None:
    of_class: dict[str, Any] = {"life_basis": "hours", "life_shape": 1.2, "life_scale": 5e4}
    silent = Part(part="P", part_class="lining")
    rated = Part(part="P", part_class="lining", failures_per_year=0.1)

    assert known(silent, **of_class) == Life(1.2, 5e4, "hours", "class")
    assert life(rated, **of_class) is None


def test_a_part_that_does_not_say_in_what_its_life_counts_is_not_fitted() -> None:
    assert life(Part(part="P"), failures=[exchanged(1)] * 6) is None


# What is fitted -----------------------------------------------------------------------------------


def test_one_failure_moves_the_scale_and_holds_the_shape() -> None:
    """8 years to the failure at 6 years' age, 2 years since: ((6^2.5 + 2^2.5)/1)^(1/2.5)."""
    found = known(failures=[exchanged(2)])

    assert (found.source, found.failures, found.censored, found.shape) == ("fitted", 1, 1, 2.5)
    assert found.scale == pytest.approx((6**2.5 + 2**2.5) ** 0.4, rel=1e-3)
    assert (found.shape_low, found.shape_high) == (None, None)
    assert found.scale_low is not None
    assert "shape is held at 2.5" in found.warnings[0]


def test_a_later_failure_counts_from_the_restoring_before_it() -> None:
    """Ages 3 and 3 at failure, 2 since."""
    found = known(failures=[exchanged(5), exchanged(2)])

    assert (found.failures, found.censored) == (2, 1)
    assert found.scale == pytest.approx(((2 * 3**2.5 + 2**2.5) / 2) ** 0.4, rel=1e-3)


def test_a_failure_without_a_known_start_is_left_out() -> None:
    found = known(positions=[{"position": "p1"}], failures=[exchanged(5), exchanged(2)])

    assert (found.failures, found.censored) == (1, 1)


def test_an_installation_after_the_failure_is_that_of_another_unit() -> None:
    places = [{"position": "p1", "installed": ago(1)}]

    assert known(positions=places, failures=[exchanged(2)]).source == "stated"


def test_a_unit_that_is_out_is_no_unit_at_work() -> None:
    found = known(failures=[{"failed_on": ago(2)}])

    assert (found.failures, found.censored) == (1, 0)


def test_units_at_work_elsewhere_count_each_and_those_of_retired_cranes_do_not() -> None:
    cranes = [Crane(crane="C1"), Crane(crane="C2"), Crane(crane="C3", retire_on=ago(1))]
    old: dict[str, Any] = {"position": "p1", "installed": ago(8)}
    places = [{"crane": "C1", **old}, {"crane": "C3", **old}]
    places.append({"crane": "C2", "position": "p1", "installed": ago(4), "qty": 3})
    found = known(cranes=cranes, positions=places, failures=[exchanged(2)])

    assert found.censored == 4
    assert found.scale == pytest.approx((6**2.5 + 2**2.5 + 3 * 4**2.5) ** 0.4, rel=1e-3)


def test_a_failure_of_another_part_at_the_position_is_not_fitted() -> None:
    found = known(failures=[exchanged(2, part="other")])

    assert found.source == "stated"


def test_a_unit_that_fails_on_its_first_day_has_lived_half_of_it() -> None:
    found = known(
        positions=[{"position": "p1", "installed": ago(2)}],
        failures=[{"failed_on": ago(2), "restored_on": TODAY}],
    )

    assert found.scale == pytest.approx(0.5 / 365.25, rel=1e-9)


def test_hours_come_from_the_record_else_from_the_years() -> None:
    hours = Part(part="P", life_basis="hours", life_shape=1.0, life_scale=1e4)
    found = known(hours, failures=[exchanged(5, age_hours=1700.0), exchanged(2)])

    assert found.scale == pytest.approx((1700 + 3000 + 2000) / 2, rel=1e-3)


def test_hours_of_the_record_need_no_start() -> None:
    hours = Part(part="P", life_basis="hours", life_scale=1e4)
    failed = {"failed_on": ago(2), "age_hours": 1700.0}

    assert known(hours, positions=[{"position": "p1"}], failures=[failed]).scale == 1700.0


def test_the_handbooks_units_as_records_come_out_as_printed() -> None:
    hours = Part(part="P", life_basis="hours")
    new: dict[str, Any] = {"installed": TODAY - timedelta(days=182), "part": "P"}
    failures = [
        {"failed_on": ago(1), "age_hours": float(age), "position": f"f{age}"} for age in HANDBOOK
    ]
    places: list[dict[str, Any]] = [{"position": f"f{age}"} for age in HANDBOOK]
    places += [{**new, "position": f"r{number}"} for number in range(10)]
    cranes = [Crane(crane="C1", hours_per_year=500 * 365.25 / 182)]  # so all have run 500 h
    found = known(hours, places, failures, cranes)

    assert (found.failures, found.censored) == (10, 10)
    assert f"{found.shape:.4f}" == "1.7208"
    assert found.scale == pytest.approx(606.528, abs=1e-3)
    assert found.shape_low is not None
    assert found.shape_low < 1.0 < found.shape < (found.shape_high or 0.0)
    assert (found.scale_low or 0.0) < found.scale < (found.scale_high or 0.0)
    assert found.warnings == ()


def test_leaving_out_the_units_at_work_would_be_seen_in_records() -> None:
    """They make the mean life half as long again; without them it is the mean age at failure."""
    failures = [exchanged(years) for years in (7, 5.5, 4, 3, 1.5)]
    places = [{"position": "p1", "installed": ago(8)}, {"position": "p2", "installed": ago(8)}]
    with_them, without = known(positions=places, failures=failures), known(failures=failures)

    assert with_them.mean > 1.2 * without.mean


def test_failures_all_at_one_age_tell_no_shape() -> None:
    places = [{"position": f"f{n}", "installed": ago(4)} for n in range(6)]
    failures = [{"position": f"f{n}", "failed_on": ago(1)} for n in range(6)]
    found = known(positions=places, failures=failures)

    assert (found.shape, found.failures) == (2.5, 6)
    assert found.scale == pytest.approx(3.0, rel=1e-3)
    assert "all but equal" in found.warnings[0]


# What is said of it -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cranes", "is_said"),
    [
        (
            [Crane(crane="C1", hours_per_year=900.0), Crane(crane="C2", hours_per_year=1000.0)],
            False,
        ),
        ([Crane(crane="C1", hours_per_year=400.0), Crane(crane="C2", hours_per_year=1000.0)], True),
        ([Crane(crane="C1", duty_group="M3"), Crane(crane="C2", duty_group="M7")], True),
        ([Crane(crane="C1"), Crane(crane="C2")], False),
    ],
)
@pytest.mark.parametrize("basis", ["years", "hours"])
def test_years_pooled_over_cranes_of_unlike_duty_are_said(
    cranes: list[Crane], is_said: bool, basis: str
) -> None:
    places = [{"crane": name, "position": "p1", "installed": ago(8)} for name in ("C1", "C2")]
    part = Part(part="P", life_basis=basis)
    found = known(part, places, [exchanged(2, age_hours=500.0)], cranes)

    said = any("unlike duty" in text for text in found.warnings)
    assert said == (is_said and basis == "years")


def test_ages_that_run_from_before_the_records_are_said() -> None:
    """Nobody wrote down whether the unit of eight years ago is the one that failed."""
    found = known(failures=[exchanged(2)], records_from=ago(5))
    sure = known(failures=[exchanged(2)], records_from=ago(8))

    assert any(text.startswith("1 of 2 ages run from before") for text in found.warnings)
    assert not any("records" in text for text in sure.warnings)


def test_a_fit_is_the_one_of_its_lifetimes() -> None:
    failures = [exchanged(years) for years in (7, 5, 4, 3, 1)]
    found = known(failures=failures)
    days = np.diff([0, *(round(8 * 365.25) - round(y * 365.25) for y in (7, 5, 4, 3, 1))])
    units = Lifetimes(days / 365.25, np.array([round(365.25) / 365.25]))

    assert found.shape == units.shape()
