"""How many of a part to buy while it can still be bought.

Every user's demand lasts until its crane goes; what is bought serves what is asked for after the
stock of today. A unit is worth what its absence would cost: waiting for the next best way, and
that way's price. Where own records teach the part's rate, its uncertainty goes along.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from parts.calc.buying.marginal_units import SHOWN_BEYOND, MarginalUnits, Money
from parts.calc.buying.part_users import PartUsers, User
from parts.calc.buying.remaining_demand import RemainingDemand, TooMuchDemand
from parts.calc.buying.single_period import SinglePeriod
from parts.calc.failing.poles import way_words
from parts.calc.getting.prices import Prices, Purchase, in_site_currency
from parts.calc.getting.ways import Way
from parts.calc.ranking.exposures import Exposures
from parts.calc.waiting.horizons import Horizon
from parts.records.answers import Term
from parts.records.purchase_answers import LastBuyAnswer, LotAnswer, MarginalUnit, OnPaper

MONTHS_A_YEAR = 12.0


@dataclass(frozen=True, slots=True)
class _NextBest:
    """How the part is had once it can no longer be bought new."""

    way: Way
    days: float
    price: float | None

    @property
    def words(self) -> str:
        return f"{way_words(self.way)}, {self.days:.0f} days"


class LastBuys:
    """Last orders of a site's parts."""

    def __init__(self, exposures: Exposures) -> None:
        self.exposures = exposures
        self.snapshot = exposures.snapshot
        self.fleet = exposures.fleet
        self.restocking = exposures.long_run.restocking
        self.supplies = exposures.outage.exchanges.supplies
        self.prices = Prices(self.snapshot, self.supplies, self.fleet)

    def answer(self, part: str, until: datetime.date | None = None) -> LastBuyAnswer:
        """The last order of a part; `until` replaces the day to which demand lasts."""
        asked = PartUsers(self.exposures, until)
        users, horizon = list(asked.of(part)), asked.horizon(part)
        rate = self.exposures.likelihood.rate(part)
        shape = rate.shape if rate is not None and rate.own else None
        demand = RemainingDemand([each.stream for each in users], horizon.years, shape)
        purchase, best = self.prices.cheapest(part, {"new"}), self._next_best(part)
        answer = replace(
            _unreckoned(part, horizon, demand, purchase, best),
            description=self.snapshot.parts[part].description or "",
            rate_uncertain=any(each.stream.uncertain for each in users),
            on_hand=self.restocking.of(part).stock,
            confidence=self.snapshot.site.confidence,
            value_per_unit=self._value(users, best),
            terms=tuple(self._terms(part, users, purchase, best)),
            notes=tuple(self._notes(part, users, horizon, purchase, best)),
        )
        try:
            return self._reckoned(answer, demand, self._why_none(answer))
        except TooMuchDemand:
            return replace(answer, reason="asked for too often to be counted unit by unit")

    def horizon(self, part: str) -> Horizon:
        """How long the part is asked for."""
        return PartUsers(self.exposures).horizon(part)

    def _reckoned(self, answer: LastBuyAnswer, demand: RemainingDemand, why: str) -> LastBuyAnswer:
        """The answer with its quantity, or why there is none, and how long that lasts."""
        on_hand = answer.on_hand
        to_last = max(0, demand.enough(answer.confidence) - on_hand)
        if why or answer.value_per_unit is None or answer.unit_price is None:
            enough = demand.at_most(on_hand)
            return replace(answer, reason=why, chance_enough=enough, units_to_last=to_last)
        site, shelf = self.snapshot.site, self.snapshot.parts[answer.part].shelf_life_months
        money = Money(
            answer.value_per_unit,
            answer.unit_price,
            site.discount_rate,
            site.holding_rate,
            None if shelf is None else shelf / MONTHS_A_YEAR,
        )
        units = MarginalUnits(demand, on_hand, money)
        order_cost = answer.order_cost or 0.0
        quantity = units.quantity(answer.min_qty or 1, order_cost)
        beside = tuple(
            _lot(units, demand, each, order_cost)
            for each in range(max(0, quantity - 1), quantity + 2)
        )
        return replace(
            answer,
            quantity=quantity,
            marginal=_rows(units, quantity),
            beside=beside,
            on_paper=_on_paper(demand, on_hand, money),
            chance_enough=demand.at_most(on_hand + quantity),
            units_to_last=to_last,
            reason="" if quantity else _not_worth_it(units, answer),
        )

    def _why_none(self, answer: LastBuyAnswer) -> str:
        """Why nothing can be reckoned or bought; empty where it can."""
        if answer.horizon_years <= 0.0:
            return "nothing is asked for after that day"
        if answer.supplier is None:
            closed = [
                f"{way.source}: {way.why_not}"
                for way in self.supplies.market.ways(answer.part)
                if way.kind == "new" and way.why_not is not None
            ]
            return "; ".join(["no usable offer of a new one", *closed])
        if answer.rate <= 0.0:
            return "nothing asks for it, as far as is known"
        if answer.unit_price is None:
            return "its price is not known: ask for a quotation"
        if answer.next_best_days is None:
            return "how else it could be had is not known, so what a unit saves is not either"
        return ""

    def _value(self, users: Iterable[User], best: _NextBest | None) -> float | None:
        """What a unit saves that is there when it is asked for, averaged over all units."""
        if best is None:
            return None
        exposed, money, units = self.exposures, 0.0, 0.0
        for each in users:
            units += each.stream.units_per_year
            if each.row is not None:
                a_day = exposed.weights[each.row] * exposed.money_per_lost_day[each.row]
                money += each.uses_per_year * float(a_day)
        return (best.days * money / units if units > 0.0 else 0.0) + (best.price or 0.0)

    def _next_best(self, part: str) -> _NextBest | None:
        """The fastest way that stays: made, used or repaired, or a new one of a part that stands
        in both ways and has no last day; else the default."""
        pool = self.restocking.of(part).parts
        ways = [way for each in pool for way in self._staying(each, each == part)]
        if not ways:
            default = self.supplies.market.default(part)
            return None if default is None else _NextBest(default, default.further_days, None)
        way = min(ways, key=lambda way: way.further_days)
        return _NextBest(way, way.further_days, self._price(way))

    def _staying(self, part: str, itself: bool) -> Iterator[Way]:
        kinds = {"made", "used"} | ({"repair"} if part in self.fleet.live_parts else set())
        bearing = part in self.fleet.bearing_load_in_the_pool
        yield from (way for way in self.supplies.usable(part, bearing) if way.kind in kinds)
        for purchase in () if itself else self.prices.purchases(part, {"new"}):
            if not any(self.supplies.market.closing_days(purchase.offer)):
                yield purchase.way

    def _price(self, way: Way) -> float | None:
        return in_site_currency(self.snapshot, way.price, way.currency)

    @cached_property
    def _unpriced_cranes(self) -> set[str]:
        return {name for name, row in self.snapshot.cranes.items() if not row.down_cost_per_day}

    def _terms(
        self,
        part: str,
        users: Iterable[User],
        purchase: Purchase | None,
        best: _NextBest | None,
    ) -> Iterator[Term]:
        """What the answer rests on, each with its record."""
        for each in users:
            stream = each.stream
            if stream.units_per_year > 0.0:
                years = f"{stream.units_per_year:.3g} a year for {stream.until_years:.1f} years"
                yield Term(each.name, years, each.record)
        for record in self.restocking.of(part).records:
            yield Term("in store or on order", f"{self.restocking.of(part).stock} in all", record)
        if purchase is not None:
            price = "price not known" if purchase.price is None else f"{purchase.price:,.2f} each"
            words = f"{price}, at least {purchase.min_qty}, order {purchase.order_cost:,.2f}"
            yield Term(f"offer of {purchase.supplier}", words, purchase.way.record)
        if best is not None:
            yield Term("next best way", best.words, best.way.record)

    def _notes(
        self,
        part: str,
        users: list[User],
        horizon: Horizon,
        purchase: Purchase | None,
        best: _NextBest | None,
    ) -> Iterator[str]:
        """What has to be said beside the figures."""
        if horizon.assumed:
            yield f"the last user has no date: {horizon.years:g} years are an assumption"
        if best is not None and best.way.assumed:
            yield "the next best way is an assumption"
        if purchase is not None:
            yield from purchase.way.notes
        rows = [each.row for each in users if each.row is not None]
        failures = self.exposures.likelihood.failures_next_year
        if unknown := [row for row in rows if np.isnan(failures[row])]:
            yield f"failures of {len(unknown)} positions are not known and count 0"
        cranes = {self.snapshot.positions.crane[row] for row in rows}
        if uncosted := sorted(cranes & self._unpriced_cranes):
            yield f"no cost a day: lost days of {', '.join(uncosted)} count 0"
        if self.snapshot.parts[part].shelf_life_months is not None:
            yield "a unit that is older than its shelf life saves nothing; the chances leave it out"
        others = [name for name in self.restocking.of(part).parts if name != part]
        if others:
            yield f"reckoned together with {', '.join(others)}, which stand in both ways"


