"""Answers for purchasing on paper: promised fields, plain JSON, a sentence where nothing is due."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from parts.calc.ranking.exposures import Exposures
from parts.cli import purchase_tables
from parts.cli.tables import CAUTION
from parts.records.supply import Notice, Order
from parts.services import purchases
from tests.calc.purchase_site import at, new, part, site

ASKED = ("deadlines", "reorder", "late_orders", "enquiries")


@pytest.fixture(scope="module")
def busy() -> Exposures:
    """Something to say in every answer."""
    return site(
        [at("P", "A", failures_per_year=2.0)],
        parts=[part(default_lead_days=200.0)],
        offers=[new(quoted_on=date(2025, 1, 1))],
        notices=[Notice(part="A", notice_on=date(2026, 6, 1), kind="discontinuance",
                        last_buy_on=date(2027, 2, 26))],
        orders=[Order(order="O", supplier="S", part="A", qty=1, ordered_on=date(2026, 1, 1))],
    )  # fmt: skip


def shown(name: str, answer: Any) -> tuple[dict[str, Any], list[str]]:
    document: Callable[[Any], dict[str, Any]] = getattr(purchase_tables, f"{name}_document")
    lines: Callable[[Any], list[str]] = getattr(purchase_tables, f"{name}_lines")
    written = json.dumps(document(answer), allow_nan=False)
    return json.loads(written), lines(answer)


@pytest.mark.parametrize("name", ASKED)
def test_a_site_without_parts_gets_one_sentence(name: str) -> None:
    document, lines = shown(name, getattr(purchases, name)(site([], parts=[])))

    assert list(document.values()) == [[]]
    assert len(lines) == 1


@pytest.mark.parametrize("name", ASKED)
def test_every_answer_is_plain_json_and_names_its_part(name: str, busy: Exposures) -> None:
    document, lines = shown(name, getattr(purchases, name)(busy))

    assert len(next(iter(document.values()))) == 1
    assert any("A" in line for line in lines)


def test_a_last_order_has_the_fields_that_are_promised(busy: Exposures) -> None:
    document, lines = shown("last_buy", purchases.last_buy(busy, "A"))

    assert {"part", "horizon_years", "horizon_assumed", "rate", "quantity", "marginal",
            "chance_enough"} <= set(document)  # fmt: skip
    assert set(document["marginal"][0]) == {"n", "saving", "cost", "worth"}
    assert any("<- advised" in line for line in lines)
    assert lines[-1] == CAUTION


def test_a_last_order_can_be_redone_on_paper(busy: Exposures) -> None:
    document, lines = shown("last_buy", purchases.last_buy(busy, "A"))
    (paper,) = (line for line in lines if line.startswith("On paper"))

    assert document["on_paper"]["quantity"] > 0
    assert f"critical ratio {document['on_paper']['ratio']:.4f}: buy " in paper
    assert "order cost are left out" in paper


def test_a_last_order_of_nothing_says_why() -> None:
    _, lines = shown("last_buy", purchases.last_buy(site([at("P", "A")]), "A"))

    assert "no usable offer" in lines[0]
