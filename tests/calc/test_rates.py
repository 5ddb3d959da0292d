"""Rates of parts: what the prior is, which failures and unit years count, what is left out."""

from __future__ import annotations

import math
from datetime import date, timedelta
from typing import Any

import pytest

from parts.calc.failing.fleet import Fleet
from parts.calc.likelihoods.rates import PartRate, Rates
from parts.records.catalogue import Part, PartClass
from parts.records.history import Failure
from parts.records.site import Setting
from parts.records.structure import Crane, Position
from tests.calc.small_snapshot import TODAY, snapshot_with

TWELVE_YEARS_AGO = TODAY - timedelta(days=4383)  # 12 x 365.25
TEN_YEARS_AGO = TODAY - timedelta(days=3652.5)


def rate(
    part: Part | None = None,
    *,
    positions: list[dict[str, Any]] | None = None,
    failed: list[date] | None = None,
    records_from: date | None = TWELVE_YEARS_AGO,
    cranes: list[Crane] | None = None,
    failures: list[Failure] | None = None,
    **of_class: Any,
) -> PartRate | None:
    """The rate of P, which sits at one position unless told otherwise."""
    places = [{"position": "p1"}] if positions is None else positions
    known_from = [Setting(key="records_from", value=str(records_from))] if records_from else []
    snapshot = snapshot_with(
        site=known_from,
        classes=[PartClass(part_class="relay", **of_class)],
        cranes=cranes or [Crane(crane="C1")],
        parts=[part or Part(part="P", failures_per_year=0.1), Part(part="other")],
        positions=[Position(**{"crane": "C1", "part": "P"} | place) for place in places],
        failures=(failures or [])
        + [Failure(crane="C1", position="p1", failed_on=day) for day in failed or []],
    )
    return Rates(Fleet(snapshot)).rate("P")


def known(*args: Any, **named: Any) -> PartRate:
    found = rate(*args, **named)
    assert found is not None
    return found


def test_nothing_known_is_no_rate_whatever_the_records() -> None:
    assert rate(part=Part(part="P"), failed=[TODAY]) is None


def test_without_records_a_stated_rate_stands_with_the_doubt_of_one_failure() -> None:
    found = known(records_from=None)

    assert (found.mean, found.shape, found.rate_years, found.own) == (0.1, 1.0, 10.0, False)
    assert found.basis == "stated"
    # an exponential: -0.1 ln 0.95 and -0.1 ln 0.05
    assert (found.low, found.high) == pytest.approx((0.0051293294, 0.2995732274))


def test_the_class_speaks_where_the_part_does_not() -> None:
    found = known(Part(part="P", part_class="relay"), records_from=None, failures_per_year=0.3)

    assert (found.mean, found.basis) == (0.3, "class")


def test_years_without_a_failure_count_too() -> None:
    found = known()

    assert (found.failures, found.unit_years, found.basis) == (0, 12.0, "own")
    assert found.mean == pytest.approx(1 / 22)


def test_failures_and_unit_years_are_added_to_the_prior() -> None:
    found = known(failed=[TODAY, TEN_YEARS_AGO], positions=[{"position": "p1", "qty": 3}])

    assert (found.failures, found.unit_years) == (2, 36.0)
    assert (found.shape, found.rate_years) == (3.0, 46.0)
    assert found.mean == pytest.approx(3 / 46)


def test_the_weight_of_the_class_says_how_slowly_records_count() -> None:
    found = known(Part(part="P", part_class="relay", failures_per_year=0.1), rate_weight=4.0)

    assert (found.shape, found.rate_years) == (4.0, 52.0)


def test_without_a_date_records_begin_with_the_first_failure_of_the_site() -> None:
    elsewhere = Failure(crane="C1", position="p2", failed_on=TWELVE_YEARS_AGO)
    places = [{"position": "p1"}, {"position": "p2", "part": "other"}]
    found = known(positions=places, failures=[elsewhere], records_from=None)

    assert (found.failures, found.unit_years) == (0, 12.0)


def test_failures_before_the_records_are_hearsay() -> None:
    found = known(failed=[TWELVE_YEARS_AGO - timedelta(days=1), TWELVE_YEARS_AGO])

    assert found.failures == 1


@pytest.mark.parametrize(
    ("crane", "installed", "years"),
    [
        (Crane(crane="C1"), None, 12.0),
        (Crane(crane="C1"), TODAY, 0.0),
        (Crane(crane="C1", commissioned=TEN_YEARS_AGO), TODAY, 10.0),
        (Crane(crane="C1", commissioned=date(1970, 1, 1)), TODAY, 12.0),
        (Crane(crane="C1", retire_on=TEN_YEARS_AGO), None, 2.0),
        (Crane(crane="C1", retire_on=date(1999, 1, 1)), None, 0.0),
        (Crane(crane="C1", retire_on=date(2050, 1, 1)), None, 12.0),
    ],
)
def test_unit_years_run_while_the_crane_does(
    crane: Crane, installed: date | None, years: float
) -> None:
    found = known(cranes=[crane], positions=[{"position": "p1", "installed": installed}])

    assert found.unit_years == pytest.approx(years, abs=0.002)


def test_positions_with_a_rate_of_their_own_are_left_out() -> None:
    places = [{"position": "p1", "failures_per_year": 2.0}, {"position": "p2"}]
    found = known(positions=places, failed=[TODAY])

    assert (found.failures, found.unit_years) == (0, 12.0)


def test_a_failure_counts_for_the_part_that_failed() -> None:
    """p2 holds P today, but what failed there was another part; p3 is the other way round."""
    places = [{"position": "p2"}, {"position": "p3", "part": "other"}]
    failures = [
        Failure(crane="C1", position="p2", failed_on=TODAY, part="other"),
        Failure(crane="C1", position="p3", failed_on=TODAY, part="P"),
        Failure(crane="C1", position="p3", failed_on=TEN_YEARS_AGO, part="P"),
    ]

    assert known(positions=places, failures=failures).failures == 2


def test_a_part_said_never_to_fail_keeps_its_word() -> None:
    found = known(Part(part="P", failures_per_year=0.0), failed=[TODAY])

    assert (found.mean, found.low, found.high) == (0.0, 0.0, 0.0)
    assert math.isinf(found.rate_years)


def test_a_prior_without_weight_leaves_all_to_the_records() -> None:
    part = Part(part="P", part_class="relay", failures_per_year=0.1)
    with_one = known(part, failed=[TODAY], rate_weight=0.0)
    with_none = known(part, rate_weight=0.0)

    assert with_one.mean == pytest.approx(1 / 12)
    assert (with_none.mean, with_none.basis, with_none.low) == (0.1, "stated", None)
