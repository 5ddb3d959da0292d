"""Last orders of a site: who still asks, until when, what a unit is worth, and what is refused."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
from scipy.stats import poisson

from parts.calc.buying.last_buy import LastBuys
from parts.errors import UnknownName
from parts.records.catalogue import Companion, Substitute
from parts.records.history import Failure
from parts.records.purchase_answers import LastBuyAnswer
from parts.records.site import Setting
from parts.records.supply import Currency, Notice, Supplier
from parts.services import purchases
from tests.calc.purchase_site import A_DAY_COSTS, at, crane, kept, new, part, site
from tests.calc.small_snapshot import TODAY

YEARS = 3652 / 365.25
# a rate that the position itself states is certain
CERTAIN: dict[str, Any] = {"failures_per_year": 0.5}


def asked(positions: list[Any], until: date | None = None, **files: Any) -> LastBuyAnswer:
    files.setdefault("offers", [new()])
    files.setdefault("parts", [part(default_lead_days=200.0)])
    return LastBuys(site(positions, **files)).answer("A", until)


def test_a_part_without_offer_is_not_bought() -> None:
    answer = asked([at("P", "A")], offers=[])

    assert answer.quantity == 0
    assert answer.reason == "no usable offer of a new one"
    assert answer.units_to_last is not None
    assert answer.units_to_last > 0


def test_a_closed_offer_is_not_bought_from_and_says_when_it_closed() -> None:
    notice = Notice(part="A", notice_on=date(2025, 1, 1), kind="discontinuance",
                    last_buy_on=date(2025, 6, 1))  # fmt: skip
    answer = asked([at("P", "A")], notices=[notice])

    assert answer.quantity == 0
    assert "2025-06-01" in answer.reason


def test_a_part_that_nothing_asks_for_is_not_bought() -> None:
    answer = asked([at("P", "B")], parts=[part(default_lead_days=200.0), part("B")])

    assert (answer.quantity, answer.rate, answer.chance_enough) == (0, 0.0, 1.0)
    assert "nothing asks for it" in answer.reason


def test_a_day_that_is_past_asks_for_nothing() -> None:
    answer = asked([at("P", "A")], until=date(2020, 1, 1))

    assert (answer.quantity, answer.horizon_years, answer.chance_enough) == (0, 0.0, 1.0)
    assert answer.reason == "nothing is asked for after that day"


def test_without_a_price_there_is_no_quantity_but_a_count_that_lasts() -> None:
    answer = asked([at("P", "A")], offers=[new(price=None)])

    assert answer.quantity == 0
    assert "price is not known" in answer.reason
    assert answer.units_to_last is not None


def test_a_currency_without_rate_has_no_price() -> None:
    settings = [Setting(key="currency", value="EUR")]
    answer = asked([at("P", "A")], offers=[new(currency="USD")], settings=settings)

    assert (answer.quantity, answer.unit_price) == (0, None)


def test_what_else_could_be_had_must_be_known() -> None:
    answer = asked([at("P", "A")], parts=[part()])

    assert answer.quantity == 0
    assert "how else it could be had is not known" in answer.reason


def test_the_service_refuses_a_name_that_is_not_there() -> None:
    with pytest.raises(UnknownName):
        purchases.last_buy(site([]), "AA")


def test_one_position_with_a_certain_rate_has_a_value_and_a_horizon() -> None:
    answer = asked([at("P", "A", **CERTAIN)])

    assert answer.rate == 0.5
    assert answer.rate_uncertain is False
    assert answer.horizon_years == pytest.approx(YEARS)
    assert answer.horizon_assumed is False
    assert answer.value_per_unit == pytest.approx(200.0 * A_DAY_COSTS)
    assert [row.n for row in answer.marginal if row.worth] == list(range(1, answer.quantity + 1))
    assert [lot.units for lot in answer.beside] == [
        answer.quantity - 1,
        answer.quantity,
        answer.quantity + 1,
    ]
    assert answer.beside[1].chance_enough == answer.chance_enough


def test_stock_is_used_first() -> None:
    without = asked([at("P", "A", **CERTAIN)])
    some = asked([at("P", "A", **CERTAIN)], movements=[kept("A", 3)])
    plenty = asked([at("P", "A", **CERTAIN)], movements=[kept("A", 500)])

    assert some.on_hand == 3
    assert some.quantity == without.quantity - 3
    assert [row.saving for row in some.marginal[:2]] == pytest.approx(
        [row.saving for row in without.marginal[3:5]]
    )
    assert (plenty.quantity, plenty.chance_enough) == (0, 1.0)


def test_cranes_that_go_earlier_ask_for_less() -> None:
    late = crane("D", retire_on=date(2028, 11, 24))
    two = [at("P", "A", **CERTAIN), at("P", "A", "D", **CERTAIN)]
    falling = asked(two, cranes=[crane(), late])
    steady = asked(two, cranes=[crane(), crane("D")])

    assert falling.rate == steady.rate == 1.0
    assert falling.horizon_years == steady.horizon_years
    assert falling.quantity < steady.quantity


def test_until_replaces_the_end_but_no_earlier_one() -> None:
    until = TODAY + timedelta(days=7305)
    dated = asked([at("P", "A", **CERTAIN)], until)
    undated = asked([at("P", "A", **CERTAIN)], until, cranes=[crane(retire_on=None)])
    whole = asked([at("P", "A", **CERTAIN)])

    assert dated.horizon_years == undated.horizon_years == pytest.approx(20.0)
    assert dated.units_to_last == whole.units_to_last
    assert undated.quantity > dated.quantity


def test_without_a_date_the_site_s_horizon_is_an_assumption() -> None:
    answer = asked([at("P", "A", **CERTAIN)], cranes=[crane(retire_on=None)])

    assert (answer.horizon_years, answer.horizon_assumed) == (15.0, True)
    assert any("assumption" in note for note in answer.notes)


def test_own_records_make_the_rate_uncertain_and_the_quantity_larger() -> None:
    failed = Failure(crane="C", position="P", failed_on=TODAY)
    uncertain = asked([at("P", "A")], failures=[failed])
    certain = asked([at("P", "A", failures_per_year=uncertain.rate)])

    assert uncertain.rate_uncertain is True
    assert certain.rate == pytest.approx(uncertain.rate)
    assert uncertain.units_to_last is not None
    assert certain.units_to_last is not None
    assert uncertain.units_to_last > certain.units_to_last


def test_the_next_best_way_is_the_fastest_that_stays_and_its_price_is_saved() -> None:
    other = new(kind="used", price=350.0, likely=50.0)
    repair = new(kind="repair", price=80.0, likely=70.0, supplier="T")
    answer = asked([at("P", "A", **CERTAIN)], offers=[new(), other, repair])

    assert answer.next_best_days == pytest.approx(50.0)
    assert answer.value_per_unit == pytest.approx(50.0 * A_DAY_COSTS + 350.0)


def test_planned_use_shares_the_value_and_lasts_to_the_end() -> None:
    answer = asked([at("P", "A", **CERTAIN)],
                   parts=[part(default_lead_days=200.0, planned_per_year=1.5)])  # fmt: skip

    assert answer.rate == 2.0
    assert answer.value_per_unit == pytest.approx(200.0 * A_DAY_COSTS / 4.0)


def test_a_companion_is_worth_its_share_of_each_event() -> None:
    parts = [part(default_lead_days=200.0, failures_per_year=None), part("B")]
    answer = asked(
        [at("P", "B", **CERTAIN)], parts=parts, offers=[new(), new("B")],
        companions=[Companion(part="B", companion="A", qty=2, chance=0.4)],
    )  # fmt: skip

    assert answer.rate == pytest.approx(0.5 * 0.4 * 2)
    assert answer.value_per_unit == pytest.approx(200.0 * A_DAY_COSTS / 2)


def test_a_life_counts_at_the_constant_rate_of_its_renewals_until_its_crane_goes() -> None:
    # beside it, lives drawn one after another
    aging = part(default_lead_days=200.0, life_basis="years", life_shape=8.0, life_scale=4.0)
    answer = asked([at("P", "A", installed=TODAY)], parts=[aging])
    lives = 4.0 * np.random.default_rng(8).weibull(8.0, (100_000, 8))
    failures = (np.cumsum(lives, axis=1) < YEARS).sum() / 100_000

    assert answer.rate == pytest.approx(failures / YEARS, rel=0.005)
    assert answer.rate_uncertain is False


def test_parts_that_stand_in_both_ways_are_one_stock_and_one_demand() -> None:
    two = [part(default_lead_days=200.0), part("B")]
    answer = asked(
        [at("P", "A", **CERTAIN), at("Q", "B", **CERTAIN)], parts=two,
        offers=[new(), new("B", likely=30.0)], movements=[kept("B", 2)],
        substitutes=[Substitute(part="A", substitute="B", both_ways=True)],
    )  # fmt: skip

    assert (answer.rate, answer.on_hand) == (1.0, 2)
    assert answer.next_best_days == pytest.approx(30.0)


def test_a_price_in_another_currency_is_converted_at_its_dated_rate() -> None:
    answer = asked([at("P", "A", **CERTAIN)],
                   offers=[new(currency="USD", order_cost=10.0)],
                   settings=[Setting(key="currency", value="EUR")],
                   currencies=[Currency(currency="USD", rate=0.9, dated=TODAY)])  # fmt: skip

    assert answer.unit_price == pytest.approx(90.0)
    assert answer.order_cost == pytest.approx(9.0)


def test_the_order_s_cost_may_eat_what_a_lot_saves() -> None:
    cheap = asked([at("P", "A", **CERTAIN)])
    gain = cheap.beside[1].gain
    refused = asked([at("P", "A", **CERTAIN)], offers=[new(order_cost=gain + 1.0)])

    assert cheap.quantity > 0 == refused.quantity
    assert "with its order" in refused.reason


def test_a_unit_more_or_less_never_gains_more_on_random_sites() -> None:
    rng = np.random.default_rng(20261125)
    for _ in range(12):
        price = float(rng.uniform(50.0, 60_000.0))
        rows = [at("P", "A", failures_per_year=float(rng.uniform(0.01, 2.0)))]
        answer = asked(rows, offers=[new(price=price)])
        gains = {lot.units: lot.gain for lot in answer.beside}

        assert max(gains.values()) == gains[answer.quantity]


def test_every_term_names_its_record() -> None:
    answer = asked([at("P", "A", **CERTAIN)], movements=[kept("A", 1)],
                   suppliers=[Supplier(supplier="S")])  # fmt: skip

    assert {term.record for term in answer.terms} == {
        "positions C/P",
        "movements A",
        "offers S/A/new",
        "parts A",
    }


# On paper ---------------------------------------------------------------------------------------


def test_on_paper_the_order_reaches_the_ratio_of_a_unit_short_to_one_left_over() -> None:
    paper = asked([at("P", "A", **CERTAIN)]).on_paper
    mean = 0.5 * YEARS

    assert paper is not None
    assert paper.over_cost == 100.0
    assert paper.short_cost == pytest.approx(200.0 * A_DAY_COSTS - 100.0)
    assert paper.ratio == pytest.approx(1.0 - 100.0 / (200.0 * A_DAY_COSTS))
    assert poisson.cdf(paper.quantity - 1, mean) < paper.ratio <= poisson.cdf(paper.quantity, mean)
    assert paper.asked == pytest.approx(mean)
    assert paper.quantity - paper.asked == pytest.approx(paper.expected_left - paper.expected_short)
    assert paper.expected_cost == pytest.approx(
        paper.short_cost * paper.expected_short + paper.over_cost * paper.expected_left
    )


def test_without_interest_and_keeping_the_order_is_that_on_paper() -> None:
    free = [Setting(key="discount_rate", value="0"), Setting(key="holding_rate", value="0")]
    for qty in (0, 4):
        answer = asked([at("P", "A", **CERTAIN)], settings=free,
                       offers=[new(price=40_000.0)],
                       movements=[kept("A", qty)] if qty else [])  # fmt: skip

        assert answer.on_paper is not None
        assert answer.quantity == answer.on_paper.quantity > 0


def test_on_paper_stock_is_used_first() -> None:
    paper = asked([at("P", "A", **CERTAIN)], movements=[kept("A", 3)]).on_paper
    over_three = poisson(0.5 * YEARS).expect(lambda n: np.maximum(0.0, n - 3.0))

    assert paper is not None
    assert paper.asked == pytest.approx(over_three)


def test_a_unit_that_saves_less_than_its_price_has_no_order_on_paper() -> None:
    answer = asked([at("P", "A", **CERTAIN)], offers=[new(price=201.0 * A_DAY_COSTS)])

    assert answer.quantity == 0
    assert answer.on_paper is None
