"""Small sites made by chance, in which all that a plan may buy can be tried one by one.

They touch what makes a plan hard: sets, chances, assemblies, pools, lots, closing dates, operations
ahead, shelf life, foreign money. A seed makes the same site each time; nothing is a real site.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from itertools import count, product
from random import Random
from typing import Any

from parts.calc.buying.plan_pricing import Pricing
from parts.calc.buying.plan_terms import PlanTerms
from parts.calc.ranking.exposures import Exposures
from parts.records.catalogue import Companion, Part, Substitute
from parts.records.plan_answers import HEAD_START, Priced, Purchase
from parts.records.site import Setting
from parts.records.snapshot import Snapshot
from parts.records.stock import Movement
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Currency, Offer, Operation, Supplier
from parts.services.risks import exposures
from tests.calc.small_snapshot import TODAY, snapshot_with

MOST_PARTS = 4
MOST_UNITS = 3
MIDDLE = (60, 146)


def random_site(seed: int) -> Snapshot:
    maker = _Maker(Random(seed))  # noqa: S311 - tests, not secrets
    maker.site()
    maker.family("", MOST_PARTS)
    return maker.snapshot()


def middle_site(seed: int) -> Snapshot:
    """Sixty to a hundred and fifty parts, in families that share nothing but the money."""
    rng = Random(seed)  # noqa: S311 - tests, not secrets
    maker = _Maker(rng)
    maker.site()
    enough, families = rng.randint(*MIDDLE), count()
    while len(maker.files.get("parts", ())) < enough:
        maker.family(f"F{next(families):02}-", MOST_PARTS)
    return maker.snapshot()


def exposed(snapshot: Snapshot) -> Exposures:
    return exposures(snapshot)


class _Maker:
    """Adds family after family of parts, and the cranes that use them, to one site."""

    def __init__(self, rng: Random) -> None:
        self.rng = rng
        self.files: dict[str, list[Any]] = {"suppliers": [Supplier(supplier="S")]}
        self.parts: list[str] = []

    def snapshot(self) -> Snapshot:
        return snapshot_with(today=TODAY, **self.files)

    def site(self) -> None:
        self._add("site", Setting(key="currency", value="EUR"))
        self._add("site", Setting(key="holding_rate", value=self.rng.choice(["0", "0.2", "0.5"])))
        self._add("currencies", Currency(currency="USD", rate=0.9, dated=TODAY))

    def family(self, name: str, most_parts: int) -> None:
        rng = self.rng
        self.parts = [f"{name}P{number}" for number in range(rng.randint(2, most_parts))]
        for part in self.parts:
            self._part(part)
        for part, other in zip(self.parts, self.parts[1:], strict=False):
            if rng.random() < 0.4:
                self._add("companions", Companion(part=part, companion=other,
                                                  qty=rng.choice([1, 1, 2]),
                                                  chance=rng.choice([1.0, 1.0, 0.4])))  # fmt: skip
            elif rng.random() < 0.2:
                self._add("substitutes", Substitute(part=part, substitute=other, both_ways=True))
        for crane in [f"{name}C{number}" for number in range(rng.randint(1, 2))]:
            self._crane(crane)

    def _add(self, file: str, row: Any) -> None:
        self.files.setdefault(file, []).append(row)

    def _part(self, part: str) -> None:
        rng = self.rng
        closes = TODAY + timedelta(days=200) if rng.random() < 0.2 else None
        self._add("parts", Part(
            part=part, last_buy_on=closes,
            unit_cost=rng.choice([None, 700.0]),
            default_lead_days=rng.choice([None, 400.0]),
            shelf_life_months=rng.choice([None, None, None, 60.0]),
            care_per_year=rng.choice([0.0, 0.0, 40.0]),
        ))  # fmt: skip
        if rng.random() < 0.6:
            self._add("offers", Offer(
                supplier="S", part=part, likely=float(rng.randint(5, 200)),
                unit_price=rng.choice([None, float(rng.randint(100, 4000))]),
                currency=rng.choice([None, "EUR", "USD"]),
                order_cost=rng.choice([0.0, 150.0]), min_qty=rng.choice([1, 1, 1, 2]),
            ))  # fmt: skip
        else:
            self._made(part)
        if rng.random() < 0.4:
            self._add("movements", Movement(date=TODAY, part=part, qty=rng.randint(1, 2),
                                            kind="opening", key=part))  # fmt: skip

    def _made(self, part: str) -> None:
        rng = self.rng
        route = f"route of {part}"
        for number in range(rng.randint(2, 3)):
            ahead = rng.random() < 0.7
            self._add("routes", Operation(
                route=route, operation=f"step {number}",
                after=f"step {number - 1}" if number and rng.random() < 0.7 else None,
                likely=float(rng.randint(5, 80)), ahead=ahead,
                ahead_cost=float(rng.randint(50, 600)) if ahead else None,
                ahead_lasts=rng.choice([None, False]),
            ))  # fmt: skip
        self._add("offers", Offer(supplier="S", part=part, kind="made", route=route,
                                  unit_price=float(rng.randint(300, 5000))))  # fmt: skip

    def _crane(self, crane: str) -> None:
        rng = self.rng
        self._add("cranes", Crane(crane=crane, down_cost_per_day=float(rng.randint(100, 3000)),
                                  cover_share=rng.choice([0.0, 0.5])))  # fmt: skip
        self._add("functions", Function(crane=crane, function="lift",
                                        lost_share=rng.choice([1.0, 0.6])))  # fmt: skip
        group = rng.random() < 0.3
        for number in range(rng.randint(1, 3)):
            name = f"A{number}"
            self._position(crane, name, None)
            self._add("needs", Need(crane=crane, item="lift", needs=name,
                                    group="either" if group else None,
                                    at_least=1 if group else None))  # fmt: skip
            if rng.random() < 0.5:
                for inside in range(rng.randint(1, 2)):
                    self._position(crane, f"{name}.{inside}", name)

    def _position(self, crane: str, name: str, parent: str | None) -> None:
        rng = self.rng
        self._add("positions", Position(
            crane=crane, position=name, parent=parent, part=rng.choice(self.parts),
            exchange_hours=float(rng.randint(1, 60)), load_bearing=rng.random() < 0.05,
            failures_per_year=rng.choice([0.05, 0.3, 1.0, 2.5]),
        ))  # fmt: skip


def every_purchase(exposed: Exposures) -> Iterator[tuple[tuple[Purchase, ...], Priced]]:
    """All that can be bought, up to a few units of each part, weighed one by one."""
    terms = PlanTerms(exposed)
    pricing = Pricing(terms)
    things: list[list[tuple[Purchase, ...]]] = []
    for part in exposed.snapshot.parts:
        price = terms.price(part)
        if price is not None:
            action = "last_buy" if terms.of(part).restock.last_buy else "spare"
            lots = [qty for qty in range(1, MOST_UNITS + 1) if qty >= price.min_qty]
            things.append([(), *((Purchase(part, action, qty),) for qty in lots)])
    for route in sorted({row.route for row in exposed.snapshot.routes}):
        made = terms.made_by(route)
        names = sorted(terms.head_starts(route).closures)
        sets = product(*([False, True] for _ in names))
        things.append([
            tuple(Purchase(made[0], HEAD_START, 1, route, name)
                  for name, wanted in zip(names, each, strict=True) if wanted)
            for each in sets
        ] if made else [()])  # fmt: skip
    for picks in product(*things):
        purchases = tuple(purchase for pick in picks for purchase in pick)
        yield purchases, pricing.price(purchases)
