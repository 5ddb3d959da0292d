"""A plan as lines in order of purchase, each with what it saves on top of those above.

Lines that only pay together, as the members of a set do, stay together. Groups change nothing for
one another, so their lines are merged by what they save for their money.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from parts.calc.buying.plan_prices import last_order_day
from parts.calc.buying.plan_savings import Saving, worth_of
from parts.calc.buying.plan_terms import PlanTerms
from parts.records.plan_answers import HEAD_START, LAST_BUY, PlanLine


def lines_of(terms: PlanTerms, groups: Iterable[Sequence[Saving]]) -> tuple[PlanLine, ...]:
    """The lines of a plan from the purchases of each group in their order."""
    blocks = [block for savings in groups for block in _blocks(savings)]
    blocks.sort(key=lambda block: (-worth_of(block), -sum(each.money for each in block)))
    return tuple(_line(terms, saving) for block in blocks for saving in block)


def _blocks(savings: Iterable[Saving]) -> list[list[Saving]]:
    """Lines that pay only together as one block, so that blocks pay less and less."""
    found: list[list[Saving]] = []
    for saving in savings:
        block = [saving]
        while found and worth_of(found[-1]) < worth_of(block):
            block = [*found.pop(), *block]
        found.append(block)
    return found


def _line(terms: PlanTerms, saving: Saving) -> PlanLine:
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
