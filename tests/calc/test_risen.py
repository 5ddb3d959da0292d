"""Why a risk rose within a week: one cause at a time on a site where nothing else has changed.

Part A stops crane C of our own invention for the 20 days of its only offer and half a day at the
crane, half a time a year; every expected figure is added up from these.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from parts.calc.failing.outages import FleetOutage
from parts.calc.ranking.exposures import Exposures
from parts.calc.today.risen import LEAST_RISE_DAYS
from parts.records.catalogue import Companion, Part, PartClass
from parts.records.history import Failure
from parts.records.site import Setting
from parts.records.snapshot import NeedColumns, columns_of
from parts.records.stock import Movement
from parts.records.structure import Need
from parts.records.supply import Notice, Order
from tests.calc.purchase_site import at, new, part, site
from tests.calc.small_snapshot import TODAY
from tests.calc.todays import WEEK_AGO, ago, ahead, before, causes, rises


def moved(qty: int, kind: str, days_ago: int, **facts: Any) -> Movement:
    row: dict[str, Any] = {"part": "A", "store": "S", "key": f"{kind} {days_ago} {qty}"}
    return Movement(date=ago(days_ago), qty=qty, kind=kind, **(row | facts))


def kept(qty: int = 1, **facts: Any) -> Movement:
    return moved(qty, "opening", 100, **facts)


def one(now: Exposures, part: str = "A") -> tuple[str, str, str]:
    """The only cause of a part's rise: its kind, its words, its record."""
    (cause,) = causes(now, part)
    return cause.kind, cause.text, cause.record


# Nothing


def test_nothing_rises_where_nothing_happens() -> None:
    assert rises(site([], parts=[])) == ()
    assert rises(site([at("P", "A")], offers=[new()], movements=[kept()])) == ()


def test_what_falls_is_not_told() -> None:
    now = site([at("P", "A")], offers=[new()], movements=[moved(1, "receipt", 3)])

    assert rises(now) == ()


def test_what_rises_by_less_than_the_least_is_not_told() -> None:
    # the spare of a part that fails every thousand years: 20 days x 0.001 at most
    rare = [part(failures_per_year=LEAST_RISE_DAYS / 20.0 * 0.9)]
    now = site([at("P", "A")], parts=rare, offers=[new()],
               movements=[kept(), moved(-1, "issue", 3)])  # fmt: skip

    assert rises(now) == ()


def test_rows_of_the_day_itself_are_known_on_it_and_no_news_a_week_later() -> None:
    now = site([at("P", "A")], offers=[new()], movements=[kept(), moved(-1, "issue", 7)])

    assert rises(now) == ()


# Stock


def test_an_issue_took_the_only_spare() -> None:
    taken = moved(-1, "issue", 3, crane="C", position="P")
    now = site([at("P", "A")], offers=[new()], movements=[kept(), taken])
    (rise,) = rises(now)

    # with none kept half a failure a year waits 20 days and takes half a day at the crane
    assert rise.now_days == pytest.approx(0.5 * 20.5)
    assert rise.then_days < 1.0
    assert one(now) == (
        "issue",
        f"1 of A left the store on {ago(3)} (issue) for C/P",
        "movements A",
    )


def test_scrapping_and_a_count_that_found_less_are_told_as_such() -> None:
    two = [kept(2), moved(-1, "scrap", 3), moved(-1, "count", 2)]
    found = causes(site([at("P", "A")], offers=[new()], movements=two), "A")

    assert [each.kind for each in found] == ["scrap", "count"]


def test_an_issue_that_was_reversed_is_no_cause() -> None:
    rows = [
        kept(3),
        moved(-1, "issue", 20),
        moved(-1, "issue", 4, key="wrong"),
        moved(1, "reversal", 3, reverses="wrong"),
        moved(-1, "issue", 2, key="right"),
    ]
    found = causes(site([at("P", "A")], offers=[new()], movements=rows), "A")

    assert [each.text for each in found] == [f"1 of A left the store on {ago(2)} (issue)"]


