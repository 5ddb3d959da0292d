"""Several positions that fail together: what is exchanged, who is served first, and when.

Quantities of one part are added over the set: the crane that costs most a day is served first,
what is wanted as itself before its use as a substitute. Exchanges run in parallel. An exchanged
assembly counts once and restores everything below it. One failure is a set of one.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from parts.calc.failing.consequences import lost_share, needs_by_crane, state_of
from parts.calc.failing.exchanges import DIGITS, Exchange, Plan
from parts.calc.failing.outages import FleetOutage
from parts.calc.failing.poles import long_pole
from parts.calc.getting.supply import NEVER
from parts.records import answers
from parts.records.answers import TogetherOutage
from parts.records.states import State

# Of larger sets not every combination is weighed: from what each position would get alone, one
# position's exchange after the other is bettered until none can be.
MOST_COMBINATIONS = 50_000

# Where and how a failed row is restored; None = it is not
Pick = tuple[int, Plan] | None


@dataclass(frozen=True, slots=True)
class Settlement:
    """The exchanges of a set by exchanged row, the days of each, and for each failed row the row
    whose exchange restores it, None where nothing does."""

    exchanges: dict[int, Exchange]
    days: dict[int, float]
    covered_by: dict[int, int | None]

    def restore_days(self, row: int) -> float:
        cover = self.covered_by[row]
        return NEVER if cover is None else self.days[cover]


class Together:
    """A set of failed rows of a fleet."""

    def __init__(self, outage: FleetOutage, failed: Iterable[int]) -> None:
        self.outage = outage
        self.fleet = outage.fleet
        self.exchanges = outage.exchanges
        self.snapshot = outage.snapshot
        self.failed = sorted(self._uncovered(set(failed)), key=self._turn)

    def _uncovered(self, rows: set[int]) -> set[int]:
        """A failed assembly takes everything inside it, so only it is left to restore."""
        return {row for row in rows if not any(self.fleet.is_below(row, each) for each in rows)}

    def _turn(self, row: int) -> tuple[float, str, str]:
        """The crane with the highest down cost x (1 - cover share) is served first."""
        positions = self.snapshot.positions
        crane = self.snapshot.cranes[positions.crane[row]]
        money = (crane.down_cost_per_day or 0.0) * (1.0 - crane.cover_share)
        return -money, crane.crane, positions.position[row]

    def answer(self) -> tuple[TogetherOutage, ...]:
        settlement = self.settlement()
        shares = self._shares()
        down = {crane for crane, (share, _) in shares.items() if state_of(share) is State.DOWN}
        return tuple(
            self._crane_answer(crane, settlement, *shares[crane], down) for crane in shares
        )

    def settlement(self) -> Settlement:
        """The exchanges with the fewest failures left open, the least longest restore, the least
        sum over the failed; then low places, and the part itself for the dear crane."""
        menus = [self._menu(row) for row in self.failed]
        if math.prod(map(len, menus)) > MOST_COMBINATIONS:
            return self._bettered(menus)
        every = (self._settled(picks) for picks in itertools.product(*menus))
        return min((each for each in every if each is not None), key=self._rank)

    def _menu(self, row: int) -> list[Pick]:
        """The ways to restore a failed row, itself before the assemblies above it; what cannot
        be carried out alone cannot in a set."""
        parts, bearing = self.snapshot.positions.part, self.fleet.load_bearing
        return [
            *(
                (place, plan)
                for place in self.fleet.chain(row)
                if parts[place] is not None
                for plan in self.exchanges.plans(parts[place] or "", bool(bearing[place]))
                if self.exchanges.alone(plan).delay_days < NEVER
            ),
            None,
        ]

    def _bettered(self, menus: list[list[Pick]]) -> Settlement:
        picks = [self._alone(row) for row in self.failed]
        best = self._settled(picks) or self._settled([None] * len(picks))
        assert best is not None  # noqa: S101 - restoring nothing is always possible
        bettered = True
        while bettered:
            bettered = False
            for at, menu in enumerate(menus):
                for pick in menu:
                    tried = self._settled([*picks[:at], pick, *picks[at + 1 :]])
                    if tried is not None and self._rank(tried) < self._rank(best):
                        best, picks[at], bettered = tried, pick, True
        return best

    def _alone(self, row: int) -> Pick:
        place = self.outage.replaced_row(row)
        exchange = self.outage.exchange_at(place, is_assembly=place != row)
        return None if exchange is None else (place, exchange.plan)

    def _settled(self, picks: Sequence[Pick]) -> Settlement | None:
        """The picks carried out; None where they cannot be, or an assembly's is assumed."""
        covered_by = self._covers([None if pick is None else pick[0] for pick in picks])
        kept = {row for row in covered_by.values() if row is not None}
        plans: dict[int, Plan] = {}
        for pick in picks:
            if pick is not None and pick[0] in kept:
                plans.setdefault(*pick)
        rows = sorted(plans, key=self._turn)
        exchanged = self.exchanges.carried_out([plans[row] for row in rows])
        exchanges = dict(zip(rows, exchanged, strict=True))
        for row, exchange in exchanges.items():
            if exchange.delay_days == NEVER or (exchange.assumed and row not in self.failed):
                return None
        hours = self.fleet.exchange_hours
        days = {
            row: exchange.lead_days + float(hours[row]) / self.exchanges.hours_per_day
            for row, exchange in exchanges.items()
        }
        return Settlement(exchanges, days, covered_by)

    def _covers(self, picked: Sequence[int | None]) -> dict[int, int | None]:
        """Who restores whom once exchanges inside an exchanged assembly are dropped."""
        exchanged = {row for row in picked if row is not None}
        return {
            row: next((each for each in reversed(self.fleet.chain(row)) if each in exchanged), None)
            for row in self.failed
        }

    def _rank(self, settlement: Settlement) -> tuple[object, ...]:
        restores = [settlement.restore_days(row) for row in self.failed]
        known = [days for days in restores if days < NEVER]
        levels = []
        for row in self.failed:
            cover = settlement.covered_by[row]
            levels.append(0 if cover is None else self.fleet.chain(row).index(cover))
        exchanges = settlement.exchanges.values()
        return (
            len(restores) - len(known),
            round(max(known, default=0.0), DIGITS),
            round(math.fsum(known), DIGITS),
            levels,
            [exchange.fitted != exchange.plan.part for exchange in exchanges],
            [exchange.extra_hours for exchange in exchanges],
        )

    def _shares(self) -> dict[str, tuple[float, tuple[str, ...]]]:
        """Lost share and lost functions of each crane of the set."""
        positions = self.snapshot.positions
        failed: dict[str, list[str]] = {}
        for row in self.failed:
            failed.setdefault(positions.crane[row], []).append(positions.position[row])
        found = {}
        for crane, needs in needs_by_crane(self.snapshot, self.fleet, failed).items():
            dead = needs.killed(failed[crane])
            lost = tuple(name for name in needs.functions if name in dead)
            found[crane] = lost_share(needs.functions[name] for name in lost), lost
        return found

    def _crane_answer(
        self,
        crane: str,
        settlement: Settlement,
        share: float,
        lost: tuple[str, ...],
        down: set[str],
    ) -> TogetherOutage:
        crane_of = self.snapshot.positions.crane
        own = [row for row in self.failed if crane_of[row] == crane]
        days = max(settlement.restore_days(row) for row in own)
        lost_days = 0.0 if share == 0.0 else days * share
        return TogetherOutage(
            crane=crane,
            state=state_of(share),
            lost_share=share,
            restore_days=None if days == NEVER else days,
            lost_days=None if lost_days == NEVER else lost_days,
            cost=self._cost(crane, lost_days, down),
            functions_lost=lost,
            exchanges=tuple(self._exchange_answers(settlement, own)),
        )

    def _cost(self, crane: str, lost_days: float, down: set[str]) -> float | None:
        """Money lost; a crane of the set that is down covers nobody in its bay."""
        cranes = self.snapshot.cranes
        bay = cranes[crane].bay
        alone = bay is not None and any(cranes[each].bay == bay for each in down - {crane})
        return self.outage.cost(crane, lost_days, covered=not alone)

    def _exchange_answers(
        self, settlement: Settlement, own: list[int]
    ) -> Iterator[answers.Exchange]:
        positions = self.snapshot.positions
        covers: dict[int | None, list[int]] = {}
        for row in own:
            covers.setdefault(settlement.covered_by[row], []).append(row)
        for cover, rows in covers.items():
            names = tuple(positions.position[row] for row in rows)
            if cover is None:
                for name in names:
                    yield answers.Exchange(name, None, (name,), None, False, ())
                continue
            exchange = settlement.exchanges[cover]
            yield answers.Exchange(
                replaced=positions.position[cover],
                fitted=exchange.fitted,
                covers=names,
                restore_days=settlement.days[cover],
                assumed=exchange.assumed,
                long_pole=self._long_pole(cover, exchange),
            )

    def _long_pole(self, row: int, exchange: Exchange) -> tuple[answers.Step, ...]:
        positions = self.snapshot.positions
        place = f"{positions.crane[row]}/{positions.position[row]}"
        hours = float(self.fleet.exchange_hours[row])
        assumed = positions.exchange_hours[row] is None
        return long_pole(exchange, hours, assumed, place, self.outage.market)


def together(outage: FleetOutage, rows: Iterable[int]) -> tuple[TogetherOutage, ...]:
    """The answer for a set of failed rows, crane by crane."""
    return Together(outage, rows).answer()
