"""Write a site book of a large invented fleet, to measure with: the same seed, the same files.

    python scripts/make_fleet.py FOLDER [--cranes 1000] [--seed 1]

A crane has 400 positions in 20 assemblies, some with assemblies inside, and 60 needs; ten cranes
are built alike. There are 20 parts a crane. Figures are drawn, not taken from any site.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from random import Random
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from parts.exchange.writer import write_site_book
from parts.records.book import Book
from parts.records.catalogue import Companion, Part, PartClass, PartNumber, Substitute
from parts.records.history import Duty, Failure, Observation
from parts.records.site import Setting
from parts.records.stock import Movement, Reservation
from parts.records.structure import DUTY_GROUPS, Crane, Function, Need, Position
from parts.records.supply import Currency, Notice, Offer, Operation, Order, Supplier

TODAY = date(2026, 11, 25)
ALIKE = 10
PARTS_A_CRANE = 20
ASSEMBLIES, PLAIN, INNER, INSIDE = 20, 7, 3, 3  # 20 x (1 + 7 + 3 x (1 + 3)) positions = 400
# function, and the share of the crane's work that is lost without it
FUNCTIONS = {"lift": 1.0, "travel along": 1.0, "travel across": 0.7, "see and be seen": 0.2}
CLASSES = ("gear", "bearing", "brake", "rope", "wheel", "motor", "drive", "switchgear", "sensor")
STEPS = ("draw", "cast", "rough out", "harden", "grind", "inspect")


def fleet_book(cranes: int, seed: int) -> Book:
    """A valid book of so many cranes."""
    return _Fleet(cranes, Random(seed)).book  # noqa: S311 - figures to measure with, not secrets


class _Fleet:
    """Fills a book file by file; each draws on what the files before it hold."""

    def __init__(self, cranes: int, rng: Random) -> None:
        self.rng = rng
        self.book = Book()
        self.cranes = [f"C{number:04}" for number in range(cranes)]
        self.parts = [f"P{number:06}" for number in range(PARTS_A_CRANE * cranes)]
        self.suppliers = [f"S{number:03}" for number in range(20 + cranes // 10)]
        self.outline = list(_outline())
        self._site()
        self._suppliers()
        for number, part in enumerate(self.parts):
            self._part(part, number)
        for start in range(0, cranes, ALIKE):
            self._alike(start // ALIKE, self.cranes[start : start + ALIKE])
        for part in self.parts:
            self._orders_and_stock(part)

    def add(self, file: str, row: Any) -> None:
        self.book[file].append(row)

    def chance(self, share: float) -> bool:
        return self.rng.random() < share

    def maybe(self, share: float, value: Any) -> Any:
        return value if self.chance(share) else None

    def ago(self, most_days: int, least_days: int = 1) -> date:
        return TODAY - timedelta(days=self.rng.randint(least_days, most_days))

    def days(self, most: int) -> tuple[float, float, float]:
        low, likely, high = sorted(float(self.rng.randint(1, most)) for _ in range(3))
        return low, likely, high

    # Catalogue and supply -----------------------------------------------------------------------

    def _site(self) -> None:
        settings = {"currency": "EUR", "donors": "yes", "records_from": "2016-01-01"}
        for key, value in settings.items():
            self.add("site", Setting(key=key, value=value))
        self.add("currencies", Currency(currency="USD", rate=0.9, dated=self.ago(30)))
        for number, name in enumerate(CLASSES):
            self.add(
                "classes",
                PartClass(
                    part_class=name,
                    failures_per_year=0.01 * (number + 1),
                    lead_days=15.0 * (number + 1),
                    life_basis="years",
                    life_shape=2.0,
                    life_scale=25.0 + number,
                ),
            )

    def _suppliers(self) -> None:
        for supplier in self.suppliers:
            self.add("suppliers", Supplier(supplier=supplier, active=self.chance(0.9)))

    def _part(self, part: str, number: int) -> None:
        routed = self.chance(0.02)
        self.add(
            "parts",
            Part(
                part=part,
                description=f"{CLASSES[number % len(CLASSES)]} {number}",
                part_class=CLASSES[number % len(CLASSES)],
                unit_cost=float(self.rng.randint(10, 20_000)),
                introduced=self.ago(15_000),
                drawing=self.maybe(0.6, self.chance(0.7)),
                default_lead_days=self.maybe(0.3, float(self.rng.randint(5, 200))),
            ),
        )
        self.add("part_numbers", PartNumber(part=part, number=f"{self.rng.randrange(10**8):08}"))
        if routed:
            self._route(part)
        self._offers(part, routed)
        if number and self.chance(0.1):
            self.add("companions", Companion(part=part, companion=self.parts[number - 1]))
        if number % 2 and self.chance(0.1):
            self.add(
                "substitutes",
                Substitute(
                    part=part,
                    substitute=self.parts[number - 1],
                    extra_hours=float(self.rng.randint(0, 16)),
                    approval=self.maybe(0.7, "engineer 3"),
                ),
            )
        if self.chance(0.02):
            kind = self.rng.choice(["change", "discontinuance"])
            self.add("notices", Notice(part=part, notice_on=self.ago(900), kind=kind))

    def _route(self, part: str) -> None:
        steps = STEPS[: self.rng.randint(3, len(STEPS))]
        for number, step in enumerate(steps):
            low, likely, high = self.days(40)
            self.add(
                "routes",
                Operation(
                    route=f"R-{part}",
                    operation=step,
                    after="+".join(self.rng.sample(steps[:number], min(number, 1))) or None,
                    low=low,
                    likely=likely,
                    high=high,
                    unit=self.rng.choice(["d", "wd"]),
                    ahead=number == 0,
                    ahead_cost=500.0,
                    ahead_lasts=number == 0,
                ),
            )

    def _offers(self, part: str, routed: bool) -> None:
        kinds = self.rng.choices(["new", "new", "used", "repair"], k=self.rng.randint(0, 3))
        offered = dict(zip(self.rng.sample(self.suppliers, len(kinds)), kinds, strict=True))
        for supplier, kind in offered.items():
            low, likely, high = self.days(180)
            self.add(
                "offers",
                Offer(
                    supplier=supplier,
                    part=part,
                    kind=kind,
                    unit_price=float(self.rng.randint(10, 20_000)),
                    low=low,
                    likely=likely,
                    high=high,
                    quoted_on=self.ago(1200),
                    approval=self.maybe(0.3, "engineer 7"),
                ),
            )
        if routed:
            supplier, route = self.rng.choice(self.suppliers), f"R-{part}"
            self.add("offers", Offer(supplier=supplier, part=part, kind="made", route=route))

    # Cranes -------------------------------------------------------------------------------------

    def _alike(self, family: int, cranes: list[str]) -> None:
        """Cranes built alike: most parts are this family's, some are found everywhere."""
        own = ALIKE * PARTS_A_CRANE
        of_family = self.parts[family * own : (family + 1) * own]
        fitted = [
            self.rng.choice(of_family if self.chance(0.8) else self.parts) for _ in self.outline
        ]
        bearing = [self.chance(0.1) for _ in self.outline]
        for crane in cranes:
            self._crane(crane, f"bay {family}")
            self._positions(crane, fitted, bearing)
            self._needs(crane)
            self._history(crane, fitted)

    def _crane(self, crane: str, bay: str) -> None:
        self.add(
            "cranes",
            Crane(
                crane=crane,
                bay=bay,
                capacity_t=float(self.rng.choice([5, 10, 20, 50])),
                duty_group=self.rng.choice(DUTY_GROUPS),
                commissioned=self.ago(18_000, 3_000),
                hours_per_year=float(self.rng.randint(200, 6_000)),
                down_cost_per_day=float(self.rng.randint(100, 20_000)),
                cover_share=self.rng.choice([0.0, 0.0, 0.25, 0.5]),
            ),
        )

    def _positions(self, crane: str, fitted: list[str], bearing: list[bool]) -> None:
        for (position, parent), part, load_bearing in zip(
            self.outline, fitted, bearing, strict=True
        ):
            self.add(
                "positions",
                Position(
                    crane=crane,
                    position=position,
                    parent=parent,
                    part=self.maybe(0.99, part),
                    qty=self.rng.choice([1, 1, 1, 2]),
                    installed=self.maybe(0.5, self.ago(9_000)),
                    exchange_hours=self.maybe(0.7, float(self.rng.randint(1, 40))),
                    load_bearing=load_bearing,
                ),
            )

    def _needs(self, crane: str) -> None:
        """Each function needs three assemblies and one of two; each assembly one of two twins."""
        a_function = ASSEMBLIES // len(FUNCTIONS)
        for number, (function, lost_share) in enumerate(FUNCTIONS.items()):
            self.add("functions", Function(crane=crane, function=function, lost_share=lost_share))
            needed = [_assembly(number * a_function + place) for place in range(a_function)]
            for name in needed[:-2]:
                self.add("needs", Need(crane=crane, item=function, needs=name))
            self._either(crane, function, needed[-2:])
        for number in range(ASSEMBLIES):
            assembly = _assembly(number)
            self._either(crane, assembly, [f"{assembly}.1", f"{assembly}.2"])

    def _either(self, crane: str, item: str, names: list[str]) -> None:
        for name in names:
            self.add("needs", Need(crane=crane, item=item, needs=name, group="either", at_least=1))

    def _history(self, crane: str, fitted: list[str]) -> None:
        for mechanism in ("hoist", "crab", "bridge"):
            group, used = self.rng.choice(DUTY_GROUPS), float(self.rng.randint(0, 9_000))
            self.add("duty", Duty(crane=crane, mechanism=mechanism, group=group, hours_used=used))
        seen = set()
        for _ in range(30):
            place, failed_on = self.rng.randrange(len(self.outline)), self.ago(3_600)
            if (place, failed_on) in seen:
                continue
            seen.add((place, failed_on))
            back = failed_on + timedelta(days=self.rng.randint(0, 60))
            self.add(
                "failures",
                Failure(
                    crane=crane,
                    position=self.outline[place][0],
                    failed_on=failed_on,
                    restored_on=back if back <= TODAY else None,
                    part=fitted[place],
                ),
            )
        self.add(
            "observations",
            Observation(
                crane=crane, position=_assembly(0), date=self.ago(700), what="conductors", value="4"
            ),
        )

    # Orders and stock ---------------------------------------------------------------------------

    def _orders_and_stock(self, part: str) -> None:
        held = 0
        if self.chance(0.4):
            held = self.rng.randint(1, 4)
            self._move(part, self.ago(4_000, 3_001), held, "opening")
        for number in range(self.rng.choice([0, 0, 1, 2, 4])):
            ordered_on = self.ago(3_000)
            received_on = ordered_on + timedelta(days=self.rng.randint(3, 250))
            order = Order(
                order=f"O-{part}-{number}",
                supplier=self.rng.choice(self.suppliers),
                part=part,
                qty=1,
                ordered_on=ordered_on,
                quoted_days=self.maybe(0.9, float(self.rng.randint(3, 200))),
                received_on=received_on if received_on <= TODAY else None,
            )
            self.add("orders", order)
            if order.received_on is not None:
                self._move(part, order.received_on, 1, "receipt", order.order)
                if self.chance(0.8):
                    self._move(part, order.received_on, -1, "issue")
        if held and self.chance(0.05):
            self.add("reservations", Reservation(part=part, qty=1, for_="overhaul"))

    def _move(self, part: str, day: date, qty: int, kind: str, order: str | None = None) -> None:
        key = f"m{len(self.book['movements']) + 1:07}"
        self.add(
            "movements",
            Movement(date=day, part=part, qty=qty, kind=kind, store="main", order=order, key=key),
        )


def _assembly(number: int) -> str:
    return f"A{number:02}"


def _outline() -> Iterator[tuple[str, str | None]]:
    """Each position of a crane with the one that it is in."""
    for number in range(ASSEMBLIES):
        assembly = _assembly(number)
        yield assembly, None
        for place in range(1, PLAIN + 1):
            yield f"{assembly}.{place}", assembly
        for letter in "KLM"[:INNER]:
            yield f"{assembly}.{letter}", assembly
            for place in range(1, INSIDE + 1):
                yield f"{assembly}.{letter}.{place}", f"{assembly}.{letter}"


def main(arguments: list[str]) -> int:
    words = argparse.ArgumentParser(description="Write a site book of a large invented fleet.")
    words.add_argument("folder", type=Path)
    words.add_argument("--cranes", type=int, default=1000)
    words.add_argument("--seed", type=int, default=1)
    wanted = words.parse_args(arguments)
    write_site_book(fleet_book(wanted.cranes, wanted.seed), wanted.folder)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