def test_what_was_made_good_meanwhile_is_no_cause() -> None:
    late = Order(order="O", supplier="S", part="K", qty=1, ordered_on=ago(60), due_on=ago(1))
    now = site(
        [at("P", "A")],
        parts=[part(), part("K", failures_per_year=None)],
        offers=[new(), new("K", likely=30.0)],
        companions=[Companion(part="A", companion="K")],
        orders=[late],
        movements=[kept(), moved(-1, "issue", 3), moved(1, "receipt", 2, part="K")],
    )

    assert [each.record for each in causes(now, "A")] == ["movements A"]


def test_an_issue_of_a_companion_is_the_cause_for_the_part() -> None:
    now = site(
        [at("P", "A")],
        parts=[part(), part("K", failures_per_year=None)],
        offers=[new(likely=1.0), new("K", likely=30.0)],
        companions=[Companion(part="A", companion="K")],
        movements=[kept(part="K", key="K"), moved(-1, "issue", 3, part="K")],
    )

    assert one(now)[:2] == ("issue", f"1 of K left the store on {ago(3)} (issue)")


@pytest.mark.parametrize("days", [1, 7])
def test_a_spare_passed_its_shelf_life(days: int) -> None:
    now = site([at("P", "A")], offers=[new()], movements=[kept(expires_on=ago(days))])
    text = f"1 of A in store past shelf life since {ago(days)}"

    assert one(now) == ("expiry", text, "movements A")


@pytest.mark.parametrize("days", [0, 8])
def test_a_spare_that_is_in_life_today_or_was_over_a_week_ago_is_no_news(days: int) -> None:
    now = site([at("P", "A")], offers=[new()], movements=[kept(expires_on=ago(days))])

    assert rises(now) == ()


def test_an_order_became_overdue() -> None:
    late = Order(order="O", supplier="S", part="A", qty=1, ordered_on=ago(60), due_on=ago(1))
    now = site([at("P", "A")], offers=[new()], orders=[late])

    assert one(now) == (
        "order",
        "order O of A from S is overdue by 1 days, no new date",
        "orders O/A",
    )


def test_an_order_that_came_in_is_no_loss() -> None:
    came = Order(order="O", supplier="S", part="A", qty=1, ordered_on=ago(60), due_on=ago(1),
                 received_on=ago(1))  # fmt: skip
    now = site([at("P", "A")], offers=[new()], orders=[came],
               movements=[moved(1, "receipt", 1, order="O")])  # fmt: skip

    assert rises(now) == ()


# Lead time


def test_the_last_day_of_the_only_quick_offer_passed() -> None:
    ends = Notice(part="A", supplier="S", notice_on=ago(90), kind="discontinuance",
                  last_buy_on=ago(2))  # fmt: skip
    offers = [new(likely=5.0), new(supplier="T", likely=90.0)]
    now = site([at("P", "A")], offers=offers, notices=[ends])

    assert one(now)[:2] == ("offer", f"A from S: last order was possible on {ago(2)}")


def test_a_notice_of_this_week_that_ends_an_offer_at_once_is_named() -> None:
    ends = Notice(part="A", supplier="S", notice_on=ago(3), kind="discontinuance",
                  last_buy_on=ago(2))  # fmt: skip
    offers = [new(likely=5.0), new(supplier="T", likely=90.0)]
    now = site([at("P", "A")], offers=offers, notices=[ends])

    assert one(now)[:2] == (
        "notice",
        f"notice of {ago(3)} on A: last order was possible on {ago(2)}",
    )


def test_with_the_last_offer_gone_nobody_knows_any_more() -> None:
    ends = Notice(part="A", supplier="S", notice_on=ago(90), kind="discontinuance",
                  last_buy_on=ago(2))  # fmt: skip
    now = site([at("P", "A")], offers=[new()], notices=[ends])
    (rise,) = rises(now)

    assert (rise.now_days, rise.more_days) == (None, None)
    assert one(now)[0] == "offer"


def test_a_first_quotation_is_longer_than_what_was_assumed() -> None:
    offer = new(likely=60.0, quoted_on=ago(3))
    now = site([at("P", "A")], parts=[part(default_lead_days=15.0)], offers=[offer])

    assert one(now)[:2] == ("quotation", "S says 60 days for A, where 15 were assumed")


