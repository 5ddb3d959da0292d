"""How long a part can still be bought, way by way, and when restoring jumps."""

from __future__ import annotations

from datetime import date
from math import exp, inf
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.calc.failing.fleet import Fleet
from parts.calc.getting.supply import Supplies
from parts.calc.getting.ways import Market
from parts.calc.likelihoods.obtainable import Fate, Outlook, jump_year, obtainable, still_on_market
from parts.records.catalogue import Part, PartClass
from parts.records.structure import Crane, Position
from parts.records.supply import Notice, Offer, Operation, Supplier
from tests.calc.small_snapshot import TODAY, snapshot_with

CLASS = PartClass(part_class="drive", market_shape=2.0, market_scale=20.0)
TEN_YEARS_AGO = date(2016, 11, 25)
AGE = (TODAY - TEN_YEARS_AGO).days / 365.25
BY_CURVE = exp((AGE / 20) ** 2 - ((AGE + 5) / 20) ** 2)


def outlook(
    *offers: Offer, notices: tuple[Notice, ...] = (), load_bearing: bool = False, **part: Any
) -> dict[int, float | None]:
    return outlook_of(*offers, notices=notices, load_bearing=load_bearing, **part).obtainable("P")


def fates(*offers: Offer, notices: tuple[Notice, ...] = (), **part: Any) -> list[tuple[str, str]]:
    found = outlook_of(*offers, notices=notices, load_bearing=False, **part).fates("P")
    return [(fate.record, fate.words) for fate in found]


def outlook_of(
    *offers: Offer, notices: tuple[Notice, ...], load_bearing: bool, **part: Any
) -> Outlook:
    facts: dict[str, Any] = {"part_class": "drive", "introduced": TEN_YEARS_AGO} | part
    snapshot = snapshot_with(
        classes=[CLASS],
        cranes=[Crane(crane="C")],
        parts=[Part(part="P", **facts)],
        positions=[Position(crane="C", position="x", part="P", load_bearing=load_bearing)],
        suppliers=[Supplier(supplier=name) for name in "ST"]
        + [Supplier(supplier="CLOSED", active=False)],
        routes=[Operation(route="R", operation="cut", likely=30.0)],
        offers=list(offers),
        notices=list(notices),
    )
    return Outlook(Fleet(snapshot), Supplies(snapshot, Market(snapshot)))


def offer(kind: str = "new", supplier: str = "S", **facts: object) -> Offer:
    return Offer(supplier=supplier, part="P", kind=kind, likely=20.0, **facts)  # type: ignore[arg-type]  # facts are fields


def ends(on: date, supplier: str | None = None, said: date = date(2026, 1, 1)) -> Notice:
    return Notice(
        part="P", supplier=supplier, notice_on=said, kind="discontinuance", last_buy_on=on
    )


def test_without_a_way_nothing_can_be_bought() -> None:
    assert outlook() == {1: 0.0, 3: 0.0, 5: 0.0, 10: 0.0}


def test_an_offer_of_a_closed_supplier_is_no_way() -> None:
    assert outlook(offer(supplier="CLOSED"))[1] == 0.0


def test_without_a_year_of_introduction_nothing_is_said() -> None:
    assert outlook(offer(), introduced=None) == dict.fromkeys((1, 3, 5, 10))


def test_without_a_market_life_of_the_class_nothing_is_said() -> None:
    assert outlook(offer(), part_class=None)[5] is None


def test_a_part_on_the_market_stands_by_its_class_and_its_years() -> None:
    assert outlook(offer())[5] == pytest.approx(BY_CURVE)


def test_all_new_offers_share_one_fate() -> None:
    assert outlook(offer(), offer(supplier="T"), offer("used"))[5] == pytest.approx(BY_CURVE)


def test_a_known_day_wins_over_the_curve() -> None:
    assert outlook(offer(), notices=(ends(date(2030, 1, 1)),)) == {1: 1.0, 3: 1.0, 5: 0.0, 10: 0.0}


def test_of_several_offers_the_latest_day_counts() -> None:
    closing = (ends(date(2028, 1, 1), "S"), ends(date(2033, 1, 1), "T"))

    assert outlook(offer(), offer(supplier="T"), notices=closing)[5] == 1.0


def test_an_offer_without_a_day_keeps_the_curve_for_all() -> None:
    closing = (ends(date(2028, 1, 1), "S"),)

    assert outlook(offer(), offer(supplier="T"), notices=closing)[5] == pytest.approx(BY_CURVE)


def test_used_parts_alone_share_the_fate_that_new_ones_would_have() -> None:
    assert outlook(offer("used"))[5] == pytest.approx(BY_CURVE)
    assert outlook(offer("used"), last_buy_on=date(2020, 1, 1))[1] == 0.0


@pytest.mark.parametrize("papers", [{"drawing": True}, {}])
def test_what_is_made_stands_with_its_supplier_if_there_are_papers(
    papers: dict[str, Any],
) -> None:
    assert outlook(offer("made"), **papers)[10] == float(bool(papers))


