"""Several positions that fail together: what is exchanged, who is served first, and when.

Quantities of one part are added over the set: the crane that costs most a day is served first
with the part itself, a part's own positions and companions come before its use as a substitute.
Exchanges run in parallel. An exchanged assembly counts once and restores everything below it.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from parts.calc.consequences import lost_share, needs_by_crane, state_of
from parts.calc.exchanges import Exchange, Member, soonest
from parts.calc.outages import FleetOutage
from parts.calc.poles import long_pole
from parts.calc.supply import NEVER, LotKey, StandIn
from parts.records import answers
from parts.records.answers import State, TogetherOutage

# Above this many combinations the choice is made position by position instead of for all at once.
MOST_COMBINATIONS = 20_000


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to restore a failed position: exchange `row`, fit the part or a substitute."""

    row: int
    level: int
    part: str
    stand_in: StandIn | None

    @property
    def fitted(self) -> str:
        return self.part if self.stand_in is None else self.stand_in.part


@dataclass(frozen=True, slots=True)
class Plan:
    """The exchanges of a set with their dates, by exchanged row, and which each failed row
    waits for."""

    exchanges: dict[int, Exchange | None]
    days: dict[int, float]
    covered_by: dict[int, int]

    def worth(self) -> tuple[int, float, float]:
        """Least is best: what is never restored, the largest restore, the sum over the failed."""
        restores = [self.days[row] for row in self.covered_by.values()]
        known = [days for days in restores if days < NEVER]
        return len(restores) - len(known), max(known, default=0.0), sum(known)


class Together:
    """A set of failed rows of a fleet."""

    def __init__(self, outage: FleetOutage, failed: Iterable[int]) -> None:
        self.outage = outage
        self.fleet = outage.fleet
        self.exchanges = outage.exchanges
        self.snapshot = outage.snapshot
        self.failed = self._without_covered(sorted(set(failed)))

    def _without_covered(self, rows: list[int]) -> list[int]:
        """A failed assembly takes everything inside it, so only it is left to restore."""
        inside = {row for row in rows for other in rows if self.fleet.is_below(row, other)}
        return [row for row in rows if row not in inside]

    def answer(self) -> tuple[TogetherOutage, ...]:
        plan = self.plan()
        shares = self._shares()
        down = {crane for crane, (share, _) in shares.items() if state_of(share) is State.DOWN}
        return tuple(self._crane_answer(crane, plan, *shares[crane], down) for crane in shares)

    def plan(self) -> Plan:
        """The exchanges of the set with the least largest restore, then the least sum."""
        menus = [self._choices(row) for row in self.failed]
        count = 1
        for menu in menus:
            count *= max(1, len(menu))
        if count > MOST_COMBINATIONS:
            return self._one_by_one(menus)
        plans = (self._plan(picked) for picked in itertools.product(*menus))
        return min(plans, key=Plan.worth)

    def _one_by_one(self, menus: list[list[Choice | None]]) -> Plan:
        """Improve one position's choice at a time until none gets better; may miss the best."""
        picked = [menu[0] for menu in menus]
        best, better = self._plan(picked), True
        while better:
            better = False
            for at, menu in enumerate(menus):
                for choice in menu:
                    tried = self._plan([*picked[:at], choice, *picked[at + 1 :]])
                    if tried.worth() < best.worth():
                        best, better, picked[at] = tried, True, choice
        return best

    def _choices(self, row: int) -> list[Choice | None]:
        parts = self.snapshot.positions.part
        found: list[Choice | None] = []
        for level, each in enumerate(self.fleet.chain(row)):
            part = parts[each]
            if part is not None:
                bearing = bool(self.fleet.load_bearing[each])
                found += [
                    Choice(each, level, part, stand_in)
                    for stand_in in self.exchanges.fittings(part, bearing)
                ]
        return found or [None]

    def _plan(self, picked: Sequence[Choice | None]) -> Plan:
        by_row: dict[int, Choice] = {}
        for choice in picked:
            if choice is not None:
                by_row.setdefault(choice.row, choice)
        kept = {
            row: choice
            for row, choice in by_row.items()
            if not any(self.fleet.is_below(row, other) for other in by_row)
        }
        exchanges = self._served(sorted(kept.values(), key=self._turn))
        days = {row: self._days(row, exchanges[row], choice) for row, choice in kept.items()}
        covered_by = {}
        for row, choice in zip(self.failed, picked, strict=True):
            if choice is None:
                covered_by[row], days[row], exchanges[row] = row, NEVER, None
            else:
                covered_by[row] = next(each for each in kept if each in self.fleet.chain(row))
        return Plan(exchanges, days, covered_by)

    def _turn(self, choice: Choice) -> tuple[float, str, str]:
        """The crane with the highest down cost x (1 - cover share) is served first."""
        positions = self.snapshot.positions
        crane = self.snapshot.cranes[positions.crane[choice.row]]
        money = (crane.down_cost_per_day or 0.0) * (1.0 - crane.cover_share)
        return -money, crane.crane, positions.position[choice.row]

    def _served(self, ordered: list[Choice]) -> dict[int, Exchange | None]:
        """Hand out supplies in turn: units and companions first, then uses as a substitute."""
        pool = _Pool(self, ordered)
        members: dict[int, list[Member]] = {}
        for choice in ordered:
            unit = pool.unit(choice)
            if choice.stand_in is None:
                pool.take(unit)
            members[choice.row] = [unit, *pool.companions(choice, unit)]
        for choice in ordered:
            if choice.stand_in is not None:
                members[choice.row][0] = pool.take(pool.unit(choice))
        return {choice.row: self._exchange(choice, members[choice.row]) for choice in ordered}

    def _exchange(self, choice: Choice, members: list[Member]) -> Exchange | None:
        exchange = Exchange(
            choice.fitted, choice.stand_in, tuple(members), self.exchanges.hours_per_day
        )
        return exchange if exchange.delay_days < NEVER else None

    def _days(self, row: int, exchange: Exchange | None, choice: Choice) -> float:
        if exchange is None or (choice.level > 0 and exchange.assumed):
            return NEVER
        hands_on = float(self.fleet.exchange_hours[row]) / self.exchanges.hours_per_day
        return exchange.lead_days + hands_on

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
        self, crane: str, plan: Plan, share: float, lost: tuple[str, ...], down: set[str]
    ) -> TogetherOutage:
        crane_of = self.snapshot.positions.crane
        own = [row for row in self.failed if crane_of[row] == crane]
        days = max(plan.days[plan.covered_by[row]] for row in own)
        lost_days = 0.0 if share == 0.0 else days * share
        return TogetherOutage(
            crane=crane,
            state=state_of(share),
            lost_share=share,
            restore_days=None if days == NEVER else days,
            lost_days=None if lost_days == NEVER else lost_days,
            cost=self._cost(crane, lost_days, down),
            functions_lost=lost,
            exchanges=self._exchange_answers(plan, own),
        )

    def _cost(self, crane: str, lost_days: float, down: set[str]) -> float | None:
        """A crane of the set that is down covers nobody in its bay."""
        row = self.snapshot.cranes[crane]
        if row.down_cost_per_day is None or lost_days == NEVER:
            return None
        neighbours = {
            name
            for name in down - {crane}
            if row.bay is not None and self.snapshot.cranes[name].bay == row.bay
        }
        cover = 0.0 if neighbours else row.cover_share
        return lost_days * row.down_cost_per_day * (1.0 - cover)

    def _exchange_answers(self, plan: Plan, own: list[int]) -> tuple[answers.Exchange, ...]:
        positions = self.snapshot.positions
        covers: dict[int, list[str]] = {}
        for row in own:
            covers.setdefault(plan.covered_by[row], []).append(positions.position[row])
        found = []
        for row, names in covers.items():
            exchange, days = plan.exchanges[row], plan.days[row]
            usable = exchange is not None and days < NEVER
            found.append(
                answers.Exchange(
                    replaced=positions.position[row],
                    fitted=exchange.fitted if exchange is not None and usable else None,
                    covers=tuple(names),
                    restore_days=days if usable else None,
                    assumed=exchange.assumed if exchange is not None and usable else False,
                    long_pole=self._long_pole(row, exchange) if exchange and usable else (),
                )
            )
        return tuple(found)

    def _long_pole(self, row: int, exchange: Exchange) -> tuple[answers.Step, ...]:
        positions = self.snapshot.positions
        place = f"{positions.crane[row]}/{positions.position[row]}"
        hours = float(self.fleet.exchange_hours[row])
        assumed = positions.exchange_hours[row] is None
        return long_pole(exchange, hours, assumed, place, self.outage.market)


