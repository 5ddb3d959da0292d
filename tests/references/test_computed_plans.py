"""Plans on sites that are nothing but a textbook's items come out as marginal analysis has them.

Figures and how they are known stand in plans.toml. An item becomes a part in one position of a
crane of its own, so that a backorder is a crane waiting.
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from parts.calc.buying.plans import Plans
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.records.catalogue import Part
from parts.records.site import Setting
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Offer, Supplier
from parts.services.risks import exposures
from tests.calc.small_snapshot import snapshot_with

KNOWN: dict[str, Any] = tomllib.loads(Path(__file__).with_name("plans.toml").read_text("utf-8"))
FAILURES_A_YEAR = 2.0


def plans(items: Sequence[Sequence[float]], a_day: float, holding_rate: float) -> Plans:
    """Items of (mean units in a lead time, price), each crane costing so much a day."""
    names = [f"I{number}" for number in range(1, len(items) + 1)]
    lead_days = [mean / FAILURES_A_YEAR * DAYS_A_YEAR for mean, _ in items]
    snapshot = snapshot_with(
        site=[Setting(key="holding_rate", value=f"{holding_rate:f}")],
        suppliers=[Supplier(supplier="S")],
        parts=[Part(part=name) for name in names],
        cranes=[Crane(crane=name, down_cost_per_day=a_day) for name in names],
        functions=[Function(crane=name, function="lift", lost_share=1.0) for name in names],
        positions=[Position(crane=name, position="P", part=name, exchange_hours=0.0,
                            failures_per_year=FAILURES_A_YEAR) for name in names],
        needs=[Need(crane=name, item="lift", needs="P") for name in names],
        offers=[Offer(supplier="S", part=name, likely=days, unit_price=price)
                for name, days, (_, price) in zip(names, lead_days, items, strict=True)],
    )  # fmt: skip
    return Plans(exposures(snapshot))


@pytest.mark.parametrize("row", KNOWN["frontier"], ids=lambda row: row["name"])
def test_the_frontier_of_backorders_is_that_of_marginal_analysis(row: dict[str, Any]) -> None:
    site = plans(row["items"], 1.0, 0.0)
    nothing, *found = site.plan(row["points"][-1][0]).frontier

    assert nothing.cost == 0.0
    assert nothing.exposure_days == pytest.approx(
        DAYS_A_YEAR * sum(mean for mean, _ in row["items"])
    )
    for point, (cost, backorders) in zip(found, row["points"], strict=False):
        assert point.cost == cost
        assert point.exposure_days / DAYS_A_YEAR == pytest.approx(backorders, abs=1e-6)


@pytest.mark.parametrize("row", KNOWN["frontier"], ids=lambda row: row["name"])
def test_each_budget_of_the_frontier_buys_what_marginal_analysis_buys(row: dict[str, Any]) -> None:
    site = plans(row["items"], 1.0, 0.0)

    for number, (cost, _) in enumerate(row["points"], 1):
        plan = site.plan(float(cost))
        wanted = row["bought"][:number]

        assert {line.part: line.qty for line in plan.lines} == {
            f"I{item}": wanted.count(item) for item in set(wanted)
        }


@pytest.mark.parametrize("row", KNOWN["least_cost"], ids=lambda row: f"mean {row['mean']}")
def test_with_money_for_all_the_stock_is_the_one_that_costs_least(row: dict[str, Any]) -> None:
    rate = 0.2
    site = plans([[row["mean"], row["holding"] / rate]], row["shortage"] / DAYS_A_YEAR, rate)
    plan = site.plan(1e12)

    assert [line.qty for line in plan.lines] == [row["stock"]]
    assert plan.exposure_after + plan.yearly == pytest.approx(row["cost"], abs=1e-5)
