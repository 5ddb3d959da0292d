"""The supply score of a part: drivers, what drops out, and the sentences that explain it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import inf, nan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.calc.failing.fleet import Fleet
from parts.calc.getting.supply import Supplies
from parts.calc.getting.ways import Market
from parts.calc.ranking.scores import (
    DRIVERS,
    Figure,
    SupplyScores,
    ValueFunction,
    expected_life_years,
    weighted_score,
)
from parts.records.catalogue import Part, PartClass
from parts.records.site import Score
from parts.records.structure import Crane, Position
from parts.records.supply import Offer, Supplier
from tests.calc.small_snapshot import snapshot_with

CLASS = PartClass(part_class="drive", market_scale=20.0)
FIFTEEN_YEARS_AGO = date(2011, 11, 25)


@dataclass(frozen=True)
class KnownLife:
    basis: str
    mean: float


HALF_A_YEAR = Figure(180.0, "180 days by S1", ("offers S1/P/new",))


def scores(
    ages: tuple[float, ...] = (10.0,),
    *,
    life: KnownLife | None = KnownLife("years", 20.0),
    rate: float | None = None,
    offers: tuple[Offer, ...] = (),
    settings: tuple[Score, ...] = (),
    load_bearing: bool = False,
    **part: object,
) -> SupplyScores:
    """Scores of part P, which sits in positions of these ages."""
    snapshot = snapshot_with(
        classes=[CLASS],
        scores=list(settings),
        cranes=[Crane(crane="C", hours_per_year=2000.0)],
        parts=[Part(part="P", **part)],  # type: ignore[arg-type]  # facts are fields
        positions=[
            Position(crane="C", position=f"x{number}", part="P", load_bearing=load_bearing)
            for number in range(len(ages))
        ],
        suppliers=[Supplier(supplier=f"S{number}", active=number < 5) for number in range(9)],
        offers=list(offers),
    )
    supplies = Supplies(snapshot, Market(snapshot))
    return SupplyScores(Fleet(snapshot), supplies, np.array(ages), lambda _: life, lambda _: rate)


def offer(supplier: str = "S1", kind: str = "new") -> Offer:
    return Offer(supplier=supplier, part="P", kind=kind, likely=10.0)


def values(found: SupplyScores, lead_time: Figure = HALF_A_YEAR) -> dict[str, float | None]:
    return {each.driver: each.value for each in found.score("P", lead_time).drivers}


def test_a_part_of_which_nothing_is_known_is_the_worst_that_can_be() -> None:
    answer = scores(ages=(nan,), life=None).score("P", Figure(None, "no way known"))

    assert answer.score == 100.0
    assert [each.value for each in answer.drivers] == [None, 100.0, 100.0]
    assert "left out, the other weights scaled up" in answer.drivers[0].sentence


def test_an_unknown_age_drops_out_and_the_others_share_its_weight() -> None:
    """By hand: one source 75, 180 days 80, equal weights: 77.5."""
    answer = scores(ages=(nan,), offers=(offer(),)).score("P", HALF_A_YEAR)

    assert [each.weight for each in answer.drivers] == pytest.approx([0.0, 0.5, 0.5])
    assert answer.score == pytest.approx(77.5)


def test_the_score_is_the_weighted_sum_of_its_drivers() -> None:
    """By hand: age 10 of 20 years 20, one source 75, 180 days 80: 6 + 26.25 + 28."""
    answer = scores(offers=(offer(),)).score("P", HALF_A_YEAR)

    assert [each.value for each in answer.drivers] == [20.0, 75.0, 80.0]
    assert answer.score == pytest.approx(60.25)


def test_the_oldest_position_counts_and_is_named() -> None:
    answer = scores(ages=(3.0, 20.0, nan)).score("P", HALF_A_YEAR)

    assert answer.drivers[0].value == 70.0
    assert "C/x1 is 20.0 years old, expected life 20.0 years" in answer.drivers[0].sentence
    assert answer.drivers[0].records == ("positions C/x1", "parts P")


def test_years_on_the_market_count_where_they_weigh_more() -> None:
    found = scores(part_class="drive", introduced=FIFTEEN_YEARS_AGO)

    assert values(found)["age"] == pytest.approx(45.0, abs=0.1)
    assert found.score("P", HALF_A_YEAR).drivers[0].records == ("parts P", "classes drive")


def test_either_half_of_the_age_is_enough() -> None:
    on_market = scores(ages=(nan,), part_class="drive", introduced=FIFTEEN_YEARS_AGO)

    assert values(on_market)["age"] == pytest.approx(45.0, abs=0.1)
    assert values(scores())["age"] == 20.0


def test_suppliers_are_counted_once_and_only_while_active() -> None:
    offers = (offer("S1"), offer("S1", "repair"), offer("S2", "used"), offer("S7"))

    assert values(scores(offers=offers))["sources"] == 40.0


def test_where_it_bears_load_an_offer_without_approval_is_no_source() -> None:
    offers = (offer("S1"), offer("S2", "used"))

    assert values(scores(offers=offers, load_bearing=True))["sources"] == 75.0


def test_no_source_and_no_lead_time_are_the_worst_under_any_value_function() -> None:
    mild = (
        Score(driver="sources", weight=0.5, points="1:30+2:0"),
        Score(driver="lead_time", weight=0.5, points="0:0+365:60"),
    )
    found = scores(settings=mild)

    assert values(found, Figure(None, "no way known"))["sources"] == 100.0
    assert values(found, Figure(None, "no way known"))["lead_time"] == 100.0


def test_a_site_s_own_value_function_is_used_and_named() -> None:
    own = (Score(driver="lead_time", weight=1.0, points="0:0+200:100"),)
    answer = scores(settings=own).score("P", Figure(50.0, "50 days"))

    assert answer.drivers[2].value == 25.0
    assert answer.drivers[2].records == ("scores lead_time",)


def test_a_score_that_hangs_on_an_unknown_alone_is_not_known() -> None:
    only_age = (
        Score(driver="age", weight=1.0, points="0:0+1:100"),
        Score(driver="sources", weight=0.0, points="0:100"),
        Score(driver="lead_time", weight=0.0, points="0:100"),
    )

    assert scores(ages=(nan,), settings=only_age).score("P", HALF_A_YEAR).score is None


def test_every_driver_explains_itself_in_one_line() -> None:
    answer = scores(offers=(offer(),)).score("P", HALF_A_YEAR)

    assert [each.driver for each in answer.drivers] == list(DRIVERS)
    assert [each.sentence for each in answer.drivers] == [
        "C/x0 is 10.0 years old, expected life 20.0 years: 20 of 100, weight 0.30",
        "1 active with a usable offer: S1: 75 of 100, weight 0.35",
        "180 days by S1: 80 of 100, weight 0.35",
    ]


@pytest.mark.parametrize(
    ("driver", "figure", "value"),
    [
        ("age", 0.0, 0.0), ("age", 0.25, 10.0), ("age", 1.25, 85.0), ("age", 9.0, 100.0),
        ("sources", 3.0, 15.0), ("sources", 7.0, 0.0),
        ("lead_time", 0.0, 0.0), ("lead_time", 7.0, 0.0), ("lead_time", 60.0, 40.0),
        ("lead_time", 400.0, 100.0),
    ],
)  # fmt: skip
def test_default_value_functions_are_linear_between_points_and_flat_outside(
    driver: str, figure: float, value: float
) -> None:
    """Common practice without a source: defaults that a site edits."""
    assert scores().value(driver, figure) == pytest.approx(value)


# Expected life ---------------------------------------------------------------------------------


def test_without_life_or_rate_nothing_is_expected() -> None:
    assert expected_life_years(None, 1000.0, None) is None
    assert expected_life_years(KnownLife("hours", 9000.0), None, None) is None


def test_a_life_wins_over_the_rate_and_goes_by_the_hours_of_the_crane() -> None:
    assert expected_life_years(KnownLife("years", 8.0), None, 0.5) == 8.0
    assert expected_life_years(KnownLife("hours", 20000.0), 2000.0, 0.5) == 10.0


@pytest.mark.parametrize("hours_per_year", [None, 0.0])
def test_without_hours_a_year_the_rate_counts(hours_per_year: float | None) -> None:
    assert expected_life_years(KnownLife("hours", 20000.0), hours_per_year, 0.1) == 10.0
    assert expected_life_years(None, hours_per_year, 0.1) == 10.0


def test_the_hours_of_the_oldest_position_s_own_crane_count() -> None:
    """By hand: 20,000 h at 2,000 h a year are 10 years, so 10 years old is a share of 1."""
    found = scores(life=KnownLife("hours", 20000.0))

    assert values(found)["age"] == 70.0


def test_what_never_fails_never_ages() -> None:
    assert expected_life_years(None, None, 0.0) == inf
    assert values(scores(life=None, rate=0.0))["age"] == 0.0


# Properties ------------------------------------------------------------------------------------

POINTS = st.lists(
    st.tuples(st.floats(-1e3, 1e3), st.floats(0.0, 100.0)), min_size=1, max_size=6,
    unique_by=lambda point: point[0],
).map(sorted)  # fmt: skip


@given(POINTS, st.floats(-1e4, 1e4))
def test_a_value_function_stays_within_its_points(
    points: list[tuple[float, float]], figure: float
) -> None:
    x, y = zip(*points, strict=True)
    value = float(ValueFunction(x, y)(figure))

    assert min(y) - 1e-9 <= value <= max(y) + 1e-9


@given(
    st.lists(st.floats(0.0, 100.0), min_size=3, max_size=3),
    st.lists(st.floats(0.01, 1.0), min_size=3, max_size=3),
    st.sets(st.integers(0, 2), max_size=2),
)
def test_dropping_out_is_the_same_as_not_being_there(
    known: list[float], weights: list[float], unknown: set[int]
) -> None:
    with_gaps = [nan if each in unknown else known[each] for each in range(3)]
    kept = [each for each in range(3) if each not in unknown]
    score = float(weighted_score(with_gaps, weights))
    without = float(weighted_score([known[i] for i in kept], [weights[i] for i in kept]))

    assert score == pytest.approx(without)
    assert min(known) - 1e-9 <= score <= max(known) + 1e-9


def test_scores_of_many_draws_are_reckoned_at_once() -> None:
    weights = np.array([[1.0, 0.0], [0.5, 0.5], [0.0, 1.0]])

    assert weighted_score([[20.0, 80.0]], weights) == pytest.approx([20.0, 50.0, 80.0])
    assert np.isnan(weighted_score([nan, nan], [0.5, 0.5]))