def _unreckoned(
    part: str,
    horizon: Horizon,
    demand: RemainingDemand,
    purchase: Purchase | None,
    best: _NextBest | None,
) -> LastBuyAnswer:
    """What is known before anything is reckoned."""
    return LastBuyAnswer(
        part=part,
        horizon_years=horizon.years,
        horizon_assumed=horizon.assumed,
        rate=demand.units_per_year,
        supplier=None if purchase is None else purchase.supplier,
        unit_price=None if purchase is None else purchase.price,
        min_qty=None if purchase is None else purchase.min_qty,
        order_cost=None if purchase is None else purchase.order_cost,
        next_best=None if best is None else best.words,
        next_best_days=None if best is None else best.days,
    )


def _rows(units: MarginalUnits, quantity: int) -> tuple[MarginalUnit, ...]:
    """Unit by unit, up to a few beyond the last that is worth it or bought."""
    shown = max(units.worth, quantity) + SHOWN_BEYOND
    pairs = zip(units.saving[:shown].tolist(), units.cost[:shown].tolist(), strict=True)
    return tuple(
        MarginalUnit(n, saving, cost, n <= units.worth) for n, (saving, cost) in enumerate(pairs, 1)
    )


def _lot(units: MarginalUnits, demand: RemainingDemand, size: int, order_cost: float) -> LotAnswer:
    lot = units.lot(size, order_cost)
    return LotAnswer(size, lot.saving, lot.cost, lot.gain, demand.at_most(units.on_hand + size))


