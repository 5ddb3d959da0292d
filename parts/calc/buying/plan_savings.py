"""What each purchase of one group saves on top of those before it.

The purchase that saves most for its money comes first. Knows nothing of other groups or budgets.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from parts.calc.buying.buyables import Amount, Buyable
from parts.calc.buying.head_starts import Started
from parts.calc.buying.plan_groups import Group
from parts.calc.buying.plan_terms import PlanTerms
from parts.records.plan_answers import HEAD_START, LAST_BUY, SPARE, Purchase

# so many purchases are all weighed anew after each
FEW = 12


@dataclass(frozen=True, slots=True)
class Saving:
    """A purchase with its money and what it saves on top of those before it."""

    purchase: Purchase
    cost: float
    days: float
    money: float


def purchases_of(terms: PlanTerms, buyable: Buyable, amount: Amount) -> Iterator[Purchase]:
    """An amount as lines: units of one part, or the operations that take all others along."""
    if amount.price is not None:
        action = LAST_BUY if buyable.last_buy else SPARE
        yield Purchase(amount.price.part, action, amount.units)
    if amount.started is not None:
        part = terms.made_by(buyable.name)[0]
        for name in amount.started.named:
            yield Purchase(part, HEAD_START, 1, buyable.name, name)


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


def in_order(group: Group, purchases: Sequence[Purchase]) -> list[Saving]:
    """Always the purchase that saves most for its money on top of those before it.

    Among many, a purchase is weighed anew only when it comes to the head.
    """
    spent = _Spent(group)
    found: list[Saving] = []
    made: list[Purchase] = []
    before, paid = spent.exposure(made), 0.0

    def saving(purchase: Purchase) -> Saving:
        days, money = spent.exposure([*made, purchase])
        cost = spent.cost([*made, purchase]) - paid
        return Saving(purchase, cost, before[0] - days, before[1] - money)

    left = [saving(each) for each in purchases]
    while left:
        if len(left) <= FEW:
            left = [saving(each.purchase) for each in left]
        left.sort(key=lambda each: -worth_of([each]))
        best = saving(left.pop(0).purchase)
        if left and worth_of([best]) < worth_of([left[0]]):
            left.append(best)
            continue
        found.append(best)
        made.append(best.purchase)
        before, paid = (before[0] - best.days, before[1] - best.money), paid + best.cost
    return found


def worth_of(block: Sequence[Saving]) -> float:
    """What purchases save together for their money."""
    cost, money = sum(each.cost for each in block), sum(each.money for each in block)
    if cost <= 0.0:
        return float("inf") if money > 0.0 else 0.0
    return money / cost


def shared_out(groups: Sequence[list[Saving]], days: float, money: float) -> None:
    """Share days and money that all these purchases save besides, by what each is said to save."""
    all_days = sum(each.days for group in groups for each in group)
    all_money = sum(each.money for group in groups for each in group)
    if all_days <= 0.0 or all_money <= 0.0:
        return
    for group in groups:
        group[:] = [
            Saving(
                each.purchase,
                each.cost,
                each.days * (1.0 + days / all_days),
                each.money * (1.0 + money / all_money),
            )
            for each in group
        ]
