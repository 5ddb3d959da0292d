"""One upgrade as a project: what it changes, when it arrives, what each fitting costs.

An upgrade of which no cost is recorded cannot be weighed; what else is blank is taken for the
least and said. Knows no exposure.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from parts.calc.comparing.present_worth import Flow
from parts.calc.comparing.upgrades import Place, places_touched
from parts.calc.failing.fleet import Fleet
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.records.history import Upgrade, UpgradeEffect
from parts.records.snapshot import Snapshot

SAME_DAY_YEARS = 1e-9
A_DAY_YEARS = 1.0 / DAYS_A_YEAR  # nothing is fitted more often than once a day


@dataclass(frozen=True)
class Project:
    """An upgrade of one site; `down_cost` is the money of its days down, each time it is fitted."""

    upgrade: Upgrade
    effects: tuple[UpgradeEffect, ...]
    touched: frozenset[Place]
    down_cost: float

    @property
    def name(self) -> str:
        return self.upgrade.upgrade

    @property
    def cost(self) -> float | None:
        return self.upgrade.cost

    @property
    def arrives_years(self) -> float:
        """Years from today until it is fitted."""
        return (self.upgrade.lead_days or 0.0) / DAYS_A_YEAR

    def fitted_years(self, years: int) -> Iterator[float]:
        """When it is fitted, in years from today: at first, and again whenever its life is over
        before the years are."""
        at, life = self.arrives_years, self.upgrade.life_years
        yield at
        if life:
            life = max(life, A_DAY_YEARS)
        while life and at + life < years - SAME_DAY_YEARS:
            at += life
            yield at

    def purchases(self, years: int) -> list[Flow]:
        return [(at, self.cost or 0.0) for at in self.fitted_years(years)]

    def days_down(self, years: int) -> list[Flow]:
        return [(at, self.down_cost) for at in self.fitted_years(years)]

    def excludes(self, other: Project) -> bool:
        """Whether both change one position."""
        return not self.touched.isdisjoint(other.touched)

    @property
    def notes(self) -> tuple[str, ...]:
        """What is not recorded, and what was taken instead."""
        row = self.upgrade
        blank = (
            (row.cost is None, "no cost is recorded, so it cannot be weighed"),
            (row.lead_days is None, "no lead days are recorded: taken to arrive at once"),
            (row.down_days is None, "no days down are recorded: none are counted"),
            (not row.life_years, "no life is recorded: taken to last through all the years"),
            (not self.effects, "no effect is recorded, so it changes nothing"),
            (
                any(each.new_part and each.failures_factor is not None for each in self.effects),
                "an effect names a new part and a factor: the position is taken to stay",
            ),
        )
        return tuple(f"{self.name}: {text}" for is_so, text in blank if is_so)


def projects_of(snapshot: Snapshot, fleet: Fleet) -> tuple[Project, ...]:
    """The upgrades of a site, by name."""
    effects: dict[str, list[UpgradeEffect]] = {}
    for row in snapshot.upgrade_effects:
        effects.setdefault(row.upgrade, []).append(row)
    found = []
    for upgrade in sorted(snapshot.upgrades, key=lambda row: row.upgrade):
        own = tuple(effects.get(upgrade.upgrade, ()))
        a_day = sum(_cost_a_day(snapshot, crane) for crane in sorted({row.crane for row in own}))
        touched = places_touched(fleet, own)
        found.append(Project(upgrade, own, touched, (upgrade.down_days or 0.0) * a_day))
    return tuple(found)


def in_order_of_arrival(projects: Iterable[Project]) -> list[Project]:
    """The first to arrive first; on one day by name."""
    return sorted(projects, key=lambda each: (each.arrives_years, each.name))


def _cost_a_day(snapshot: Snapshot, crane: str) -> float:
    """What a day of a crane costs; nothing where it is retired or nobody has said."""
    row = snapshot.cranes[crane]
    if not snapshot.is_live(crane):
        return 0.0
    return (row.down_cost_per_day or 0.0) * (1.0 - row.cover_share)
