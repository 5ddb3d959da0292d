"""What lies in a storeroom, kept by a dictionary: what the ledger is compared with.

Says of each step, before the program is asked, whether it will be taken and what it moves. Written
from the rules alone. Every unit of a part that ages has its date, and a count finds no less than
what is held back, so that it is never in doubt which lot a unit came from.
"""

from __future__ import annotations

import datetime
from collections import defaultdict
from dataclasses import dataclass, field

from parts.records.stock_steps import Step

Lot = tuple[str, str, datetime.date | None, str]
"""Part, store, last day of use, condition."""
Moves = list[tuple[Lot, int]]


@dataclass
class Shelves:
    """Lots and quantities; `done` are the steps that were taken, by key."""

    aging: frozenset[str]
    lots: dict[Lot, int] = field(default_factory=lambda: defaultdict(int))
    done: dict[str, Moves] = field(default_factory=dict)
    undone: set[str] = field(default_factory=set)

    def take(self, step: Step) -> bool:
        """Take a step; False = it must be refused."""
        moves = getattr(self, f"_{step.kind}")(step)
        if moves is None:
            return False
        self._book(step.key, moves)
        return True

    def undo(self, key: str, new_key: str) -> bool:
        """Undo a step; False = it must be refused."""
        moves = self.done.get(key)
        if not moves or key in self.undone:
            return False
        back = [(lot, -qty) for lot, qty in moves]
        if any(self.lots[lot] + qty < 0 for lot, qty in back):
            return False
        self.undone |= {key, new_key}  # what undoes is not undone itself
        self._book(new_key, back)
        return True

    def balances(self) -> dict[tuple[str, str], int]:
        found: dict[tuple[str, str], int] = defaultdict(int)
        for (part, store, _, _), qty in self.lots.items():
            found[part, store] += qty
        return {account: qty for account, qty in found.items() if qty}

    def usable(self, part: str, today: datetime.date) -> dict[str, int]:
        """Units of a part that may be used, by store."""
        found: dict[str, int] = defaultdict(int)
        for (name, store, until, condition), qty in self.lots.items():
            if name == part and condition == "usable" and (until is None or until >= today):
                found[store] += qty
        return {store: qty for store, qty in found.items() if qty}

    def held(self, part: str, store: str, *, back: bool = False) -> int:
        """Units of a part in a store, or those alone that are held back."""
        return sum(
            qty
            for (name, place, _, condition), qty in self.lots.items()
            if (name, place) == (part, store) and (condition != "usable" or not back)
        )

    def _book(self, key: str, moves: Moves) -> None:
        self.done[key] = moves
        for lot, qty in moves:
            self.lots[lot] += qty

    def _receive(self, step: Step) -> Moves | None:
        condition = step.condition or "usable"
        ages = condition == "usable" and step.part in self.aging
        if ages and (step.expires_on is None or step.expires_on < step.date):
            return None
        return self._put(step, condition)

    def _return(self, step: Step) -> Moves | None:
        return None if step.condition is None else self._put(step, step.condition)

    def _put(self, step: Step, condition: str) -> Moves | None:
        lot = (step.part, step.store or "", step.expires_on, condition)
        return [(lot, step.qty)] if step.qty > 0 else None

    def _issue(self, step: Step) -> Moves | None:
        return self._out(step, "usable", step.date)

    def _scrap(self, step: Step) -> Moves | None:
        return self._out(step, step.condition or "usable", None) if step.note else None

    def _transfer(self, step: Step) -> Moves | None:
        condition = step.condition or "usable"
        to_store, to_condition = step.to_store or step.store, step.to_condition or condition
        away = self._out(step, condition, None)
        if away is None or (to_store, to_condition) == (step.store, condition):
            return None
        put = [((part, to_store or "", until, to_condition), -qty)
               for (part, _, until, _), qty in away]  # fmt: skip
        return [*away, *put]

    def _count(self, step: Step) -> Moves | None:
        lot = (step.part, step.store or "", None, "usable")
        difference = step.qty - self.held(step.part, step.store or "")
        return [(lot, difference)] if difference else []

    def _out(self, step: Step, condition: str, fit_on: datetime.date | None) -> Moves | None:
        """Units that leave, what expires first before the rest; `fit_on` leaves out what is past
        its life then."""
        lots = [
            lot
            for lot, qty in self.lots.items()
            if (lot[0], lot[1], lot[3]) == (step.part, step.store, condition)
            and qty > 0
            and (fit_on is None or lot[2] is None or lot[2] >= fit_on)
        ]
        left, moves = step.qty, []
        for lot in sorted(lots, key=lambda lot: lot[2] or datetime.date.max):
            taken = min(left, self.lots[lot])
            if taken:
                moves.append((lot, -taken))
            left -= taken
        return moves if step.qty > 0 and left == 0 else None
