"""Exchanging the unit at one place: which part goes in, with which companions, and when.

One failure takes one unit of the part and the stated quantity of each certain companion of the
part that is fitted. The unit itself is the part or one substitute as a whole; a companion may be
stood in for too. Hands-on hours belong to the position and are added there; only the extra hours
of substitutes are reckoned here.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import dataclass

from parts.calc.supply import NEVER, Delay, StandIn, Supplies, Supply, with_default
from parts.records.catalogue import Companion

CERTAIN = 1.0
# More kinds of substitute than this for one companion are not mixed in one exchange.
MOST_STAND_INS_MIXED = 3
# More ways than this to combine companions and their substitutes are not weighed one by one.
MOST_COMBINED = 1000


@dataclass(frozen=True, slots=True)
class Member:
    """A part that the exchange waits for, how many of it, and when they are together."""

    part: str
    qty: int
    delay: Delay
    is_unit: bool


class Exchange:
    """One way to carry out an exchange: `delay_days` until its members are together,
    `extra_hours` of the substitutes that go in, each once, `lead_days` holding both."""

    __slots__ = ("assumed", "delay_days", "extra_hours", "fitted", "hours_per_day", "lead_days",
                 "members", "stand_in")  # fmt: skip

    def __init__(
        self,
        fitted: str,
        stand_in: StandIn | None,
        members: tuple[Member, ...],
        hours_per_day: float,
    ) -> None:
        self.fitted = fitted
        self.stand_in = stand_in
        self.members = members
        self.hours_per_day = hours_per_day
        delays = [member.delay for member in members]
        self.delay_days = max(delay.days for delay in delays)
        self.assumed = any(delay.assumed for delay in delays)
        used = {each for delay in delays for each in delay.stand_ins}
        self.extra_hours = sum(each.extra_hours for each in used)
        self.lead_days = self.delay_days + self.extra_hours / hours_per_day

    @property
    def setting(self) -> Member:
        """The member that sets the date; the unit itself where several do."""
        return max(self.members, key=lambda member: (member.delay.days, member.is_unit))


class Exchanges:
    """The best exchanges of a snapshot by (part, load-bearing), each chosen once."""

    def __init__(self, supplies: Supplies) -> None:
        self.supplies = supplies
        self.hours_per_day = supplies.snapshot.site.hours_per_day
        self._companions = _certain(supplies.snapshot.companions)
        self._chosen: dict[tuple[str, bool], tuple[Exchange | None, Exchange | None]] = {}
        self._menus: dict[tuple[str, bool], tuple[Supply, ...]] = {}

    def companions(self, part: str) -> dict[str, int]:
        """Quantity of each certain companion of a part."""
        return self._companions.get(part, {})

    def chosen(self, part: str, load_bearing: bool) -> tuple[Exchange | None, Exchange | None]:
        """The soonest exchange, and the soonest that rests on no assumed lead time."""
        found = self._chosen.get((part, load_bearing))
        if found is None:
            every = list(self._possible(part, load_bearing))
            found = self._chosen[part, load_bearing] = (
                soonest(every),
                soonest(each for each in every if not each.assumed),
            )
        return found

    def fittings(self, part: str, load_bearing: bool) -> list[StandIn | None]:
        """What may be fitted: the part itself (None), then its substitutes."""
        return [None, *self.supplies.stand_ins(part, load_bearing)]

    def _possible(self, part: str, load_bearing: bool) -> Iterable[Exchange]:
        for stand_in in self.fittings(part, load_bearing):
            fitted = part if stand_in is None else stand_in.part
            companions = self.companions(fitted)
            unit = self.unit_supply(part, stand_in, load_bearing)
            qty = 1 + companions.get(fitted, 0)
            own = Member(fitted, qty, unit.delay(qty), is_unit=True)
            if own.delay.days == NEVER:
                continue
            gone = dict(own.delay.draws())
            choices = [
                [
                    Member(name, qty, menu.delay(qty, gone), is_unit=False)
                    for menu in self.companion_menus(name, load_bearing)
                ]
                for name, qty in companions.items()
                if name != fitted
            ]
            yield from self.combined(fitted, stand_in, own, choices)

    def combined(
        self, fitted: str, stand_in: StandIn | None, own: Member, choices: list[list[Member]]
    ) -> Iterable[Exchange]:
        """The exchanges that the choices of companions allow; the choices of companions beyond
        MOST_COMBINED are not weighed against each other, the soonest is taken."""
        weighed: list[list[Member]] = []
        count = 1
        for choice in choices:
            possible = [each for each in choice if each.delay.days < NEVER]
            if count * len(possible) > MOST_COMBINED:
                possible = [min(possible, key=lambda each: each.delay.days)]
            count *= len(possible)
            weighed.append(possible)
        for picked in itertools.product(*weighed):
            yield Exchange(fitted, stand_in, (own, *picked), self.hours_per_day)

    def unit_supply(
        self, part: str, stand_in: StandIn | None, load_bearing: bool, cores: int = 1
    ) -> Supply:
        """Where the unit itself comes from; `cores` removed units may be repaired."""
        if stand_in is not None:
            return Supply(self.supplies.stand_in_lots(stand_in, load_bearing))
        own = self.supplies.own_lots(part, load_bearing, cores)
        return with_default(own, self.supplies.default_lots(part))

    def companion_menus(self, part: str, load_bearing: bool) -> tuple[Supply, ...]:
        """Where a companion may come from: without substitutes first, then with each set of
        them; a companion brings no core to repair."""
        found = self._menus.get((part, load_bearing))
        if found is None:
            own = self.supplies.own_lots(part, load_bearing, 0)
            defaults = self.supplies.default_lots(part)
            stand_ins = self.supplies.stand_ins(part, load_bearing)
            brought = [self.supplies.stand_in_lots(each, load_bearing) for each in stand_ins]
            sizes = range(min(len(brought), MOST_STAND_INS_MIXED) + 1)
            sets = itertools.chain.from_iterable(
                itertools.combinations(brought, size) for size in sizes
            )
            found = self._menus[part, load_bearing] = tuple(
                with_default([*own, *itertools.chain.from_iterable(each)], defaults)
                for each in sets
            )
        return found


def soonest(exchanges: Iterable[Exchange]) -> Exchange | None:
    """The exchange with the least lead; the earlier one listed wins a tie."""
    return min(exchanges, key=lambda each: each.lead_days, default=None)


def _certain(rows: Iterable[Companion]) -> dict[str, dict[str, int]]:
    found: dict[str, dict[str, int]] = {}
    for row in rows:
        if row.chance >= CERTAIN:
            found.setdefault(row.part, {})[row.companion] = row.qty
    return found
