"""What upgrades do to a site: nothing, factors, parts out, new parts in, needs that move along."""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np
import pytest

from parts.calc.comparing.upgraded_exposures import UpgradedExposures
from parts.calc.comparing.upgrades import Refit, places_touched
from parts.calc.failing.fleet import Fleet
from parts.calc.ranking.exposures import Exposures
from parts.records.catalogue import Part
from parts.records.history import Failure, Observation, UpgradeEffect
from parts.records.site import Setting
from parts.records.snapshot import Snapshot
from parts.records.stock import Movement
from parts.records.structure import Crane, Function, Need, Position
from parts.services.risks import exposures
from tests.calc.small_snapshot import TODAY, snapshot_with
from tests.calc.upgrade_sites import A_DAY, COVER, INSTALLED, LEAD_DAYS, effect, hoist_site


def refit(snapshot: Snapshot) -> Refit:
    """All upgrades of a site at once."""
    return Refit(snapshot, snapshot.upgrade_effects)


def upgraded(snapshot: Snapshot) -> UpgradedExposures:
    return UpgradedExposures(exposures(snapshot), refit(snapshot))


def positions(snapshot: Snapshot) -> dict[str, Position]:
    rows = map(snapshot.positions.row, range(len(snapshot.positions)))
    return {row.position: row for row in rows}


def needs(snapshot: Snapshot) -> set[tuple[str, str]]:
    return set(zip(snapshot.needs.item, snapshot.needs.needs, strict=True))


def exposure(snapshot: Snapshot) -> dict[str, float]:
    """Lost days a year of each position once all is fitted."""
    found = upgraded(snapshot)
    return dict(zip(found.snapshot.positions.position, found.days.tolist(), strict=True))


# Nothing ----------------------------------------------------------------------------------------


def test_without_effects_the_site_stays_as_it_is() -> None:
    snapshot = hoist_site()

    assert refit(snapshot).after == snapshot
    assert upgraded(snapshot).costs.tolist() == exposures(snapshot).costs.tolist()


def test_a_crane_that_nothing_touches_stays_as_it_is() -> None:
    other = [Position(crane="D", position="lamp", part="LAMP", failures_per_year=3.0)]
    snapshot = hoist_site(
        effect("U", "panel"),
        cranes=[Crane(crane="C"), Crane(crane="D")],
        functions=[Function(crane="D", function="signal", lost_share=1.0)],
        positions=[Position(crane="C", position="panel", part="PANEL"), *other],
        needs=[Need(crane="D", item="signal", needs="lamp")],
    )
    after = refit(snapshot).after

    assert positions(after)["lamp"] == other[0]
    assert needs(after) == {("signal", "lamp")}


# A factor ---------------------------------------------------------------------------------------


def test_a_factor_changes_how_often_the_position_fails_and_nothing_else() -> None:
    snapshot = hoist_site(effect("U", "panel", factor=0.5))
    before, after = exposures(snapshot), exposure(snapshot)

    assert positions(refit(snapshot).after) == positions(snapshot)
    assert after["panel"] == pytest.approx(0.5 * 0.2 * 146.1)
    assert after["lamp"] == pytest.approx(before.days[snapshot.positions.position.index("lamp")])


def test_a_factor_works_on_a_life_as_on_a_rate() -> None:
    parts = [Part(part=name, life_basis="years", life_shape=2.5, life_scale=30.0)
             for name in LEAD_DAYS]  # fmt: skip
    snapshot = hoist_site(effect("U", "panel", factor=0.25), rate=None, parts=parts)
    row = snapshot.positions.position.index("panel")
    now, then = exposures(snapshot).likelihood, upgraded(snapshot).likelihood

    assert now.basis[row] == then.basis[row] == "weibull"
    assert then.failures_next_year[row] == pytest.approx(0.25 * now.failures_next_year[row])


# Parts out --------------------------------------------------------------------------------------


def test_what_is_taken_out_goes_with_all_inside_and_with_its_needs() -> None:
    snapshot = hoist_site(effect("U", "hoist"))
    after = refit(snapshot).after

    assert set(positions(after)) == {"panel", "lamp"}
    assert needs(after) == {("signal", "lamp")}
    assert exposure(snapshot)["panel"] == 0.0


