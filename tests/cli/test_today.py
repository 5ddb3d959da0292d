"""What needs each person today, as a command: the demo's oddities, the fields, the exit status."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from parts.records.today_answers import HEADINGS, KINDS
from tests.cli.conftest import Say

PEOPLE = tuple(HEADINGS)


def of_kind(document: Any, person: str, kind: str) -> dict[str, Any]:
    """The lines of a kind by their subject."""
    found = [line for line in document[person]["lines"] if line["kind"] == kind]
    return {line["subject"]: line for line in found}


@pytest.fixture
def today(ask: Say) -> Any:
    return ask("today", "--json").document


def test_every_line_has_the_fields_that_are_promised(today: Any) -> None:
    fields = {"kind", "title", "subject", "sentence", "why", "due_on", "urgency", "figure",
              "figure_counts", "settled_at", "record"}  # fmt: skip

    assert set(today) == {"today", "since", *PEOPLE}
    assert (today["today"], today["since"]) == ("2026-11-25", "2026-11-18")
    for person in PEOPLE:
        assert today[person]["lines"]
        for line in today[person]["lines"]:
            assert set(line) == fields
            assert line["sentence"]
            assert line["record"]


def test_lines_stand_by_kind_and_in_each_the_most_urgent_first(today: Any) -> None:
    for person in PEOPLE:
        kinds = [kind.name for kind in KINDS[person]]
        order = [
            (kinds.index(line["kind"]), ["now", "soon", "later"].index(line["urgency"]))
            for line in today[person]["lines"]
        ]

        assert order == sorted(order)


def test_the_storeroom_finds_the_oddities_of_the_demo(today: Any) -> None:
    assert set(of_kind(today, "storeroom", "below")) == {"PEN-8", "SOCK-A"}
    assert set(of_kind(today, "storeroom", "not_reordered")) == {"PEN-8"}
    assert set(of_kind(today, "storeroom", "due_in")) == {"V2026-A"}
    over = of_kind(today, "storeroom", "shelf_life")
    assert {part for part, line in over.items() if line["urgency"] == "now"} == {
        "BRG-LS-A-ALT",
        "SEAL-P",
    }
    assert "without a date" in over["BUM-80"]["sentence"]
    assert set(of_kind(today, "storeroom", "care")) == {"TDR-G2"}
    assert set(of_kind(today, "storeroom", "quarantine")) == {"DCM-250"}
    assert of_kind(today, "storeroom", "count")


def test_the_maintenance_lead_finds_the_oddities_of_the_demo(today: Any) -> None:
    dangers = of_kind(today, "maintenance", "danger")
    assert set(dangers) == {"A1/hoist equaliser", "A2/hoist equaliser", "D1/conductor bar 1"}
    assert set(of_kind(today, "maintenance", "open_failure")) == {"B1/trolley drive 2 brake"}
    assert set(of_kind(today, "maintenance", "notice")) == {"TDR-G2"}
    assert set(of_kind(today, "maintenance", "last_day")) == {"HDR-G2"}
    assert {"BAR-3", "RAD-G2"} <= set(of_kind(today, "maintenance", "going"))
    assert set(of_kind(today, "maintenance", "duty")) == {"A1", "C1", "D1"}


def test_purchasing_finds_the_oddities_of_the_demo(today: Any) -> None:
    late = of_kind(today, "purchasing", "late_order")
    assert late["V2026-A"]["figure"] == 56
    assert late["V2026-A"]["settled_at"]["what"] == "order"
    assert set(of_kind(today, "purchasing", "order_now")) == {"PEN-8", "SOCK-A"}
    assert set(of_kind(today, "purchasing", "last_order")) == {"HDR-G2"}
    assert set(of_kind(today, "purchasing", "no_price")) == {"GUIDE-8"}
    assert "HDR-A" in of_kind(today, "purchasing", "sole_source")
    assert (
        "PLC-A" in of_kind(today, "purchasing", "old_quotation")["board repair bench"]["sentence"]
    )


def test_an_order_that_becomes_overdue_raises_the_risk_of_its_part(
    say: Say, demo_database: Path
) -> None:
    # the conductor bars were promised for 2026-12-04
    found = say("today", "--json", "--db", demo_database, "--today", "2026-12-08").document
    risen = of_kind(found, "maintenance", "risen")

    assert "order V2026-B of BAR-4" in risen["BAR-4"]["why"]
    assert "is overdue by 4 days" in risen["BAR-4"]["why"]


def test_each_person_can_ask_alone(ask: Say) -> None:
    found = ask("today", "--for", "storeroom")

    assert found.status == 0
    assert found.out.startswith("Storeroom: ")
    assert "! V2026-A  1 of MOT-BA from motor counter was due on 2026-09-30" in found.out
    assert "Purchasing: " not in found.out
    assert list(ask("today", "--for", "purchasing", "--json").document) == [
        "today",
        "since",
        "purchasing",
    ]


def test_the_first_day_of_the_calendar_has_no_week_before_it(say: Say, demo_database: Path) -> None:
    found = say("today", "--json", "--db", demo_database, "--today", "0001-01-01")

    assert found.document["since"] == "0001-01-01"


def test_nobody_else_can_be_asked_for(ask: Say) -> None:
    found = ask("today", "--for", "nobody")

    assert found.status == 2
    assert "storeroom" in found.err


def test_a_site_where_nothing_waits_says_so_and_exits_with_one(
    say: Say, book: Path, tmp_path: Path
) -> None:
    database = tmp_path / "quiet.db"
    (book / "parts.csv").write_text("part,planned_per_year\nP1,0\n", "utf-8")
    (book / "offers.csv").write_text("supplier,part,unit_price,likely\nS,P1,9,5\n", "utf-8")
    (book / "suppliers.csv").write_text("supplier\nS\n", "utf-8")
    say("load", book, "--db", database)
    found = say("today", "--for", "storeroom", "--db", database, "--today", "2026-11-25")

    assert found.status == 1
    assert found.out.startswith("Storeroom: nothing is waiting.")
