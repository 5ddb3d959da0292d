"""Small busy sites made by chance: fleets that fail, shelves that run out, sets, pairs, assemblies.

A seed makes the same site each time. Rates and leads are such that a crane loses some per cent of
its time, and now and then much more. Nothing here is taken from a real site.
"""

from __future__ import annotations

from datetime import date
from random import Random

from parts.records.book import Book
from parts.records.catalogue import Companion, Part, Substitute
from parts.records.snapshot import Snapshot, snapshot_of
from parts.records.stock import Movement
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Offer, Supplier

TODAY = date(2026, 11, 25)


def random_fleet(seed: int) -> Snapshot:
    return _Maker(Random(seed)).snapshot()  # noqa: S311 - tests, not secrets


class _Maker:
    def __init__(self, rng: Random) -> None:
        self.rng, self.book = rng, Book()
        self.busy = rng.choice([0.1, 0.2, 0.4])  # failures a year of a position, about
        self.book["suppliers"].append(Supplier(supplier="S"))
        self.parts = [f"P{number}" for number in range(rng.randint(4, 8))]
        self.assembly = "gearbox"
        for part in (*self.parts, self.assembly):
            self._part(part)
        self._companions()
        if rng.random() < 0.3:
            one, other = rng.sample(self.parts, 2)
            pair = Substitute(part=one, substitute=other, both_ways=True, approval="engineer 3")
            self.book["substitutes"].append(pair)
        for number in range(rng.randint(1, 4)):
            self._crane(f"C{number}")

    def snapshot(self) -> Snapshot:
        return snapshot_of(self.book, TODAY)

    def _part(self, part: str) -> None:
        lead_days = self.rng.uniform(5.0, 150.0)
        part_row = Part(
            part=part,
            failures_per_year=self.busy * self.rng.uniform(0.2, 2.0),
            planned_per_year=self.rng.choice([None, None, self.rng.uniform(0.1, 1.0)]),
            default_lead_days=2.0 * lead_days,
        )
        self.book["parts"].append(part_row)
        if self.rng.random() < 0.9:  # the others cannot be bought again
            self.book["offers"].append(Offer(supplier="S", part=part, kind="new", likely=lead_days))
        stock = self.rng.choice([0, 0, 1, 1, 2])
        if stock:
            self.book["movements"].append(
                Movement(date=TODAY, part=part, qty=stock, kind="opening", key=part)
            )

    def _companions(self) -> None:
        pairs = [(a, b) for a in self.parts for b in self.parts]
        for part, companion in self.rng.sample(pairs, self.rng.randint(0, 4)):
            qty, chance = self.rng.choice([1, 1, 2]), self.rng.choice([1.0, 1.0, 0.4])
            row = Companion(part=part, companion=companion, qty=qty, chance=chance)
            self.book["companions"].append(row)

    def _crane(self, crane: str) -> None:
        self.book["cranes"].append(Crane(crane=crane))
        names = [f"A{number}" for number in range(self.rng.randint(3, 8))]
        for name in names:
            self._position(crane, name, None, self.rng.choice(self.parts))
        if self.rng.random() < 0.5:
            self._position(crane, "box", None, self.assembly)
            for name in ("box shaft", "box gear"):
                self._position(crane, name, "box", self.rng.choice(self.parts))
            names.append("box")
        for number in range(self.rng.randint(1, 2)):
            share = 1.0 if number == 0 else self.rng.choice([1.0, 0.5, 0.3])
            self._function(crane, f"function {number}", share, names)

    def _position(self, crane: str, name: str, parent: str | None, part: str) -> None:
        row = Position(
            crane=crane,
            position=name,
            parent=parent,
            part=part,
            exchange_hours=self.rng.uniform(2.0, 40.0),
        )
        self.book["positions"].append(row)

    def _function(self, crane: str, function: str, share: float, names: list[str]) -> None:
        self.book["functions"].append(Function(crane=crane, function=function, lost_share=share))
        wanted = self.rng.sample(names, self.rng.randint(2, len(names)))
        pair = wanted[:2] if len(wanted) > 2 and self.rng.random() < 0.6 else []
        for name in wanted:
            group, at_least = ("pair", 1) if name in pair else (None, None)
            self.book["needs"].append(
                Need(crane=crane, item=function, needs=name, group=group, at_least=at_least)
            )