def test_of_a_group_that_loses_a_member_the_others_are_asked_for() -> None:
    asked = [Need(crane="C", item="hoist", needs=f"brake {n}", group="both", at_least=2)
             for n in (1, 2)]  # fmt: skip
    after = refit(hoist_site(effect("U", "brake 1"), needs=asked)).after

    assert (list(after.needs.needs), list(after.needs.at_least)) == (["brake 2"], [1])


# New parts --------------------------------------------------------------------------------------


def test_a_new_part_is_as_new_as_today_and_fails_as_such_parts_do() -> None:
    after = positions(refit(hoist_site(effect("U", "panel", "NEW"))).after)["panel"]

    assert (after.part, after.installed, after.hours_at_install) == ("NEW", TODAY, 0.0)
    assert after.failures_per_year is None
    assert exposure(hoist_site(effect("U", "panel", "NEW")))["panel"] == pytest.approx(
        0.1 * LEAD_DAYS["NEW"]
    )


def test_a_new_part_for_an_assembly_takes_the_place_of_all_inside() -> None:
    """The lift needs the hoist, and the new hoist needs the panel that its motor needed."""
    snapshot = hoist_site(effect("U", "hoist", "NEW"))
    after = refit(snapshot).after

    assert set(positions(after)) == {"hoist", "panel", "lamp"}
    assert needs(after) == {("lift", "hoist"), ("hoist", "panel"), ("signal", "lamp")}
    assert exposure(snapshot) == pytest.approx(
        {"hoist": 0.1 * LEAD_DAYS["NEW"], "panel": 0.2 * 146.1, "lamp": 0.2 * 10.0 * 0.1}
    )


def test_what_needed_something_inside_needs_the_new_part() -> None:
    """Else a new hoist would look as if nothing could be lost through it."""
    inside = [Need(crane="C", item="lift", needs="motor")]
    snapshot = hoist_site(effect("U", "hoist", "NEW"), needs=inside)

    assert needs(refit(snapshot).after) == {("lift", "hoist")}
    assert exposure(snapshot)["hoist"] == pytest.approx(0.1 * LEAD_DAYS["NEW"])


def test_members_of_a_group_that_come_together_on_a_new_part_fail_together() -> None:
    asked = [Need(crane="C", item="lift", needs=name, group="3 of 4", at_least=3)
             for name in ("brake 1", "brake 2", "panel", "lamp")]  # fmt: skip
    days = exposure(hoist_site(effect("U", "hoist", "NEW"), needs=asked))

    assert days["hoist"] == pytest.approx(0.1 * LEAD_DAYS["NEW"])
    assert 0.0 < days["panel"] < 0.2 * LEAD_DAYS["PANEL"]


def test_needs_that_would_go_round_in_a_circle_are_left_out() -> None:
    """The panel needs a brake and the motor needs the panel: a circle once both are one part."""
    asked = [
        Need(crane="C", item="lift", needs="panel"),
        Need(crane="C", item="panel", needs="brake 1"),
        Need(crane="C", item="motor", needs="panel"),
    ]
    snapshot = hoist_site(effect("U", "hoist", "NEW"), needs=asked)
    after = needs(refit(snapshot).after)

    assert len(after & {("panel", "hoist"), ("hoist", "panel")}) == 1
    assert exposure(snapshot)["panel"] > 0.0


def test_a_new_part_named_inside_what_is_taken_out_is_there_afterwards() -> None:
    after = positions(refit(hoist_site(effect("U", "hoist"), effect("U", "motor", "NEW"))).after)

    assert set(after) == {"motor", "panel", "lamp"}
    assert after["motor"].parent is None


def test_a_part_of_unknown_life_leaves_its_exposure_unknown() -> None:
    assert np.isnan(exposure(hoist_site(effect("U", "panel", "BRAKE")))["panel"])


# What is known stays known ----------------------------------------------------------------------


def own_records(*effects: UpgradeEffect, **files: list[Any]) -> Snapshot:
    """Brakes and motors with records of ten years, in which a brake has failed twice."""
    return hoist_site(
        *effects,
        rate=None,
        site=[Setting(key="records_from", value="2016-11-25")],
        parts=[Part(part=name, failures_per_year=0.1) for name in LEAD_DAYS],
        failures=[
            Failure(crane="C", position="brake 1", failed_on=date(year, 6, 1),
                    restored_on=date(year, 6, 20)) for year in (2019, 2023)
        ],
        **files,
    )  # fmt: skip


