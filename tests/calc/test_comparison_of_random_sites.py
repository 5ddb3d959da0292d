"""Small sites made by chance, with upgrades made by chance, weighed a second time from the rules.

The second reckoning writes the upgrades into the site's own records, asks for the risks of that
site, and adds up the years by quadrature of what each day costs; it takes every set of upgrades one
by one. It shares no code with the comparison but the risks and the plan themselves.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import fields, replace
from itertools import chain, combinations
from random import Random
from typing import Any

import numpy as np
import pytest

from parts.records.comparison_answers import ComparisonAnswer
from parts.records.history import Upgrade, UpgradeEffect
from parts.records.snapshot import NeedColumns, PositionColumns, Snapshot, columns_of
from parts.records.structure import Need, Position
from parts.services import plans
from parts.services.comparisons import compare
from parts.services.risks import exposures
from tests.calc.plan_sites import random_site

SEEDS = range(24)
YEARS = 6


def site_with_upgrades(seed: int) -> Snapshot:
    """Parts get a failure rate each, and two to four upgrades change some positions."""
    rng = Random(1000 + seed)  # noqa: S311 - tests, not secrets
    site = random_site(seed)
    parts = {name: replace(row, failures_per_year=rng.choice([0.02, 0.2, 0.9]))
             for name, row in site.parts.items()}  # fmt: skip
    places = list(zip(site.positions.crane, site.positions.position, strict=True))
    upgrades, effects = [], []
    for number in range(rng.randint(2, 4)):
        name = f"U{number}"
        upgrades.append(Upgrade(
            upgrade=name, cost=float(rng.randint(0, 4000)),
            lead_days=float(rng.choice([0, 90, 500, 900])), down_days=float(rng.randint(0, 3)),
            life_years=rng.choice([1.0, 2.5, 20.0]),
        ))  # fmt: skip
        for crane, position in rng.sample(places, min(len(places), rng.randint(1, 2))):
            kind = rng.random()
            effects.append(UpgradeEffect(
                upgrade=name, crane=crane, position=position,
                new_part=rng.choice(sorted(parts)) if kind < 0.5 else None,
                failures_factor=rng.choice([0.0, 0.4, 1.5]) if kind > 0.75 else None,
            ))  # fmt: skip
    return replace(site, parts=parts, upgrades=tuple(upgrades), upgrade_effects=tuple(effects))


# A second reckoning -----------------------------------------------------------------------------


def inside(site: Snapshot, crane: str, position: str) -> set[str]:
    """A position and all below it."""
    rows = list(zip(site.positions.crane, site.positions.position, site.positions.parent,
                    strict=True))  # fmt: skip
    found = {position}
    for _ in rows:
        found |= {name for at, name, parent in rows if at == crane and parent in found}
    return found


def changed(site: Snapshot, effects: Iterable[UpgradeEffect]) -> Snapshot:
    """The records of a site after some effects, one written in after the other."""
    rows = {(row.crane, row.position): row
            for row in map(site.positions.row, range(len(site.positions)))}  # fmt: skip
    needs = [Need(**{f.name: getattr(site.needs, f.name)[at] for f in fields(Need)})
             for at in range(len(site.needs))]  # fmt: skip
    own = {(each.crane, each.position) for each in effects}
    for each in sorted(effects, key=lambda e: len(inside(site, e.crane, e.position)), reverse=True):
        place = each.crane, each.position
        row = next(site.positions.row(at) for at in range(len(site.positions))
                   if (site.positions.crane[at], site.positions.position[at]) == place)  # fmt: skip
        if each.failures_factor is not None:
            rate = (row.failures_per_year or 0.0) * each.failures_factor
            rows[place] = replace(row, failures_per_year=rate)
            continue
        for name in inside(site, *place):
            if (each.crane, name) not in own:
                rows.pop((each.crane, name), None)
        rows.pop(place, None)
        if each.new_part is not None:
            rows[place] = replace(row, part=each.new_part, installed=site.today,
                                  failures_per_year=None)  # fmt: skip
    kept = [row if (row.crane, row.parent) in rows else replace(row, parent=None)
            for row in rows.values()]  # fmt: skip
    by_key = sorted(kept, key=lambda row: (row.crane, row.position))
    left = [need for need in needs if (need.crane, need.needs) in rows]
    return replace(
        site,
        positions=columns_of(PositionColumns, Position, by_key),
        needs=columns_of(NeedColumns, Need, left),
    )


class Second:
    """The whole comparison without spares, by trying every set."""

    def __init__(self, site: Snapshot) -> None:
        self.site = site
        self.upgrades = {row.upgrade: row for row in site.upgrades}
        self.effects = {name: [row for row in site.upgrade_effects if row.upgrade == name]
                        for name in self.upgrades}  # fmt: skip

    def allowed(self) -> list[tuple[str, ...]]:
        names = sorted(self.upgrades)
        every = chain.from_iterable(combinations(names, n) for n in range(len(names) + 1))
        return [each for each in every if not any(map(self._clash, combinations(each, 2)))]

    def _clash(self, pair: tuple[str, str]) -> bool:
        one, other = (
            set().union(*(
                {(e.crane, name) for name in inside(self.site, e.crane, e.position)}
                if e.failures_factor is None else {(e.crane, e.position)}
                for e in self.effects[name]
            ))
            for name in pair
        )  # fmt: skip
        return bool(one & other)

    def a_year(self, names: Sequence[str]) -> float:
        effects = [effect for name in names for effect in self.effects[name]]
        return float(np.nansum(exposures(changed(self.site, effects)).costs))

    def capital(self, names: Sequence[str]) -> float:
        return sum(self.upgrades[name].cost or 0.0 for name in names)

    def npv(self, names: Sequence[str]) -> float:
        rate = self.site.site.discount_rate
        total = 0.0
        days = np.arange(YEARS * 36525) / 36525 + 0.5 / 36525  # the middle of hundredths of days
        cost = np.zeros(len(days))
        arrived: list[str] = []
        starts = {name: (self.upgrades[name].lead_days or 0.0) / 365.25 for name in names}
        for name in [None, *sorted(names, key=lambda each: (starts[each], each))]:
            if name is not None:
                arrived.append(name)
            cost[days >= (0.0 if name is None else starts[name])] = self.a_year(arrived)
        for year in range(YEARS):
            total += float(cost[year * 36525 : (year + 1) * 36525].mean()) / (1 + rate) ** (
                year + 1
            )
        for name in names:
            row, at = self.upgrades[name], starts[name]
            cranes = {effect.crane for effect in self.effects[name]}
            down = sum(
                (row.down_days or 0.0) * (crane.down_cost_per_day or 0.0) * (1 - crane.cover_share)
                for key, crane in self.site.cranes.items() if key in cranes
            )  # fmt: skip
            while True:
                total += ((row.cost or 0.0) + down) / (1 + rate) ** at
                at += row.life_years or 1e9
                if at >= YEARS - 1e-9:
                    break
        return total


@pytest.mark.parametrize("seed", SEEDS)
def test_every_set_of_upgrades_costs_what_a_second_reckoning_says(seed: int) -> None:
    site = site_with_upgrades(seed)
    second = Second(site)
    found = compare(exposures(site), None, YEARS)
    wanted = {names: second.npv(names) for names in second.allowed()}

    assert {each.upgrades for each in found.options} == set(wanted)
    for each in found.options:
        assert each.npv_cost == pytest.approx(wanted[each.upgrades], rel=1e-4, abs=1e-2)
        assert each.exposure_cost_per_year == pytest.approx(second.a_year(each.upgrades))
    assert found.npv_cost == pytest.approx(min(wanted.values()), rel=1e-4, abs=1e-2)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_choice_within_a_budget_is_the_best_of_all_that_can_be_afforded(seed: int) -> None:
    site = site_with_upgrades(seed)
    second, budget = Second(site), 2500.0
    found = compare(exposures(site), budget, YEARS)
    within = [names for names in second.allowed() if second.capital(names) <= budget]
    without_spares = [each for each in found.options if not each.with_spares]

    assert {each.upgrades for each in without_spares if each.within_budget} == set(within)
    assert found.npv_cost <= min(map(second.npv, within)) * (1 + 1e-4) + 1e-2
    assert found.spent <= budget
    assert_spares_are_the_plans(site, second, found, budget)


def assert_spares_are_the_plans(
    site: Snapshot, second: Second, found: ComparisonAnswer, budget: float
) -> None:
    for each in found.options:
        if each.with_spares:
            effects: list[Any] = [row for name in each.upgrades for row in second.effects[name]]
            exposed = exposures(changed(site, effects))
            plan = plans.buy(exposed, budget - second.capital(each.upgrades))

            assert [(row.part, row.qty, row.operation) for row in each.lines] == [
                (row.part, row.qty, row.operation) for row in plan.lines
            ]
            assert each.capital == pytest.approx(second.capital(each.upgrades) + plan.spent)
            if not any(part.last_buy_on for part in site.parts.values()):  # nothing closes
                assert each.exposure_cost_per_year == pytest.approx(plan.exposure_after)
