"""What each position's failure today would do: restore days, lost days, money, long pole.

Reckoned for the whole fleet as arrays; a row with its words and its long pole is put together
when it is looked at. Rank order: what cannot be restored first, then lost days, most first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.calc.failing.consequences import needs_by_crane, shares_of_single_failures, state_of
from parts.calc.failing.exchanges import Exchange, Exchanges
from parts.calc.failing.fleet import NONE, Fleet, Index
from parts.calc.failing.poles import long_pole, waits_for
from parts.calc.getting.spread import confident_lead_days
from parts.calc.getting.supply import NEVER, Supplies
from parts.calc.getting.ways import Market
from parts.calc.needs.cut_sets import cut_sets
from parts.records.answers import CraneOutage, PositionOutage
from parts.records.shown import searchable
from parts.records.snapshot import Snapshot


class FleetOutage:
    """Outages of all live positions, or of one crane's. Rows are numbered by rank from 0."""

    def __init__(
        self,
        snapshot: Snapshot,
        crane: str | None = None,
        confident: bool = False,
        exchanges: Exchanges | None = None,
    ) -> None:
        """`exchanges`: those of another snapshot in which every part is got as in this one."""
        self.snapshot = snapshot
        self.today = snapshot.today
        self.confident = confident
        self.fleet = Fleet(snapshot)
        self.exchanges = exchanges or Exchanges(Supplies(snapshot, Market(snapshot)))
        self.market = self.exchanges.supplies.market
        self._cranes = [crane] if crane is not None else list(self.fleet.slices)
        self._rows = self._listed_rows(crane)
        self._lost_by: dict[str, dict[str, int]] = {}
        self._order = self._ranked()

    def _listed_rows(self, crane: str | None) -> Index:
        listed = self.fleet.listed
        if crane is None:
            return listed
        rows = self.fleet.slices.get(crane, slice(0, 0))
        first, last = np.searchsorted(listed, (rows.start, rows.stop))
        return listed[first:last]

    @cached_property
    def _wanted(self) -> NDArray[np.bool_]:
        """The rows that some listed row's restoring may touch: itself and those above it."""
        wanted = np.zeros(len(self.fleet.parent), dtype=bool)
        wanted[self._rows] = True
        for level in self.fleet.levels:
            above = level[self._rows]
            wanted[above[above != NONE]] = True
        return wanted & self.fleet.has_part

    @cached_property
    def _leads(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Lead days of each row's own part, with and without assumed lead times; inf = none.

        Reckoned once for each part and kind of place, however many positions hold it.
        """
        wanted = np.flatnonzero(self._wanted)
        places = 2 * self.fleet.part_code[wanted] + self.fleet.load_bearing[wanted]
        distinct, place_of = np.unique(places, return_inverse=True)
        leads = np.full((2, len(distinct)), NEVER)
        for at, place in enumerate(distinct.tolist()):
            part = self.fleet.part_names[place // 2]
            for kind, exchange in enumerate(self.exchanges.chosen(part, bool(place % 2))):
                if exchange is not None:
                    leads[kind, at] = exchange.lead_days
        found = np.full((2, len(self.fleet.parent)), NEVER)
        found[:, wanted] = leads[:, place_of]
        return found[0], found[1]

    @cached_property
    def _restoring(self) -> tuple[NDArray[np.float64], Index]:
        """Restore days of each listed row and the row that is exchanged; ties stay low."""
        soonest, known = self._leads
        hands_on = self.fleet.exchange_hours / self.snapshot.site.hours_per_day
        rows = self._rows
        best, replaced = (soonest + hands_on)[rows], rows.copy()
        assembly_days = known + hands_on
        for level in self.fleet.levels:
            above = level[rows]
            days = np.where(above == NONE, NEVER, assembly_days[above])
            sooner = days < best
            best = np.where(sooner, days, best)
            replaced = np.where(sooner, above, replaced)
        return best, replaced

    @cached_property
    def single_shares(self) -> NDArray[np.float64]:
        """Share of work lost by the failure of each position alone, (number of positions,)."""
        shares = np.zeros(len(self.fleet.parent))
        for crane, needs in needs_by_crane(self.snapshot, self.fleet, self._cranes).items():
            shares[self.fleet.slices[crane]], self._lost_by[crane] = shares_of_single_failures(
                needs
            )
        return shares

    @property
    def _shares(self) -> NDArray[np.float64]:
        """Share of work lost by each listed row's failure."""
        return self.single_shares[self._rows]

    @cached_property
    def _lost_days(self) -> NDArray[np.float64]:
        """Restore days times share lost; inf where it cannot be restored, 0 where nothing is
        lost."""
        with np.errstate(invalid="ignore"):
            lost = self._restoring[0] * self._shares
        return np.where(self._shares == 0.0, 0.0, lost)

    @property
    def lost_days(self) -> NDArray[np.float64]:
        """Lost days of each row of the snapshot's positions; nan for rows in no list."""
        found = np.full(len(self.fleet.parent), np.nan)
        found[self._rows] = self._lost_days
        return found

    def _ranked(self) -> Index:
        # rows stand in key order, so a stable sort breaks ties by crane and position
        return np.argsort(-self._lost_days, kind="stable")

    def __len__(self) -> int:
        return len(self._order)

    @cached_property
    def _rank_of_row(self) -> dict[int, int]:
        return {int(self._rows[at]): rank for rank, at in enumerate(self._order)}

    def rank_of(self, crane: str, position: str) -> int:
        """The rank of a position; KeyError where it is in no list."""
        return self.rank_of_row(self.fleet.row(crane, position))

    def rank_of_row(self, row: int) -> int:
        """The rank of a row of the snapshot's positions; KeyError where it is in no list."""
        return self._rank_of_row[row]

    def row(self, rank: int) -> PositionOutage:
        """The outage at a rank, in words and with its long pole."""
        at = int(self._order[rank])
        row, replaced = int(self._rows[at]), int(self._restoring[1][at])
        days, share = float(self._restoring[0][at]), float(self._shares[at])
        lost_days = float(self._lost_days[at])
        return self._in_words(row, replaced, days, share, lost_days)

    def _in_words(
        self, row: int, replaced: int, days: float, share: float, lost_days: float
    ) -> PositionOutage:
        answer = self._unrestored(row, replaced, share, lost_days)
        exchange = self.exchange_at(replaced, is_assembly=replaced != row)
        if exchange is None or days == NEVER:
            return answer
        hours_per_day = self.snapshot.site.hours_per_day
        hours = float(self.fleet.exchange_hours[replaced])
        place = f"{answer.crane}/{answer.replaced}"
        return replace(
            answer,
            restore_days=days,
            hands_on_days=(hours + exchange.extra_hours) / hours_per_day,
            assumed=exchange.assumed,
            fitted=exchange.fitted,
            long_pole=long_pole(exchange, hours, answer.hours_assumed, place, self.market),
            waits_for=waits_for(exchange),
            setting_part=exchange.setting.part,
            reason="",
            confident_days=self._confident(exchange) + hours / hours_per_day
            if self.confident
            else None,
        )

    def _unrestored(
        self, row: int, replaced: int, share: float, lost_days: float
    ) -> PositionOutage:
        """All that can be said before it is known how the position is restored."""
        positions = self.snapshot.positions
        crane, name = positions.crane[row], positions.part[row]
        part = self.snapshot.parts[name] if name else None
        bearing = bool(self.fleet.load_bearing[row])
        hours = float(self.fleet.exchange_hours[replaced])
        return PositionOutage(
            crane=crane,
            position=positions.position[row],
            part=name,
            description=(part.description if part else None) or "",
            state=state_of(share),
            lost_share=share,
            restore_days=None,
            hands_on_days=hours / self.snapshot.site.hours_per_day,
            lost_days=lost_days if lost_days < NEVER else None,
            cost=self.cost(crane, lost_days),
            assumed=False,
            hours_assumed=positions.exchange_hours[replaced] is None,
            load_bearing=bearing,
            decide=who_decides(bearing, share),
            replaced=positions.position[replaced],
            fitted=None,
            functions_lost=self.functions_lost(row),
            long_pole=(),
            reason=_why_never(name),
        )

    def _confident(self, exchange: Exchange) -> float:
        spread = self.market.corrections.log_spread
        return confident_lead_days(exchange, spread, self.snapshot.site.confidence)

    def exchange_at(self, row: int, is_assembly: bool) -> Exchange | None:
        """The exchange chosen at a row; for an assembly, one that rests on nothing assumed."""
        part = self.snapshot.positions.part[row]
        if part is None:
            return None
        return self.exchanges.chosen(part, bool(self.fleet.load_bearing[row]))[is_assembly]

    def replaced_row(self, row: int) -> int:
        """The row that is exchanged when a listed row fails alone."""
        return int(self._restoring[1][np.searchsorted(self._rows, row)])

    def cost(self, crane: str, lost_days: float, covered: bool = True) -> float | None:
        """Money lost by `lost_days` of a crane whose neighbours carry their share of its work,
        unless they are out too."""
        row = self.snapshot.cranes[crane]
        if row.down_cost_per_day is None or lost_days == NEVER:
            return None
        cover_share = row.cover_share if covered else 0.0
        return lost_days * row.down_cost_per_day * (1.0 - cover_share)

    def functions_lost(self, row: int) -> tuple[str, ...]:
        crane = self.snapshot.positions.crane[row]
        bit = row - self.fleet.slices[crane].start
        return tuple(name for name, bits in self._lost_by[crane].items() if bits >> bit & 1)

    @property
    def crane_names(self) -> tuple[str, ...]:
        """Live cranes of the list, in the order of their names."""
        names = (name for name in self._cranes if self.snapshot.is_live(name))
        return tuple(name for name in names if name in self.fleet.slices)

    def cut_sets(self, crane: str, order: int) -> tuple[tuple[str, ...], ...]:
        """The smallest sets of positions whose failure together stops a crane."""
        needs = needs_by_crane(self.snapshot, self.fleet, [crane])[crane]
        names, rows = self.snapshot.positions.position, self.fleet.slices[crane]
        basic = frozenset(
            names[row] for row in range(rows.start, rows.stop) if self.fleet.fails_by_itself[row]
        )
        return cut_sets(needs, basic, order)

    @cached_property
    def cranes(self) -> tuple[CraneOutage, ...]:
        """The cranes of the list, the one with the longest pole first."""
        ranks: dict[str, list[int]] = {}
        crane_of = self.snapshot.positions.crane
        for rank, row in enumerate(self._rows[self._order].tolist()):
            ranks.setdefault(crane_of[row], []).append(rank)
        found = []
        for name, own in ranks.items():
            unknown = sum(1 for rank in own if self._lost_days[self._order[rank]] == NEVER)
            row = self.snapshot.cranes[name]
            worst = self.row(own[0])
            found.append(CraneOutage(name, row.name or "", row.bay or "", len(own), worst, unknown))
        return tuple(found)

    def of_crane(self, crane: str) -> Sequence[int]:
        """Ranks of a crane's positions, best first."""
        rows = self.fleet.slices.get(crane, slice(0, 0))
        ranked = self._rows[self._order]
        inside = np.flatnonzero((ranked >= rows.start) & (ranked < rows.stop))
        found: list[int] = inside.tolist()
        return found

    @cached_property
    def _texts(self) -> list[str]:
        """What each rank can be found by: crane, position, part, description, numbers."""
        positions, parts = self.snapshot.positions, self.snapshot.parts
        numbers: dict[str, list[str]] = {}
        for row in self.snapshot.part_numbers:
            numbers.setdefault(row.part, []).append(row.number)
        by_part: dict[str | None, str] = {None: ""}
        for name, part in parts.items():
            by_part[name] = searchable(
                " ".join((name, part.description or "", *numbers.get(name, ())))
            )
        return [
            searchable(f"{positions.crane[row]} {positions.position[row]}")
            + by_part[positions.part[row]]
            for row in self._rows[self._order].tolist()
        ]

    def matching(self, text: str) -> Sequence[int]:
        """Ranks that hold every word of `text`, forgiving of case, dashes and blanks."""
        words = [searchable(word) for word in text.split()]
        found: Sequence[int] = range(len(self))
        for word in words:
            found = [rank for rank in found if word in self._texts[rank]]
        return found


def _why_never(part: str | None) -> str:
    if part is None:
        return "no part is recorded at this position: find out what is fitted"
    return f"no usable way to get {part}, and no default lead time is recorded"


def who_decides(load_bearing: bool, share: float) -> str | None:
    """What must be said where a load-bearing position's loss costs less than the whole crane."""
    if not load_bearing or share >= 1.0:
        return None
    return (
        "bears load: whether the crane may run without it is for a qualified person to decide, "
        "in writing, with a limit and a date"
    )
