"""Random movements by the million against a dictionary: balances, usable stock, sums of all.

Each step is decided by the storeroom's own rules and entered by the ledger itself, in batches on
one connection; the service around both, which reads what the rules need, is left out unless it is
asked for. Steps that must be refused are among them, and steps undone. Prints differences.

Usage: model.py [--service] [MOVEMENTS] [SEED]
"""

from __future__ import annotations

import datetime
import random
import sys
import time
from collections import Counter
from contextlib import closing
from typing import Any

from parts.calc.stockroom.facts import Facts
from parts.calc.stockroom.steps import booking_of
from parts.calc.stockroom.undoing import reversals
from parts.errors import StepRefused, UnknownName
from parts.records.catalogue import Part
from parts.records.stock import Movement
from parts.records.stock_steps import Step, StepKind
from parts.services import copies, stock
from parts.store import ledger
from parts.store.books import read_rows
from parts.store.database import Connection, Database
from tests.faults.scratch import scratch
from tests.faults.shelves import Shelves
from tests.services.storeroom import KEEPER, TODAY, fill

A_PART = 40  # movements of one part, on average
BATCH = 5_000
SERVICE = "--service"
STORES = ("main", "crib")
CONDITIONS = ("usable", "usable", "usable", "quarantine", "in_repair")
KINDS: tuple[StepKind, ...] = (
    "receive",
    "receive",
    "return",
    "issue",
    "issue",
    "issue",
    "scrap",
    "transfer",
    "count",
)


