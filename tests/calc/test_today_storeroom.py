"""What waits for the storeroom: each kind of line on a site made for it.

Days and units are added up in the tests; the site is our own invention. What counts as soon and
how often a part is counted are choices, stated in the modules.
"""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from parts.calc.today.counts import counts_a_year, counts_due, last_counts
from parts.records.catalogue import PartClass
from parts.records.stock import Movement
from parts.records.supply import Order, Supplier
from parts.records.today_answers import Place, Urgency
from tests.calc.purchase_site import at, kept, new, part, site
from tests.calc.small_snapshot import TODAY
from tests.calc.todays import ago, ahead, answer, line, lines


def moved(qty: int, kind: str, on: date, name: str = "A", **facts: Any) -> Movement:
    facts = {"store": "S", "key": f"{name} {kind} {on} {qty}", **facts}
    return Movement(date=on, part=name, qty=qty, kind=kind, **facts)


def ordered(due_on: date | None, order: str = "O", **facts: Any) -> Order:
    row: dict[str, Any] = {"supplier": "S", "part": "A", "qty": 2, "ordered_on": ago(60)}
    return Order(order=order, due_on=due_on, **(row | facts))


# Nothing


def test_nothing_waits_on_an_empty_site() -> None:
    found = answer(site([], parts=[]))

    assert [each.lines for each in found.people] == [(), (), ()]
    assert [each.notes for each in found.people] == [(), (), ()]


def test_a_part_that_is_never_asked_for_and_not_kept_is_nothing_for_the_storeroom() -> None:
    found = answer(site([at("P", "A", failures_per_year=0.0)], parts=[part(failures_per_year=0.0)]))

    assert found.of("storeroom").lines == ()


# Due in


def test_an_order_is_due_in_on_its_day_and_after_and_not_before() -> None:
    orders = [ordered(ago(3), "late"), ordered(TODAY, "now"), ordered(ahead(1), "coming")]
    late, now = lines(site([at("P", "A")], orders=orders), "storeroom", "due_in")

    assert (late.subject, late.figure, late.urgency) == ("late", 3.0, Urgency.NOW)
    assert late.sentence == f"2 of A from S was due on {ago(3)}"
    assert late.at == Place("order", part="A", order="late")
    assert (now.subject, now.figure, now.urgency) == ("now", 0.0, Urgency.NOW)
    assert now.at.what == "part"


def test_an_order_without_a_date_is_due_when_its_quotation_says() -> None:
    now = site([at("P", "A")], orders=[ordered(None, quoted_days=50.0)])

    assert line(now, "storeroom", "due_in").due_on == ago(10)


def test_what_has_come_in_or_has_no_date_at_all_is_not_due_in() -> None:
    orders = [ordered(ago(3), "done", received_on=ago(1)), ordered(None, "dateless")]

    assert lines(site([at("P", "A")], orders=orders), "storeroom", "due_in") == []


# Below the limit, issued and never ordered again


def test_below_the_minimum_presses_where_nothing_is_left() -> None:
    rows = [part("A", min_stock=1, failures_per_year=0.0), part("B", min_stock=3)]
    now = site([at("P", "A"), at("Q", "B")], parts=rows, movements=[kept("B", 2)])
    none, few = lines(now, "storeroom", "below")

    assert (none.subject, none.urgency) == ("A", Urgency.NOW)
    assert none.sentence == "0 usable and 0 on order, below 1"
    assert (few.subject, few.urgency) == ("B", Urgency.SOON)
    assert few.sentence == "2 usable and 0 on order, below 3"


def test_the_part_that_takes_most_of_a_year_stands_first_below_its_limit() -> None:
    rows = [part("A", min_stock=1, failures_per_year=0.1), part("B", min_stock=1)]
    offers = [new("A"), new("B")]
    now = site([at("P", "A"), at("Q", "B")], parts=rows, offers=offers)
    first, second = lines(now, "storeroom", "below")

    assert (first.subject, second.subject) == ("B", "A")
    # 0.5 and 0.1 failures a year, each waiting the 20 days of the offer and half a day at the crane
    assert first.figure == pytest.approx(0.5 * 20.5)
    assert second.figure == pytest.approx(0.1 * 20.5)


def test_an_issue_that_nothing_was_ordered_for_waits_since_its_day() -> None:
    now = site([at("P", "A")], movements=[kept("A", 2), moved(-1, "issue", TODAY)])
    found = line(now, "storeroom", "not_reordered")

    assert (found.subject, found.figure, found.urgency) == ("A", 0.0, Urgency.NOW)
    assert found.sentence == f"issued on {TODAY} and nothing has been ordered since"


# Shelf life and care


def test_shelf_life_is_told_from_thirty_days_before_its_end() -> None:
    lots = [
        moved(1, "receipt", ago(400), expires_on=ago(1), key="over"),
        moved(2, "receipt", ago(300), expires_on=TODAY, key="last day"),
        moved(3, "receipt", ago(200), expires_on=ahead(30), key="near"),
        moved(4, "receipt", ago(100), expires_on=ahead(31), key="far"),
    ]
    over, last, near = lines(site([at("P", "A")], movements=lots), "storeroom", "shelf_life")

    assert over.sentence == f"1 in S, past shelf life since {ago(1)}"
    assert (over.urgency, over.figure, over.why) == (Urgency.NOW, 0.0, "not for use: set it aside")
    assert last.sentence == f"2 in S, in life until {TODAY}"
    assert (last.urgency, last.figure) == (Urgency.SOON, -1.0)
    assert near.sentence == f"3 in S, in life until {ahead(30)}"
    assert near.figure == -31.0