def test_late_deliveries_make_a_supplier_slower() -> None:
    late = [
        Order(order=f"O{n}", supplier="S", part="B", qty=1, ordered_on=ago(100), quoted_days=10.0,
              received_on=ago(n))
        for n in range(1, 6)
    ]  # fmt: skip
    parts = [part(), part("B")]
    now = site([at("P", "A")], parts=parts, offers=[new()], orders=late)

    assert one(now)[:2] == (
        "deliveries",
        "deliveries since then came late, so S is reckoned slower",
    )


# Failures, demand, weight


def test_a_new_failure_raises_the_rate_that_own_records_teach() -> None:
    classes = [PartClass(part_class="relays", failures_per_year=0.5)]
    failed, long_ago = (
        Failure(crane="C", position="P", failed_on=ago(days), restored_on=ago(2), part="A")
        for days in (3, 900)
    )
    now = site([at("P", "A")], parts=[Part(part="A", part_class="relays")], classes=classes,
               offers=[new()], failures=[long_ago, failed],
               settings=[Setting(key="records_from", value="2016-11-25")])  # fmt: skip

    assert one(now) == ("failure", f"C/P failed on {ago(3)}", "positions C/P")


def test_a_part_that_wears_rises_with_its_age_alone() -> None:
    worn = Part(part="A", life_basis="years", life_shape=6.0, life_scale=3.0)
    now = site([at("P", "A", installed=ago(730))], parts=[worn], offers=[new()])

    assert one(now)[:2] == ("age", "it is older, and fails the more often the older it is")


def test_a_week_of_age_is_not_told_beside_a_spare_that_is_gone() -> None:
    worn = Part(part="A", life_basis="years", life_shape=6.0, life_scale=3.0)
    rows = [kept(), moved(-1, "issue", 3)]
    now = site([at("P", "A", installed=ago(730))], parts=[worn], offers=[new()], movements=rows)

    assert one(now)[0] == "issue"


def test_a_stand_in_that_is_out_more_often_makes_its_twin_count_more() -> None:
    late = Order(order="O", supplier="S", part="B", qty=1, ordered_on=ago(60), due_on=ago(1))
    parts = [part(name, failures_per_year=4.0) for name in ("A", "B", "D")]
    now = together(parts, [new(name, likely=90.0) for name in ("A", "B", "D")], orders=[late])
    kind, text, record = one(now, "A")

    assert kind == "stand-in"
    assert text == "C/Q, which stands in for it, is out more of the time"
    assert record == "positions C/Q"


def together(parts: list[Part], offers: list[Any], **files: Any) -> Exposures:
    """Crane C works while one of the positions P, Q and R does."""
    positions = [at("P", "A"), at("Q", "B"), at("R", "D")]
    alone = site(positions, parts=parts, offers=offers, **files).snapshot
    needs = [
        Need(crane="C", item="work", needs=row.position, group="one", at_least=1)
        for row in positions
    ]
    return Exposures(FleetOutage(replace(alone, needs=columns_of(NeedColumns, Need, needs))))


# The earlier day


def test_the_site_of_an_earlier_day_forgets_rows_and_strikes_out_dates_that_came_later() -> None:
    now = site(
        [at("P", "A")],
        failures=[Failure(crane="C", position="P", failed_on=ago(9), restored_on=ago(1))],
        orders=[Order(order="O", supplier="S", part="A", qty=1, ordered_on=ago(3))],
        movements=[kept(), moved(-1, "issue", 6)],
        offers=[new(quoted_on=ago(7)), new(supplier="T", quoted_on=ago(6))],
    ).snapshot
    then = now.on(WEEK_AGO)

    assert then.today == WEEK_AGO
    assert [row.restored_on for row in then.failures] == [None]
    assert then.orders == ()
    assert [row.kind for row in then.movements] == ["opening"]
    assert [row.supplier for row in then.offers] == ["S"]
    assert then.positions is now.positions


def test_an_earlier_day_of_the_day_itself_is_the_same_site() -> None:
    now = site([at("P", "A")], offers=[new()], movements=[kept()])

    assert now.snapshot.on(TODAY) == now.snapshot
    assert before(now).snapshot.on(ahead(-7)) == before(now).snapshot