class Site:
    """Parts by the thousand, what was entered of each, and the dictionary beside it."""

    def __init__(self, movements: int, seed: int) -> None:
        self.rng = random.Random(seed)  # noqa: S311 - to be repeated, not to be secret
        names = [f"P{number}" for number in range(max(2, movements // A_PART))]
        self.parts = {name: Part(part=name, shelf_life_months=12.0 if number % 3 == 0 else None)
                      for number, name in enumerate(names)}  # fmt: skip
        self.aging = frozenset(n for n, part in self.parts.items() if part.shelf_life_months)
        self.names = names
        self.entered: dict[str, list[Movement]] = {name: [] for name in names}
        self.shelves = {name: Shelves(self.aging) for name in names}
        self.days = dict.fromkeys(names, TODAY)
        self.steps = 0

    def step(self) -> tuple[bool, tuple[Movement, ...]]:
        """Take a random step: whether rules and dictionary agree on it, and what it enters."""
        part = self.rng.choice(self.names)
        self.days[part] += datetime.timedelta(self.rng.choice((0, 0, 0, 1, 30)))
        self.steps += 1
        done = self.shelves[part].done
        undone = self.rng.choice(list(done)) if done and self.rng.random() < 0.1 else None
        if undone is None:
            step = self._random(part)
            expected = self.shelves[part].take(step)
        else:
            expected = self.shelves[part].undo(undone, f"k{self.steps}")
        try:
            rows = self._booked(part, step) if undone is None else self._undone(part, undone)
        except (StepRefused, UnknownName, IndexError):
            # the last two: a count that found no difference enters nothing to undo
            return not expected, ()
        self.entered[part].extend(rows)
        return expected, rows

    def _booked(self, part: str, step: Step) -> tuple[Movement, ...]:
        return booking_of(step, self.facts(part, self.entered[part])).movements

    def _undone(self, part: str, key: str) -> tuple[Movement, ...]:
        new_key = f"k{self.steps}"
        return reversals(key, self.entered[part], new_key=new_key, date=self.days[part])

    def facts(self, part: str, movements: list[Movement]) -> Facts:
        return Facts(part=self.parts[part], today=self.days[part], movements=movements)

    def _random(self, part: str) -> Step:
        rng = self.rng
        kind = rng.choice(KINDS)
        store = rng.choice(STORES)
        facts: dict[str, Any] = {"qty": rng.choice((1, 1, 2, 3, 5, 8, 0)), "note": "worn"}
        if kind == "count":
            if part in self.aging:
                kind = "receive"
            else:
                facts["qty"] += self.shelves[part].held(part, store, back=True)
        if kind in ("receive", "return"):
            facts["condition"] = rng.choice(CONDITIONS)
            if part in self.aging:
                facts["expires_on"] = self.days[part] + datetime.timedelta(rng.randint(-5, 300))
        if kind in ("scrap", "transfer"):
            facts["condition"] = rng.choice(CONDITIONS)
        if kind == "transfer":
            facts |= {"to_store": rng.choice(STORES), "to_condition": rng.choice(CONDITIONS)}
        return Step(
            key=f"k{self.steps}", kind=kind, date=self.days[part], part=part, store=store, **facts
        )


class ServedSite(Site):
    """The same, each step through the service, in a transaction of its own."""

    def __init__(self, movements: int, seed: int, at: str) -> None:
        super().__init__(movements, seed)
        self.at = at

    def _booked(self, part: str, step: Step) -> tuple[Movement, ...]:
        return stock.post(self.at, step, KEEPER, self.days[part]).movements

    def _undone(self, part: str, key: str) -> tuple[Movement, ...]:
        new_key = f"k{self.steps}"
        return stock.undo(self.at, key, KEEPER, self.days[part], new_key=new_key).movements


def main(arguments: list[str]) -> int:
    given = [int(each) for each in arguments if each != SERVICE]
    number, seed = (*given, *(1_000_000, 1)[len(given) :])
    begun = time.monotonic()
    told = compared(number, seed, service=SERVICE in arguments)
    seconds = time.monotonic() - begun
    print(", ".join(f"{count:,} {what}" for what, count in told.items()), f"({seconds:.0f} s)")
    return 1 if told["differences"] else 0


def compared(movements: int, seed: int, *, service: bool = False) -> Counter[str]:
    """Enter so many random movements and count where program and dictionary differ."""
    told = Counter({"movements": 0, "steps": 0, "refused or empty": 0, "differences": 0})
    with scratch() as folder:
        at = str(folder / "site.db")
        site = ServedSite(movements, seed, at) if service else Site(movements, seed)
        fill(at, {"movements": [], "parts": list(site.parts.values())})
        with closing(Database.open(at)) as opened:
            while told["movements"] < movements:
                if service:
                    told["movements"] += len(_step(site, told))
                else:
                    with opened.writing() as connection:
                        _enter_a_batch(connection, site, min(BATCH, movements), told)
            with opened.reading() as connection:
                told["differences"] += _differences(connection, site)
        told["steps"] = site.steps
        told["differences"] += len(copies.verify(at).damage)
    return told


def _enter_a_batch(connection: Connection, site: Site, size: int, told: Counter[str]) -> None:
    batch: list[Movement] = []
    while len(batch) < size:
        batch += _step(site, told)
    ledger.append(connection, batch, KEEPER.stamp())
    told["movements"] += len(batch)


def _step(site: Site, told: Counter[str]) -> tuple[Movement, ...]:
    agreed, rows = site.step()
    told["differences"] += not agreed
    told["refused or empty"] += not rows
    return rows


def _differences(connection: Connection, site: Site) -> int:
    """Balances, sums of the journal and usable units that are not those of the dictionary."""
    wanted: dict[tuple[str, str], int] = {}
    for shelves in site.shelves.values():
        wanted |= shelves.balances()
    kept = {(each.part, each.store): each.qty for each in ledger.balances(connection) if each.qty}
    summed: Counter[tuple[str, str]] = Counter()
    entered: dict[str, list[Movement]] = {name: [] for name in site.names}
    for row in read_rows(connection, "movements"):
        summed[row.part, row.store or ""] += row.qty
        entered[row.part].append(row)
    found = len(wanted.items() ^ kept.items())
    found += len(wanted.items() ^ {at: qty for at, qty in summed.items() if qty}.items())
    for part, rows in entered.items():
        facts = site.facts(part, rows)
        usable = {store: sum(qty for _, qty in facts.usable_lots(store)) for store in STORES}
        wanted_here = site.shelves[part].usable(part, site.days[part])
        found += len(wanted_here.items() ^ {s: qty for s, qty in usable.items() if qty}.items())
    return found


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
