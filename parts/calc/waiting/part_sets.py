"""What a failure of a part draws on, itself and its companions, and how long that set waits.

Stocks go by the names of their pools, so that a companion that is pooled with the part adds to
what is taken of it. Knows no positions: the wait is one for all of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from parts.calc.waiting.horizons import Horizon, Horizons
from parts.calc.waiting.poisson import units_a_year
from parts.calc.waiting.restocking import Restock, Restocking
from parts.calc.waiting.set_waits import Member, set_wait_days
from parts.calc.waiting.uses import Takes, Uses
from parts.records.catalogue import Companion
from parts.records.snapshot import Snapshot

CERTAIN = 1.0


@dataclass(frozen=True, slots=True)
class MemberTerm:
    """One member of a set, as an explanation unfolds it.

    `needs` is (units, chance) of what one failure takes of it. `horizon` is set where its stock is
    fixed and has to last so long. `demand_per_year` is that on its pool.
    """

    part: str
    needs: tuple[tuple[int, float], ...]
    restock: Restock
    demand_per_year: float
    own_wait_days: float | None
    horizon: Horizon | None


@dataclass(frozen=True, slots=True)
class SetWait:
    """The long-run wait of a part with its companions; None = some lead time is not known."""

    part: str
    wait_days: float | None
    members: tuple[MemberTerm, ...]

    @property
    def assumed(self) -> bool:
        """Whether any lead time in it is an assumption."""
        return any(member.restock.assumed for member in self.members)

    @property
    def waits_for(self) -> MemberTerm:
        """The member whose lead is not known, else the one with the longest wait of its own; the
        part itself where several have it."""
        return max(
            self.members,
            key=lambda each: (each.own_wait_days is None, each.own_wait_days or 0.0),
        )


class PartSets:
    """The sets of a snapshot: the part and its companions."""

    def __init__(self, snapshot: Snapshot, restocking: Restocking, horizons: Horizons) -> None:
        self.snapshot = snapshot
        self.restocking = restocking
        self.horizons = horizons
        self._takes: dict[str, Takes] = {}

    @cached_property
    def _companions(self) -> dict[str, list[Companion]]:
        found: dict[str, list[Companion]] = {}
        for row in sorted(self.snapshot.companions, key=lambda row: row.companion):
            if row.chance > 0.0:
                found.setdefault(row.part, []).append(row)
        return found

    def companions(self, part: str) -> tuple[str, ...]:
        """What a use of the part may take along, by name."""
        return tuple(row.companion for row in self._companions.get(part, ()))

    def takes(self, part: str) -> Takes:
        """What one use of a part takes of the pools."""
        found = self._takes.get(part)
        if found is None:
            rows = self._companions.get(part, [])
            found = self._takes[part] = Takes(
                (
                    (self._pool(part), 1),
                    *((self._pool(row.companion), row.qty) for row in rows if _certain(row)),
                ),
                tuple(
                    (self._pool(row.companion), row.qty, row.chance)
                    for row in rows
                    if not _certain(row)
                ),
            )
        return found

    def _pool(self, part: str) -> str:
        return self.restocking.of(part).pool

    def wait(self, part: str, uses: Uses) -> SetWait:
        """How long a failure of the part waits, `uses` being all demand on the pools."""
        by_pool = {self._pool(part): part}
        for row in self._companions.get(part, []):
            by_pool.setdefault(self._pool(row.companion), row.companion)
        terms = tuple(self._term(part, name, uses) for name in by_pool.values())
        members = [_member(term) for term in terms if term.restock.lead_days is not None]
        known = len(members) == len(terms)
        return SetWait(part, set_wait_days(members, uses) if known else None, terms)

    def _term(self, part: str, name: str, uses: Uses) -> MemberTerm:
        restock = self.restocking.of(name)
        chances = self.takes(part).vectors([restock.pool])
        needs = tuple((units, chance) for (units,), chance in sorted(chances.items()) if units)
        horizon = self.horizons.of(restock.parts) if restock.fixed else None
        demand = units_a_year(uses.batches(restock.pool))
        term = MemberTerm(name, needs, restock, demand, None, horizon)
        if restock.lead_days is None:
            return term
        own = _member(term).own_wait_days(uses)
        return MemberTerm(name, needs, restock, demand, own, horizon)


def _certain(row: Companion) -> bool:
    return row.chance >= CERTAIN


def _member(term: MemberTerm) -> Member:
    return Member(
        stock=term.restock.pool,
        needs=term.needs,
        on_hand=term.restock.stock,
        lead_days=term.restock.lead_days or 0.0,
        years_left=None if term.horizon is None else term.horizon.years,
    )