def test_what_is_made_by_a_route_stands_with_its_supplier() -> None:
    assert outlook(offer("made", route="R"), introduced=None)[10] == 1.0


def test_repair_stands_with_its_supplier_until_a_notice_names_it() -> None:
    closing = (ends(date(2028, 1, 1), "S"),)

    assert outlook(offer("repair"))[10] == 1.0
    assert outlook(offer("repair"), notices=closing) == {1: 1.0, 3: 0.0, 5: 0.0, 10: 0.0}


def test_where_it_bears_load_only_an_approved_repair_is_a_way() -> None:
    assert outlook(offer("repair"), load_bearing=True)[1] == 0.0
    assert outlook(offer("repair", approval="works 2024"), load_bearing=True)[1] == 1.0


def test_each_fate_says_what_it_rests_on() -> None:
    closing = (ends(date(2027, 1, 1), "S"), ends(date(2026, 12, 5), "T"))

    assert fates(offer(), offer("made", route="R"), introduced=date(2016, 11, 24)) == [
        ("classes drive", "10.0 years on the market, Weibull shape 2 scale 20 years"),
        ("offers S/P/made/R", "for good"),
    ]
    assert fates(offer(), offer(supplier="T"), notices=closing) == [
        ("offers S/P/new", "for 37 days")
    ]
    assert fates(offer(), introduced=None) == [
        ("parts P", "not known: no year of introduction, or no market life of the class")
    ]


def test_a_way_that_is_not_known_hides_nothing_that_is_certain() -> None:
    unknown, certain, gone = Fate("new", ""), Fate("made", "", inf), Fate("made", "", 0.0)

    assert obtainable([unknown], 5.0) is None
    assert obtainable([unknown, gone], 5.0) is None
    assert obtainable([unknown, certain], 5.0) == 1.0
    assert obtainable([], 5.0) == 0.0


def test_a_curve_of_shape_one_does_not_age() -> None:
    """Memoryless: exp(-t / scale) whatever the age."""
    assert still_on_market(5.0, 30.0, 1.0, 10.0) == pytest.approx(exp(-0.5))


@given(st.floats(0.0, 40.0), st.floats(0.5, 4.0), st.floats(1.0, 50.0), st.floats(0.0, 30.0))
def test_chances_fall_with_the_years_and_chain(
    age: float, shape: float, scale: float, years: float
) -> None:
    whole = still_on_market(2 * years, age, shape, scale)
    first, second = (still_on_market(years, age + each, shape, scale) for each in (0.0, years))

    assert still_on_market(0.0, age, shape, scale) == 1.0
    assert whole <= first <= 1.0
    assert whole == pytest.approx(first * second, abs=1e-9)


# The year in which restoring jumps -----------------------------------------------------------


def until(years: float) -> Fate:
    return Fate("new", "", years * 365.25)


def test_a_part_that_stays_obtainable_never_jumps() -> None:
    assert jump_year([until(inf)], [(10.0, 1000.0)], TODAY) is None


def test_restoring_jumps_in_the_year_after_the_last_day() -> None:
    assert jump_year([until(4.5)], [(10.0, 200.0)], TODAY) == 2031


def test_restoring_does_not_jump_where_the_default_is_hardly_longer() -> None:
    assert jump_year([until(4.5)], [(10.0, 14.9)], TODAY) is None
    assert jump_year([until(4.5)], [(10.0, 15.0)], TODAY) == 2031


def test_one_crane_that_jumps_is_enough() -> None:
    assert jump_year([until(4.5)], [(10.0, 10.0), (10.0, 99.0)], TODAY) == 2031


def test_the_jump_weighs_the_default_by_the_chance_that_it_is_needed() -> None:
    """By hand: 1 + (1 - p) x 1 >= 1.5 where p <= 0.5; exp(-t / 10) falls to it in year 7."""
    falling = Fate("new", "", curve=(0.0, 1.0, 10.0))

    assert jump_year([falling], [(100.0, 200.0)], TODAY) == TODAY.year + 7


def test_what_restores_at_once_today_jumps_once_it_may_not() -> None:
    assert jump_year([until(2.5)], [(0.0, 30.0)], TODAY) == 2029


def test_what_cannot_be_told_does_not_jump() -> None:
    unknown = Fate("new", "")

    assert jump_year([unknown], [(10.0, 200.0)], TODAY) is None
    assert jump_year([until(2.5)], [(None, 200.0)], TODAY) is None
    assert jump_year([until(2.5)], [], TODAY) is None


def test_without_a_default_restoring_jumps_when_the_last_way_is_certainly_gone() -> None:
    assert jump_year([until(2.5)], [(10.0, None)], TODAY) == 2029
    assert jump_year([Fate("new", "", curve=(0.0, 1.0, 10.0))], [(10.0, None)], TODAY) is None


def test_nothing_is_said_beyond_thirty_years() -> None:
    assert jump_year([until(29.5)], [(10.0, 200.0)], TODAY) == TODAY.year + 30
    assert jump_year([until(30.5)], [(10.0, 200.0)], TODAY) is None
