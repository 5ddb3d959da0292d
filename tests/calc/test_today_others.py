"""What waits for the maintenance lead and for purchasing: each kind of line on a site made for it.

Figures are added up in the tests; the site is our own invention.
"""

from __future__ import annotations

from typing import Any

import pytest

from parts.records.catalogue import PartClass
from parts.records.history import Duty, Failure, Observation
from parts.records.site import Holiday
from parts.records.supply import Notice, Order
from parts.records.today_answers import Place, Urgency
from tests.calc.purchase_site import at, crane, new, part, site
from tests.calc.small_snapshot import TODAY
from tests.calc.todays import WEEK_AGO, ago, ahead, answer, line, lines

# Maintenance lead


def test_a_danger_stands_first_and_leads_to_its_position() -> None:
    fed = [Observation(crane="C", position="P", date=ago(9), what="conductors", value="3")]
    now = site([at("P", "A")], observations=fed, offers=[new()])
    first = answer(now).of("maintenance").lines[0]

    assert (first.kind, first.subject, first.urgency) == ("danger", "C/P", Urgency.NOW)
    assert first.at == Place("position", crane="C", position="P")
    assert "a qualified electrician decides" in first.sentence
    assert first.why.startswith("rule: three conductor feed; common practice")


def test_a_failure_that_nobody_restored_is_open_and_says_its_note() -> None:
    rows = [
        Failure(crane="C", position="P", failed_on=ago(5), note="one of two out"),
        Failure(crane="C", position="P", failed_on=ago(50), restored_on=ago(40)),
    ]
    found = line(site([at("P", "A")], failures=rows), "maintenance", "open_failure")

    assert (found.subject, found.figure, found.why) == ("C/P", 5.0, "one of two out")
    assert found.at.what == "position"


def test_a_failure_of_a_crane_that_is_gone_waits_for_nobody() -> None:
    rows = [Failure(crane="C", position="P", failed_on=ago(5))]
    now = site([at("P", "A")], cranes=[crane(retire_on=ago(1))], failures=rows)

    assert lines(now, "maintenance", "open_failure") == []


@pytest.mark.parametrize(("days", "told"), [(0, True), (90, True), (91, False)])
def test_a_notice_is_new_for_a_quarter_of_a_year(days: int, told: bool) -> None:
    rows = [Notice(part="A", supplier="S", notice_on=ago(days), kind="change", note="other seal")]
    found = lines(site([at("P", "A")], offers=[new()], notices=rows), "maintenance", "notice")

    assert [each.sentence for each in found] == ["S changes it"] * told
    assert [each.why for each in found] == ["other seal"] * told
    assert [each.at.what for each in found] == ["part"] * told


def test_an_end_that_is_announced_leads_to_its_last_order() -> None:
    rows = [Notice(part="A", supplier="S", notice_on=ago(5), kind="discontinuance",
                   last_buy_on=ahead(90))]  # fmt: skip
    now = site([at("P", "A")], offers=[new()], notices=rows)
    told, last = line(now, "maintenance", "notice"), line(now, "maintenance", "last_day")

    assert told.sentence == f"S ends it: orders until {ahead(90)}"
    assert (told.at.what, last.at.what) == ("last buy", "last buy")
    assert (last.figure, last.urgency) == (-90.0, Urgency.LATER)


def test_a_part_that_can_hardly_be_had_in_a_year_is_told_and_one_that_can_is_not() -> None:
    classes = [PartClass(part_class="chips", market_shape=1.0, market_scale=50.0)]
    rows = [part("A", part_class="chips", introduced=ago(365)), part("B")]
    now = site([at("P", "A"), at("Q", "B")], parts=rows, classes=classes, offers=[new("A")])
    found = line(now, "maintenance", "going")

    # nobody offers B; A stays a year with a chance of exp(-1/50)
    assert found.subject == "B"
    assert found.sentence == "in a year it can still be had with a chance of 0 %"


def test_a_working_period_is_told_once_it_is_over_and_in_its_last_year() -> None:
    # M5 has 1600 full-load hours; at 400 hours a year and k_m 0.25 a year takes 100 of them
    hours = {"over": 6404.0, "last": 6320.0, "next": 5980.0}
    rows = [
        Duty(crane="C", mechanism=name, group="M5", hours_per_year=400.0, km=0.25, hours_used=used)
        for name, used in hours.items()
    ]
    over, last = lines(site([at("P", "A")], duty=rows), "maintenance", "duty")

    assert over.sentence.startswith("over: working period over, 100 % of it used; a general")
    assert over.urgency is Urgency.NOW
    # 20 of 100 a year are left: a fifth of a year
    assert last.figure == pytest.approx(-0.2 * 365.25, abs=1.0)
    assert last.urgency is Urgency.LATER
    assert last.at == Place("crane", crane="C")


@pytest.mark.parametrize(("days", "told"), [(1, True), (365, True), (366, False)])
def test_a_crane_that_goes_within_a_year_is_told(days: int, told: bool) -> None:
    now = site([at("P", "A")], cranes=[crane(retire_on=ahead(days))])

    assert [each.figure for each in lines(now, "maintenance", "retirement")] == [-days] * told


def test_a_risk_that_rose_says_by_how_much_since_when_and_why() -> None:
    rows = [Order(order="O", supplier="S", part="A", qty=1, ordered_on=ago(50), due_on=ago(1))]
    found = line(site([at("P", "A")], offers=[new()], orders=rows), "maintenance", "risen")

    assert found.subject == "A"
    assert f"more than on {WEEK_AGO}: order O of A from S is overdue by 1 days" in found.sentence
    assert (found.urgency, found.record) == (Urgency.SOON, "orders O/A")