def test_what_ages_and_bears_no_date_waits_without_a_day() -> None:
    rows = [part(shelf_life_months=60.0)]
    found = line(site([at("P", "A")], parts=rows, movements=[kept("A", 3)]), "storeroom",
                 "shelf_life")  # fmt: skip

    assert found.sentence == "3 in S without a date, though it ages on the shelf"
    assert (found.due_on, found.urgency) == (None, Urgency.LATER)


def test_what_lies_in_quarantine_has_no_shelf_life_to_watch() -> None:
    lot = moved(1, "receipt", ago(9), expires_on=ago(1), condition="quarantine")

    assert lines(site([at("P", "A")], movements=[lot]), "storeroom", "shelf_life") == []


@pytest.mark.parametrize(("days", "told"), [(371, True), (366, True), (365, False)])
def test_care_is_due_so_many_months_after_the_lot_was_last_touched(days: int, told: bool) -> None:
    classes = [PartClass(part_class="motors", storage_months=12.0, source="ours")]
    rows = [part(part_class="motors")]
    lots = [moved(1, "receipt", ago(800)), moved(0, "care", ago(days))]
    now = site([at("P", "A")], parts=rows, classes=classes, movements=lots)
    found = lines(now, "storeroom", "care")

    # 12 months are 365.25 days, so the day is the 366th after the care
    assert [(each.due_on, each.figure) for each in found] == [
        (ago(days - 366), days - 366.0)
    ] * told
    for each in found:
        assert each.sentence.startswith(f"1 in S untouched since {ago(days)}")
        assert each.why == "every 12 months; ours"


# What lies aside


def test_quarantine_and_repair_wait_with_the_days_that_they_have_lain() -> None:
    lots = [
        moved(1, "receipt", ago(9), condition="quarantine"),
        moved(2, "return", ago(40), condition="in_repair"),
    ]
    now = site([at("P", "A")], movements=lots)
    aside, repair = line(now, "storeroom", "quarantine"), line(now, "storeroom", "repair")

    assert (aside.figure, repair.figure) == (9.0, 40.0)
    assert aside.sentence == f"1 in S in quarantine since {ago(9)}"
    assert repair.sentence == f"2 in S taken out and in repair since {ago(40)}"


# Counts


@pytest.mark.parametrize(
    ("lead_days", "often"), [(0.0, 1), (29.9, 1), (30.0, 2), (89.9, 2), (90.0, 4), (None, 4)]
)
def test_the_longer_a_part_takes_to_come_the_more_often_it_is_counted(
    lead_days: float | None, often: int
) -> None:
    assert counts_a_year(lead_days) == often


def test_never_counted_comes_first_then_what_was_passed_by_most_often() -> None:
    names = ("new", "short", "long", "today", "done")
    now = site([], parts=[part(name) for name in names],
               movements=[kept(name, 1) for name in names])  # fmt: skip
    counted = {("short", "S"): ago(400), ("long", "S"): ago(200)}
    counted |= {("today", "S"): ago(91), ("done", "S"): ago(90)}
    leads = {"new": 5.0, "short": 5.0, "long": 120.0, "today": 120.0, "done": 120.0}
    found = counts_due(now.outage.market.stock, counted, leads.__getitem__, TODAY)

    # 200 of 91 days are 2.2 times, 400 of 365 days 1.1 times; 90 of 91 is not due yet
    assert [each.part for each in found.due] == ["new", "long", "short", "today"]
    assert [each.due_on for each in found.due] == [None, ago(109), ago(35), TODAY]
    # 1 + 1 + 3 x 4 counts a year need one of them in a week
    assert found.a_week == 1


def test_a_count_that_was_reversed_is_none() -> None:
    rows = [
        moved(-1, "count", ago(50), key="first"),
        moved(-1, "count", ago(20), key="wrong"),
        moved(1, "reversal", ago(19), key="undo", reverses="wrong"),
    ]

    assert last_counts(rows) == {("A", "S"): ago(50)}


def test_the_week_takes_its_share_and_says_what_it_leaves() -> None:
    names = ("X", "Y", "Z")
    now = site([], parts=[part(name) for name in names], offers=[new("Y", likely=95.0)],
               movements=[kept(name, 1) for name in names])  # fmt: skip
    found = answer(now).of("storeroom")
    counts = [each for each in found.lines if each.kind == "count"]

    # nobody knows how X and Z come, and Y takes 95 days: four counts a year each, 12 in 52 weeks
    assert [each.subject for each in counts] == ["X"]
    assert counts[0].sentence == "count it in S: no count on record"
    assert found.notes[0].startswith("3 places in store are due to be counted; listed is this")


def test_a_count_that_found_what_the_book_said_is_a_count() -> None:
    now = site([at("P", "A")], movements=[kept("A", 1)])
    counted = answer(now, {("A", "S"): ago(1)}).of("storeroom").lines
    tomorrow = answer(now, {("A", "S"): ahead(1)}).of("storeroom").lines

    assert [each.kind for each in counted] == []
    assert [each.kind for each in tomorrow] == ["count"]


def test_a_supplier_that_closed_keeps_its_order_due() -> None:
    closed = [Supplier(supplier="S", active=False)]
    found = line(site([at("P", "A")], suppliers=closed, orders=[ordered(ago(1))]), "storeroom",
                 "due_in")  # fmt: skip

    assert found.why == "supplier S is closed"