def test_what_is_taken_out_has_failed_as_often_as_it_has() -> None:
    snapshot = own_records(effect("U", "brake 1", "NEW"))
    now, then = exposures(snapshot).likelihood, upgraded(snapshot).likelihood
    row = snapshot.positions.position.index("brake 2")

    assert now.basis[row] == "own"
    assert then.failures_next_year[row] == now.failures_next_year[row]


def test_a_new_part_brings_no_hours_of_the_old_one() -> None:
    parts = [Part(part=name, life_basis="hours", life_shape=3.0, life_scale=9000.0)
             for name in LEAD_DAYS]  # fmt: skip
    meter = [Observation(crane="C", position="panel", date=TODAY, what="hours_meter", value="8000")]
    snapshot = hoist_site(
        effect("U", "panel", "PANEL"), rate=None, parts=parts, observations=meter,
        cranes=[Crane(crane="C", hours_per_year=500.0, down_cost_per_day=A_DAY)],
    )  # fmt: skip
    row = snapshot.positions.position.index("panel")

    assert upgraded(snapshot).likelihood.ages.hours[row] == 0.0
    assert upgraded(snapshot).likelihood.failures_next_year[row] < 0.01


def test_an_issue_for_a_failure_is_no_planned_use_once_its_position_is_gone() -> None:
    used = [
        Movement(date=date(year, 6, 5), part="BRAKE", qty=-1, kind="issue", crane="C",
                 position="brake 1", key=f"i{year}") for year in (2019, 2023)
    ]  # fmt: skip
    stock = Movement(date=date(2017, 1, 1), part="BRAKE", qty=2, kind="opening", key="o")
    snapshot = own_records(effect("U", "brake 1"), movements=[stock, *used])

    assert exposures(snapshot).planned_per_year["BRAKE"] == 0.0
    assert upgraded(snapshot).planned_per_year["BRAKE"] == 0.0


def test_demand_falls_with_what_is_taken_out() -> None:
    """One brake in store serves two; once one is gone the other waits less."""
    stock = [Movement(date=INSTALLED, part="BRAKE", qty=1, kind="opening", key="o")]
    alone = [Need(crane="C", item="lift", needs="brake 2")]
    snapshot = hoist_site(effect("U", "brake 1"), movements=stock, needs=alone)
    row = snapshot.positions.position.index("brake 2")
    before, after = exposures(snapshot), upgraded(snapshot)

    assert 0.0 < after.days[row - 1] < before.days[row]


# Touched ----------------------------------------------------------------------------------------


def test_what_is_taken_out_of_a_retired_crane_is_given_to_none() -> None:
    usual = hoist_site()
    there = [usual.positions.row(at) for at in range(len(usual.positions))]
    given = Position(crane="R", position="lamp", part="LAMP", exchange_hours=0.0)
    site = hoist_site(
        effect("U", "lamp", crane="R"),
        site=[Setting(key="donors", value="yes")],
        cranes=[*usual.cranes.values(), Crane(crane="R", retire_on=INSTALLED)],
        positions=[*there, given],
    )
    before, after = exposures(site), upgraded(site)

    def lost_days(exposed: Exposures) -> float:
        return float(exposed.outage.lost_days[exposed.fleet.row("C", "lamp")])

    assert lost_days(before) == 0.0
    assert lost_days(after) == pytest.approx(0.1 * LEAD_DAYS["LAMP"])


def test_taking_out_touches_all_inside_and_a_factor_only_what_it_names() -> None:
    fleet = Fleet(hoist_site())
    inside = {("C", name) for name in ("hoist", "motor", "brake 1", "brake 2")}

    assert places_touched(fleet, [effect("U", "hoist")]) == inside
    assert places_touched(fleet, [effect("U", "hoist", factor=0.5)]) == {("C", "hoist")}
    assert places_touched(fleet, []) == frozenset()


def test_a_site_of_nothing_but_what_goes_is_left_empty() -> None:
    snapshot = snapshot_with(
        cranes=[Crane(crane="C", down_cost_per_day=A_DAY, cover_share=COVER)],
        positions=[Position(crane="C", position="p")],
        upgrade_effects=[effect("U", "p")],
    )

    assert len(refit(snapshot).after.positions) == 0
    assert upgraded(snapshot).costs.tolist() == []