class _Pool:
    """Hands out the units of a set in turn and keeps count of what has gone from each lot."""

    def __init__(self, together: Together, ordered: list[Choice]) -> None:
        self.exchanges = together.exchanges
        self.fleet = together.fleet
        self.gone: dict[LotKey, float] = {}
        self.cores = Counter(choice.part for choice in ordered)

    def unit(self, choice: Choice) -> Member:
        bearing = bool(self.fleet.load_bearing[choice.row])
        qty = 1 + self.exchanges.companions(choice.fitted).get(choice.fitted, 0)
        cores = self.cores[choice.part]
        supply = self.exchanges.unit_supply(choice.part, choice.stand_in, bearing, cores)
        return Member(choice.fitted, qty, supply.delay(qty, self.gone), is_unit=True)

    def companions(self, choice: Choice, unit: Member) -> list[Member]:
        """The companions that make the exchange soonest with this unit, taken from the pool."""
        bearing = bool(self.fleet.load_bearing[choice.row])
        menus = [
            [
                Member(name, qty, supply.delay(qty, self.gone), is_unit=False)
                for supply in self.exchanges.companion_menus(name, bearing)
            ]
            for name, qty in self.exchanges.companions(choice.fitted).items()
            if name != choice.fitted
        ]
        possible = self.exchanges.combined(choice.fitted, choice.stand_in, unit, menus)
        best = soonest(each for each in possible if choice.level == 0 or not each.assumed)
        picked = [menu[0] for menu in menus] if best is None else best.members[1:]
        return [self.take(member) for member in picked]

    def take(self, member: Member) -> Member:
        for lot, taken in member.delay.draws():
            self.gone[lot] = self.gone.get(lot, 0.0) + taken
        return member


def together(outage: FleetOutage, rows: Iterable[int]) -> tuple[TogetherOutage, ...]:
    """The answer for a set of failed rows, crane by crane."""
    return Together(outage, rows).answer()