def _on_paper(demand: RemainingDemand, on_hand: int, money: Money) -> OnPaper | None:
    """The order as one period; None where a unit saves no more than it costs, or costs nothing."""
    short_cost, over_cost = money.value_per_unit - money.price, money.price
    if short_cost <= 0.0 or over_cost <= 0.0:
        return None
    period = SinglePeriod(demand.beyond(on_hand), short_cost, over_cost)
    quantity = period.quantity
    return OnPaper(
        short_cost=short_cost,
        over_cost=over_cost,
        ratio=period.critical_ratio,
        asked=float(period.demand.mean()),
        quantity=int(quantity),
        expected_short=period.expected_short(quantity),
        expected_left=period.expected_left(quantity),
        expected_cost=period.expected_cost(quantity),
    )


def _not_worth_it(units: MarginalUnits, answer: LastBuyAnswer) -> str:
    if units.worth:
        lot = units.lot(max(units.worth, answer.min_qty or 1), answer.order_cost or 0.0)
        return (
            f"the least lot of {lot.units} costs {lot.cost:,.0f} with its order and saves "
            f"{lot.saving:,.0f}"
        )
    saving, cost = float(units.saving[0]), float(units.cost[0])
    held = f" beyond the {answer.on_hand} in store and on order" if answer.on_hand else ""
    return f"the first unit{held} costs {cost:,.0f} and saves {saving:,.0f}"