# Purchasing


def test_a_late_order_leads_to_itself_the_longest_overdue_first() -> None:
    facts: dict[str, Any] = {"supplier": "S", "part": "A", "qty": 1, "ordered_on": ago(60)}
    rows = [
        Order(order="slower", due_on=ahead(9), quoted_days=60.0, **facts),
        Order(order="over", due_on=ago(2), **facts),
        Order(order="well over", due_on=ago(20), **facts),
        Order(order="dateless", **facts),
        Order(order="as promised", due_on=ahead(9), **facts),
    ]
    found = lines(site([at("P", "A")], orders=rows), "purchasing", "late_order")

    assert [each.subject for each in found] == ["well over", "over", "dateless", "slower"]
    assert [each.figure for each in found] == [20.0, 2.0, 0.0, 0.0]
    assert found[3].sentence == "1 of A from S: promised 9 days later than quoted"
    assert found[3].urgency is Urgency.SOON
    assert found[0].at == Place("order", part="A", order="well over", supplier="S")


def test_what_is_to_be_ordered_now_leads_to_the_list_of_orders() -> None:
    rows = [part(min_stock=2, failures_per_year=0.0)]
    found = line(site([at("P", "A")], parts=rows, offers=[new()]), "purchasing", "order_now")

    assert (found.sentence, found.due_on, found.urgency) == ("order 2 from S", TODAY, Urgency.NOW)
    assert found.at.what == "to order"


@pytest.mark.parametrize(
    ("days", "urgency"), [(0, Urgency.NOW), (9, Urgency.SOON), (90, Urgency.LATER)]
)
def test_a_last_order_presses_as_its_day_comes(days: int, urgency: Urgency) -> None:
    # both days are worked, and 20 days of lead time before the last shipment
    rows = [Notice(part="A", supplier="S", notice_on=ago(200), kind="discontinuance",
                   last_ship_on=ahead(days + 20))]  # fmt: skip
    parts = [part(default_lead_days=200.0)]
    now = site([at("P", "A")], parts=parts, offers=[new(likely=20.0)], notices=rows)
    found = line(now, "purchasing", "last_order")

    assert (found.due_on, found.urgency, found.figure) == (ahead(days), urgency, -days)
    assert f"from S by {ahead(days)}" in found.sentence
    assert found.at == Place("last buy", part="A", supplier="S")


def test_a_last_order_whose_day_has_passed_is_asked_for_today() -> None:
    rows = [Notice(part="A", supplier="S", notice_on=ago(200), kind="discontinuance",
                   last_buy_on=TODAY)]  # fmt: skip
    now = site([at("P", "A")], offers=[new()], notices=rows, holidays=[Holiday(date=TODAY)])
    found = line(now, "purchasing", "last_order")

    assert (found.due_on, found.urgency) == (ago(1), Urgency.NOW)
    assert found.sentence == f"the day to order from S was {ago(1)}: ask today"


def test_an_end_of_what_nobody_offers_is_told_with_its_day() -> None:
    rows = [part(last_buy_on=ahead(9))]
    found = line(site([at("P", "A")], parts=rows), "purchasing", "last_order")

    assert found.sentence == f"nobody offers it; its last day is {ahead(9)}"


def test_old_quotations_of_a_supplier_are_one_letter_the_heaviest_part_first() -> None:
    names = ("A", "B", "D", "E")
    rows = [
        part(name, failures_per_year=rate) for name, rate in zip(names, (1, 4, 2, 3), strict=True)
    ]
    offers = [new(name, quoted_on=ago(400)) for name in names]
    now = site([at(name, name) for name in names], parts=rows, offers=offers)
    found = line(now, "purchasing", "old_quotation")

    assert (found.subject, found.at.what) == ("S", "questions")
    assert found.sentence == "ask again for 4 parts: B, E, D and 1 more"
    # ten failures a year of 20 days waiting and half a day at the crane
    assert found.figure == pytest.approx(10 * 20.5)
    assert found.why.startswith(f"B: quotation is of {ago(400)}: ask again; E:")


def test_a_price_that_nobody_gave_is_asked_for() -> None:
    found = line(site([at("P", "A")], offers=[new(price=None)]), "purchasing", "no_price")

    assert (found.subject, found.sentence) == ("A", "S: no price is known: ask for one")


def test_one_source_is_told_of_the_ten_parts_through_which_a_year_takes_most() -> None:
    names = [f"N{n:02}" for n in range(12)]
    rows = [part(name, failures_per_year=1.0 + n) for n, name in enumerate(names)]
    now = site([at(name, name) for name in names], parts=rows, offers=[new(name) for name in names])
    found = lines(now, "purchasing", "sole_source")

    assert [each.subject for each in found] == names[:1:-1]


def test_two_sources_are_no_reason_to_ask() -> None:
    now = site([at("P", "A")], offers=[new(), new(supplier="T")])

    assert lines(now, "purchasing", "sole_source") == []


def test_lines_of_one_kind_stand_by_urgency_then_what_is_not_known_then_by_figure() -> None:
    rows = [part("A"), part("B", failures_per_year=None), part("D", failures_per_year=2.0)]
    offers = [new(name, price=None) for name in ("A", "B", "D")]
    now = site([at(name, name) for name in ("A", "B", "D")], parts=rows, offers=offers)
    found = lines(now, "purchasing", "no_price")

    assert [each.subject for each in found] == ["B", "D", "A"]
    assert found[0].figure is None
