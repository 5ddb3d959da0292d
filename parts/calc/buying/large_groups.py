"""A group of hundreds or thousands of parts: its options are the steps of one walk through it.

The walk's figures are near those of a full reckoning, and by that a plan is weighed in the end.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np

from parts.calc.buying.large_walks import Step, Walk
from parts.calc.buying.plan_groups import Group
from parts.calc.buying.plan_options import Option, efficient
from parts.calc.buying.plan_savings import Saving
from parts.calc.waiting.long_run import LongRun


class LargeGroup:
    """One large group; its options are the purchases after each step.

    `before` is the reckoning of all waits when nothing is bought.
    """

    is_exact = False

    def __init__(self, group: Group, before: LongRun) -> None:
        self.group = group
        self.before = before

    @property
    def buyables(self) -> Sequence[Step]:
        """What can be bought; empty where nothing is worth it."""
        return self.steps

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        return tuple(Walk(self.group, self.before).steps())

    @cached_property
    def _options(self) -> tuple[Option, ...]:
        restore = np.nan_to_num(self.before.restore_days[self.group.rows.row])
        days, money = float(self.group.rows.days @ restore), float(self.group.rows.money @ restore)
        found = [Option((0,), 0.0, 0.0, days, money)]
        for number, step in enumerate(self.steps, 1):
            last = found[-1]
            cost, yearly = last.cost + step.cost, last.yearly + step.yearly
            days, money = last.days - step.days, last.money - step.money
            found.append(Option((number,), cost, yearly, days, money))
        return tuple(found)

    @property
    def nothing(self) -> Option:
        """What is left when nothing is bought."""
        return self._options[0]

    @cached_property
    def efficient(self) -> tuple[Option, ...]:
        """Purchases that no cheaper one of the walk beats."""
        return tuple(efficient(self._options))

    def savings(self, option: Option) -> list[Saving]:
        """The purchases of an option, one for each part or operation, at its first step.

        What the members of a set save together is shared by what they cost.
        """
        found: dict[tuple[str, str | None, str | None], Saving] = {}
        for step in self.steps[: option.state[0]]:
            for purchase, cost in zip(step.purchases, step.costs, strict=True):
                share = cost / step.cost if step.cost > 0.0 else 1.0 / len(step.costs)
                key = purchase.part, purchase.route, purchase.operation
                more = Saving(purchase, cost, share * step.days, share * step.money)
                found[key] = _added(found[key], more) if key in found else more
        return list(found.values())


def _added(saving: Saving, more: Saving) -> Saving:
    purchase = replace(saving.purchase, qty=saving.purchase.qty + more.purchase.qty)
    return Saving(
        purchase, saving.cost + more.cost, saving.days + more.days, saving.money + more.money
    )
