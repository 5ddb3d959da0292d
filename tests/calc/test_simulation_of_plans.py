"""Plans read from a file, carried out on a site, simulated and shown."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from parts.calc.simulating.carried_out import carried_out
from parts.cli.simulation_tables import document, lines
from parts.errors import UnknownName
from parts.exchange.plan_file import UnusablePlan, read_plan
from parts.records.simulation_answers import PlannedLine
from parts.records.snapshot import Snapshot
from parts.records.supply import Offer, Operation
from parts.services.simulations import simulation
from tests.calc.simulated_sites import at, exposed, offer, part, site

SPARE = {"part": "A", "action": "spare", "qty": 2, "cost": 10.0, "route": None, "operation": None}
HEAD_START = {**SPARE, "action": "head_start", "qty": 1, "route": "R", "operation": "cut"}


def plan_file(folder: Path, document: Any) -> Path:
    file = folder / "plan.json"
    file.write_text(document if isinstance(document, str) else json.dumps(document))
    return file


def busy_site() -> Snapshot:
    return site([at("P", "A", 0.5)], parts=[part("A")], offers=[offer("A", 100.0)])


def made_site(**of_the_cut: Any) -> Snapshot:
    def operation(name: str, days: float, after: str | None, **facts: Any) -> Operation:
        return Operation(route="R", operation=name, after=after, likely=days, ahead=True, **facts)

    return site(
        [at("P", "A", 0.5)],
        parts=[part("A")],
        offers=[Offer(supplier="S", part="A", kind="made", route="R")],
        routes=[operation("draw", 30.0, None), operation("cut", 40.0, "draw", **of_the_cut),
                operation("fit", 10.0, "cut")],
    )  # fmt: skip


@pytest.mark.parametrize(
    "wrong",
    [
        "",
        "{",
        "[]",
        {"lines": None},
        {"lines": [1]},
        {"lines": [{**SPARE, "action": "hire"}]},
        {"lines": [{**SPARE, "qty": 0}]},
        {"lines": [{**SPARE, "qty": 1.5}]},
        {"lines": [{**SPARE, "qty": True}]},
        {"lines": [{**SPARE, "part": None}]},
        {"lines": [{**SPARE, "part": 7}]},
        {"lines": [{**HEAD_START, "operation": None}]},
    ],
)
def test_a_file_that_is_no_plan_is_refused(tmp_path: Path, wrong: Any) -> None:
    with pytest.raises(UnusablePlan, match=r"plan\.json"):
        read_plan(plan_file(tmp_path, wrong))


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UnusablePlan, match="No such file"):
        read_plan(tmp_path / "none.json")


def test_a_plan_of_no_lines_changes_nothing(tmp_path: Path) -> None:
    bare = simulation(busy_site(), runs=5, years=5)
    planned = simulation(busy_site(), plan=plan_file(tmp_path, {"lines": []}), runs=5, years=5)

    assert planned == bare


@pytest.mark.parametrize(
    "line",
    [
        PlannedLine("Z", "spare", 1, None, None),
        PlannedLine("A", "head_start", 1, "Z", "cut"),
        PlannedLine("A", "head_start", 1, "R", "polish"),
    ],
)
def test_a_plan_of_what_the_site_does_not_know_is_refused(line: PlannedLine) -> None:
    with pytest.raises(UnknownName):
        carried_out(made_site(), [line])


def test_spares_stand_on_the_shelf_on_both_sides(tmp_path: Path) -> None:
    plan = plan_file(tmp_path, {"lines": [SPARE], "spent": 10.0})
    bare = simulation(busy_site(), runs=50, years=50)
    planned = simulation(busy_site(), plan=plan, runs=50, years=50)
    pool = exposed(carried_out(busy_site(), read_plan(plan))).long_run.restocking.of("A")

    assert pool.stock == 2
    assert planned.simulated.high < 0.1 * bare.simulated.low
    assert planned.formula_days_per_year < 0.1 * bare.formula_days_per_year


def test_a_head_start_shortens_the_lead_by_all_that_comes_before_it(tmp_path: Path) -> None:
    plan = plan_file(tmp_path, {"lines": [HEAD_START]})
    with_it = exposed(carried_out(made_site(), read_plan(plan)))
    without = exposed(made_site())

    assert without.long_run.restocking.of("A").lead_days == pytest.approx(80.0)
    assert with_it.long_run.restocking.of("A").lead_days == pytest.approx(10.0)
    assert simulation(made_site(), plan=plan, runs=50, years=50).agree


def test_what_is_done_ahead_for_one_unit_only_is_left_out_and_said(tmp_path: Path) -> None:
    plan = plan_file(tmp_path, {"lines": [HEAD_START]})
    blank, lasting = (
        simulation(made_site(ahead_lasts=lasts), plan=plan, runs=5, years=5)
        for lasts in (False, True)
    )

    assert blank.formula_days_per_year > lasting.formula_days_per_year
    assert blank.notes[-1].startswith("done ahead for one unit only and left out on both sides")
    assert blank.notes[-1].endswith("serves: R: cut")
    assert any("R: cut" in line for line in lines(blank))
    assert len(lasting.notes) == len(blank.notes) - 1


def test_the_document_holds_what_is_promised() -> None:
    answer = simulation(busy_site(), runs=5, years=5, seed=3)
    told = json.loads(json.dumps(document(answer), allow_nan=False))

    assert (told["runs"], told["years"], told["seed"]) == (5, 5, 3)
    assert told["simulated"].keys() == {"lost_days_per_year", "low", "high"}
    assert told["formula"] == {"lost_days_per_year": answer.formula_days_per_year}
    assert told["agree"] is answer.agree


def test_the_lines_say_whether_both_agree_and_what_is_not_known() -> None:
    told = "\n".join(lines(simulation(busy_site(), runs=50, years=50)))
    unknown = site([at("P", "A")], parts=[part("A")], offers=[offer("A", 9.0)])

    assert "agrees with the simulation" in told
    assert "Planning aid only" in told
    assert "C/P" in "\n".join(lines(simulation(unknown, runs=5, years=5)))
    assert "load a site book" in "\n".join(lines(simulation(site([]), runs=5, years=5)))
