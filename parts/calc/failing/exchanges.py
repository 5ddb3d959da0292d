"""Exchanging the unit at one place: which part goes in, with which companions, and when.

One failure takes one unit of the part and the stated quantity of each certain companion of the
part that is fitted. The unit itself is the part or one substitute as a whole; each unit of a
companion may be stood in for too. A unit goes once: what one demand takes is gone for the next.
Hands-on hours belong to the position and are added elsewhere; only the extra hours of substitutes
are reckoned here, each once for an exchange.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from parts.calc.getting.supply import NEVER, Delay, LotKey, StandIn, Supplies, Supply, with_default
from parts.records.catalogue import Companion

CERTAIN = 1.0
# Of one part's ways to be exchanged no more than this are weighed; the plainest come first.
MOST_PLANS = 1000
DIGITS = 9  # days that differ by less are equally soon


@dataclass(frozen=True, slots=True)
class Demand:
    """Units of a part that an exchange takes, as itself or as a substitute for it."""

    part: str
    qty: int
    is_unit: bool
    stand_in: StandIn | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    """One way to make up an exchange of `part` at a place that bears load or does not."""

    part: str
    load_bearing: bool
    demands: tuple[Demand, ...]

    @property
    def fitted(self) -> str:
        unit = self.demands[0]
        return unit.part if unit.stand_in is None else unit.stand_in.part

    @property
    def extra_hours(self) -> float:
        """Extra hours of the substitutes that go in, each once."""
        return sum(each.extra_hours for each in {d.stand_in for d in self.demands if d.stand_in})


@dataclass(frozen=True, slots=True)
class Member:
    """A demand of an exchange and when it is met."""

    demand: Demand
    delay: Delay

    @property
    def part(self) -> str:
        return self.demand.part


class Exchange:
    """A plan with its dates: `delay_days` until its members are together, `lead_days` with the
    extra hours of substitutes. Made by the ten thousand, so its figures are plain slots."""

    __slots__ = ("assumed", "delay_days", "extra_hours", "hours_per_day", "lead_days", "members",
                 "plan")  # fmt: skip

    def __init__(self, plan: Plan, members: tuple[Member, ...], hours_per_day: float) -> None:
        self.plan = plan
        self.members = members
        self.hours_per_day = hours_per_day
        self.delay_days = max(member.delay.days for member in members)
        self.assumed = any(member.delay.assumed for member in members)
        self.extra_hours = plan.extra_hours
        self.lead_days = self.delay_days + self.extra_hours / hours_per_day

    @property
    def fitted(self) -> str:
        return self.plan.fitted

    @property
    def setting(self) -> Member:
        """The member that sets the date; the unit itself where several do."""
        return max(self.members, key=lambda member: (member.delay.days, member.demand.is_unit))


class Exchanges:
    """The exchanges of a snapshot, each plan made and each supply put together once."""

    def __init__(self, supplies: Supplies) -> None:
        self.supplies = supplies
        self.hours_per_day = supplies.snapshot.site.hours_per_day
        self._companions = _certain(supplies.snapshot.companions)
        self._chosen: dict[tuple[str, bool], tuple[Exchange | None, Exchange | None]] = {}
        self._plans: dict[tuple[str, bool], tuple[Plan, ...]] = {}
        self._supplies: dict[tuple[Demand, bool, int], Supply] = {}

    def companions(self, part: str) -> dict[str, int]:
        """Quantity of each certain companion of a part."""
        return self._companions.get(part, {})

    def chosen(self, part: str, load_bearing: bool) -> tuple[Exchange | None, Exchange | None]:
        """The soonest exchange, and the soonest that rests on no assumed lead time."""
        found = self._chosen.get((part, load_bearing))
        if found is None:
            every = [self.alone(plan) for plan in self.plans(part, load_bearing)]
            found = self._chosen[part, load_bearing] = (
                soonest(every),
                soonest(each for each in every if not each.assumed),
            )
        return found

    def plans(self, part: str, load_bearing: bool) -> tuple[Plan, ...]:
        """The ways to make up an exchange: the part itself before its substitutes, companions
        as themselves before what stands in for them."""
        found = self._plans.get((part, load_bearing))
        if found is None:
            every = self._made_up(part, load_bearing)
            found = self._plans[part, load_bearing] = tuple(itertools.islice(every, MOST_PLANS))
        return found

    def _made_up(self, part: str, load_bearing: bool) -> Iterator[Plan]:
        for stand_in in (None, *self.supplies.stand_ins(part, load_bearing)):
            fitted = part if stand_in is None else stand_in.part
            companions = self.companions(fitted)
            # a part that takes itself along is a matched pair: both come the same way
            unit = Demand(part, 1 + companions.get(fitted, 0), True, stand_in)
            splits = (
                self._splits(name, qty, load_bearing)
                for name, qty in companions.items()
                if name != fitted
            )
            for split in itertools.product(*splits):
                demands = (unit, *itertools.chain.from_iterable(split))
                yield Plan(part, load_bearing, demands)

    def _splits(self, part: str, qty: int, load_bearing: bool) -> Iterator[tuple[Demand, ...]]:
        """Every way of making up a companion's units from it and its substitutes."""
        kinds = (None, *self.supplies.stand_ins(part, load_bearing))
        if len(kinds) == 1:
            yield (Demand(part, qty, False),)
            return
        for shares in itertools.product(range(qty, -1, -1), repeat=len(kinds)):
            if sum(shares) == qty:
                yield tuple(
                    Demand(part, units, False, kind)
                    for kind, units in zip(kinds, shares, strict=True)
                    if units
                )

    def alone(self, plan: Plan) -> Exchange:
        """A plan carried out by itself."""
        if any(demand.stand_in is not None for demand in plan.demands):
            return self.carried_out([plan])[0]
        # every demand is for another part, so none takes what the next one wants
        delays = (
            self._supply(demand, plan.load_bearing, 1).delay(demand.qty) for demand in plan.demands
        )
        members = tuple(map(Member, plan.demands, delays))
        return Exchange(plan, members, self.hours_per_day)

    def carried_out(self, plans: Sequence[Plan]) -> list[Exchange]:
        """Serve plans in their order: what is wanted as itself first, then what stands in.

        Each takes the earliest units that are left. All repairs of a part together give one unit
        for each place exchanged that holds it.
        """
        gone: dict[LotKey, float] = {}
        cores = Counter(plan.part for plan in plans)
        served: dict[tuple[int, int], Member] = {}
        for as_itself in (True, False):
            for number, plan in enumerate(plans):
                for at, demand in enumerate(plan.demands):
                    if (demand.stand_in is None) == as_itself:
                        supply = self._supply(demand, plan.load_bearing, cores[plan.part])
                        delay = supply.delay(demand.qty, gone)
                        served[number, at] = Member(demand, delay)
                        for lot, taken in delay.draws():
                            gone[lot] = gone.get(lot, 0.0) + taken
        return [
            Exchange(
                plan,
                tuple(served[number, at] for at in range(len(plan.demands))),
                self.hours_per_day,
            )
            for number, plan in enumerate(plans)
        ]

    def _supply(self, demand: Demand, load_bearing: bool, cores: int) -> Supply:
        """Where a demand is met from; only the unit itself brings cores to repair."""
        if not demand.is_unit:
            cores = 0
        key = (demand, load_bearing, cores)
        found = self._supplies.get(key)
        if found is None:
            if demand.stand_in is not None:
                found = Supply(self.supplies.stand_in_lots(demand.stand_in, load_bearing))
            else:
                own = self.supplies.own_lots(demand.part, load_bearing, cores)
                found = with_default(own, self.supplies.default_lots(demand.part))
            self._supplies[key] = found
        return found


def soonest(exchanges: Iterable[Exchange]) -> Exchange | None:
    """The possible exchange with the least lead; the plainer one wins a tie."""
    possible = (each for each in exchanges if each.delay_days < NEVER)
    return min(possible, key=lambda each: round(each.lead_days, DIGITS), default=None)


def _certain(rows: Iterable[Companion]) -> dict[str, dict[str, int]]:
    found: dict[str, dict[str, int]] = {}
    for row in rows:
        if row.chance >= CERTAIN:
            found.setdefault(row.part, {})[row.companion] = row.qty
    return found
