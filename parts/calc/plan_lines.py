"""A chosen purchase as lines in order of purchase, each with what it saves on top of those above.

Within a group the line that saves most for its money comes first; lines that only pay together,
as the members of a set do, stay together. Groups change nothing for one another, so their lines
are merged by what they save for their money.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from parts.calc.head_starts import Started
from parts.calc.plan_groups import Group
from parts.calc.plan_options import Option, Options
from parts.calc.plan_prices import last_order_day
from parts.calc.plan_terms import PlanTerms
from parts.records.plan_answers import HEAD_START, LAST_BUY, SPARE, PlanLine, Purchase

# so many purchases are all weighed anew after each
FEW = 12


@dataclass(frozen=True, slots=True)
class _Saving:
    """A purchase with its money and what it saves on top of those before it."""

    purchase: Purchase
    cost: float
    days: float
    money: float


def lines_of(terms: PlanTerms, chosen: Iterable[tuple[Options, Option]]) -> tuple[PlanLine, ...]:
    """The lines of a plan, one option of each group."""
    blocks: list[list[_Saving]] = []
    for options, option in chosen:
        purchases = list(_purchases(options, option))
        if purchases:
            blocks += _blocks(_in_order(options.group, purchases))
    blocks.sort(key=lambda block: (-_worth(block), -sum(each.money for each in block)))
    return tuple(_line(terms, saving) for block in blocks for saving in block)


def _purchases(options: Options, option: Option) -> Iterator[Purchase]:
    terms = options.group.terms
    for each, at in zip(options.buyables, option.state, strict=True):
        amount = each.amounts[at]
        if amount.price is not None:
            action = LAST_BUY if each.last_buy else SPARE
            yield Purchase(amount.price.part, action, amount.units)
        if amount.started is not None:
            part = terms.made_by(each.name)[0]
            for name in amount.started.named:
                yield Purchase(part, HEAD_START, 1, each.name, name)


class _Spent:
    """What a group costs and leaves with some purchases of its plan made."""

    def __init__(self, group: Group) -> None:
        self.group = group

    def cost(self, purchases: Sequence[Purchase]) -> float:
        terms = self.group.terms
        cost = sum(started.cost for started in self._starts(purchases).values())
        for each in purchases:
            price = None if each.action == HEAD_START else terms.price(each.part)
            cost += 0.0 if price is None else price.cost(each.qty)
        return cost

    def exposure(self, purchases: Sequence[Purchase]) -> tuple[float, float]:
        units: dict[str, int] = {}
        for each in purchases:
            if each.action != HEAD_START:
                pool = self.group.terms.of(each.part).restock.pool
                units[pool] = units.get(pool, 0) + each.qty
        return self.group.exposure(units, self._starts(purchases))

    def _starts(self, purchases: Sequence[Purchase]) -> dict[str, Started]:
        names: dict[str, list[str]] = {}
        for each in purchases:
            if each.action == HEAD_START:
                names.setdefault(each.route or "", []).append(each.operation or "")
        terms = self.group.terms
        return {route: terms.head_starts(route).started(some) for route, some in names.items()}


def _in_order(group: Group, purchases: Sequence[Purchase]) -> list[_Saving]:
    """Always the purchase that saves most for its money on top of those before it.

    Among many, a purchase is weighed anew only when it comes to the head.
    """
    spent = _Spent(group)
    found: list[_Saving] = []
    made: list[Purchase] = []
    before, paid = spent.exposure(made), 0.0

    def saving(purchase: Purchase) -> _Saving:
        days, money = spent.exposure([*made, purchase])
        cost = spent.cost([*made, purchase]) - paid
        return _Saving(purchase, cost, before[0] - days, before[1] - money)

    left = [saving(each) for each in purchases]
    while left:
        if len(left) <= FEW:
            left = [saving(each.purchase) for each in left]
        left.sort(key=lambda each: -_worth([each]))
        best = saving(left.pop(0).purchase)
        if left and _worth([best]) < _worth([left[0]]):
            left.append(best)
            continue
        found.append(best)
        made.append(best.purchase)
        before, paid = (before[0] - best.days, before[1] - best.money), paid + best.cost
    return found


def _worth(block: Sequence[_Saving]) -> float:
    cost, money = sum(each.cost for each in block), sum(each.money for each in block)
    if cost <= 0.0:
        return float("inf") if money > 0.0 else 0.0
    return money / cost


def _blocks(savings: Iterable[_Saving]) -> list[list[_Saving]]:
    """Lines that pay only together as one block, so that blocks pay less and less."""
    found: list[list[_Saving]] = []
    for saving in savings:
        block = [saving]
        while found and _worth(found[-1]) < _worth(block):
            block = [*found.pop(), *block]
        found.append(block)
    return found


def _line(terms: PlanTerms, saving: _Saving) -> PlanLine:
    purchase = saving.purchase
    price = None if purchase.action == HEAD_START else terms.price(purchase.part)
    return PlanLine(
        part=purchase.part,
        action=purchase.action,
        qty=purchase.qty,
        unit_price=saving.cost if price is None else price.unit_price,
        cost=saving.cost,
        order_by=terms.snapshot.today
        if price is None or purchase.action != LAST_BUY
        else last_order_day(terms.market, price, terms.calendar),
        saves_days=saving.days,
        saves_cost=saving.money,
        supplier=None if price is None else price.supplier,
        route=purchase.route,
        operation=purchase.operation,
        yearly=0.0 if price is None else price.yearly * purchase.qty,
    )
