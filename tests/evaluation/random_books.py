"""Small site books made by chance, valid by construction, that touch every rule of the reckoning.

A seed makes the same book each time. Days are drawn with odd decimals so that two ways seldom
fall on the same day. Nothing here is taken from a real site.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from random import Random
from typing import Any

from parts.records.book import Book
from parts.records.catalogue import Companion, Part, PartClass, Substitute
from parts.records.site import Setting
from parts.records.stock import Movement, Reservation
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Notice, Offer, Operation, Order, Supplier

TODAY = date(2026, 11, 25)


def random_book(seed: int) -> Book:
    return _Maker(Random(seed)).book  # noqa: S311 - tests, not secrets


class _Maker:
    """Fills a book file by file, each from what the files before it hold."""

    def __init__(self, rng: Random) -> None:
        self.rng = rng
        self.book = Book()
        self.parts = [f"P{number}" for number in range(rng.randint(4, 9))]
        self.suppliers = [f"S{number}" for number in range(rng.randint(1, 4))]
        self.cranes = [f"C{number}" for number in range(rng.randint(1, 3))]
        self._site()
        self._catalogue()
        self._suppliers()
        self._routes()
        self._offers()
        self._notices()
        self._orders()
        self._stock()
        for crane in self.cranes:
            self._crane(crane, retired=False)
        if self.chance(0.5):
            self._crane("OLD", retired=True)

    def chance(self, share: float) -> bool:
        return self.rng.random() < share

    def maybe(self, share: float, value: Any) -> Any:
        return value if self.chance(share) else None

    def days(self, most: float) -> float:
        return round(self.rng.uniform(0.5, most), 3)

    def on(self, earliest: int, latest: int) -> date:
        return TODAY + timedelta(days=self.rng.randint(earliest, latest))

    def add(self, file: str, row: Any) -> None:
        self.book[file].append(row)

    def _site(self) -> None:
        settings = {
            "donors": self.rng.choice(["yes", "no"]),
            "hours_per_day": self.rng.choice(["8", "16", "24"]),
            "working_week": self.rng.choice(["1111100", "1111110", "1111111"]),
            "default_exchange_hours": self.rng.choice(["8", "12.5"]),
        }
        for key, value in settings.items():
            if self.chance(0.7):
                self.add("site", Setting(key=key, value=value))

    def _catalogue(self) -> None:
        self.add("classes", PartClass(part_class="gears", lead_days=self.days(200)))
        self.add("classes", PartClass(part_class="odd"))
        for part in self.parts:
            self.add(
                "parts",
                Part(
                    part=part,
                    part_class=self.rng.choice(["gears", "gears", "odd", None]),
                    last_buy_on=self.maybe(0.2, self.on(-40, 300)),
                    last_ship_on=self.maybe(0.2, self.on(-10, 300)),
                    default_route=self.maybe(0.15, f"R-{part}"),
                    default_lead_days=self.maybe(0.3, self.days(250)),
                ),
            )
        pairs = [(a, b) for a in self.parts for b in self.parts]
        for part, companion in self.rng.sample(pairs, min(5, len(pairs))):
            self.add(
                "companions",
                Companion(
                    part=part,
                    companion=companion,
                    qty=self.rng.choice([1, 1, 2]),
                    chance=self.rng.choice([1.0, 1.0, 1.0, 0.3]),
                ),
            )
        self._one_of_a_pair(pairs)

    def _one_of_a_pair(self, pairs: list[tuple[str, str]]) -> None:
        seen: set[frozenset[str]] = set()
        for part, substitute in self.rng.sample(pairs, 4):
            pair = frozenset((part, substitute))
            if len(pair) == 2 and pair not in seen:
                seen.add(pair)
                self.add(
                    "substitutes",
                    Substitute(
                        part=part,
                        substitute=substitute,
                        extra_hours=self.rng.choice([0.0, 2.5, 40.25]),
                        both_ways=self.chance(0.4),
                        approval=self.maybe(0.5, "engineer 12"),
                    ),
                )

    def _suppliers(self) -> None:
        for supplier in self.suppliers:
            self.add("suppliers", Supplier(supplier=supplier, active=self.chance(0.85)))

    def _routes(self) -> None:
        for part in self.parts:
            if self.chance(0.5) or self.book["parts"][self.parts.index(part)].default_route:
                for row in self._operations(f"R-{part}"):
                    self.add("routes", row)

    def _operations(self, route: str) -> Iterator[Operation]:
        names = [f"op{number}" for number in range(self.rng.randint(1, 6))]
        for number, name in enumerate(names):
            before = self.rng.sample(names[:number], self.rng.randint(0, min(2, number)))
            low, likely, high = sorted(self.days(60) for _ in range(3))
            yield Operation(
                route=route,
                operation=name,
                after="+".join(before) or None,
                low=self.maybe(0.7, low),
                likely=likely,
                high=self.maybe(0.7, high),
                unit=self.rng.choice(["d", "d", "wd", "wk"]),
                ahead=self.rng.choice([True, False, None]),
                ahead_cost=self.maybe(0.5, 100.0),
                ahead_lasts=self.rng.choice([True, False, None, None]),
                done=self.chance(0.3),
            )

    def _offers(self) -> None:
        routed = {row.route for row in self.book["routes"]}
        seen: set[tuple[str, str, str, str | None]] = set()
        for _ in range(self.rng.randint(4, 3 * len(self.parts))):
            part = self.rng.choice(self.parts)
            supplier, kind = self.rng.choice(self.suppliers), self._offer_kind()
            route = f"R-{part}" if f"R-{part}" in routed else None
            if kind == "repair" or (kind != "made" and self.chance(0.7)):
                route = None
            key = (supplier, part, kind, route)
            if key in seen:
                continue
            seen.add(key)
            low, likely, high = sorted(self.days(90) for _ in range(3))
            blank = route is not None and self.chance(0.6)
            self.add(
                "offers",
                Offer(
                    supplier=supplier,
                    part=part,
                    kind=kind,
                    low=self.maybe(0.7, low) if not blank else None,
                    likely=None if blank else likely,
                    high=self.maybe(0.7, high) if not blank else None,
                    unit=self.rng.choice(["d", "d", "wd", "wk"]),
                    min_qty=self.rng.choice([1, 1, 5]),
                    quoted_on=self.maybe(0.7, self.on(-900, 20)),
                    valid_until=self.maybe(0.5, self.on(-300, 100)),
                    route=route,
                    approval=self.maybe(0.5, "engineer 7"),
                ),
            )

    def _offer_kind(self) -> str:
        return self.rng.choice(["new", "new", "made", "used", "repair"])

    def _notices(self) -> None:
        seen = set()
        for _ in range(self.rng.randint(0, 8)):
            row = Notice(
                part=self.rng.choice(self.parts),
                supplier=self.rng.choice([None, *self.suppliers]),
                notice_on=self.on(-400, 5),
                kind=self.rng.choice(["discontinuance", "discontinuance", "change", None]),
                last_buy_on=self.maybe(0.7, self.on(-60, 200)),
                last_ship_on=self.maybe(0.6, self.on(-30, 250)),
            )
            key = (row.part, row.supplier, row.notice_on, row.kind)
            if key not in seen:
                seen.add(key)
                self.add("notices", row)

    def _orders(self) -> None:
        for number in range(self.rng.randint(0, 12)):
            ordered_on = self.on(-400, -20)
            received = self.chance(0.5)
            self.add(
                "orders",
                Order(
                    order=f"O{number}",
                    supplier=self.rng.choice(self.suppliers),
                    part=self.rng.choice(self.parts),
                    qty=self.rng.randint(1, 3),
                    ordered_on=ordered_on,
                    quoted_days=self.maybe(0.8, self.rng.choice([0.0, self.days(500)])),
                    due_on=self.maybe(0.5, self.on(-30, 200)),
                    received_on=ordered_on + timedelta(days=self.rng.randint(0, 420))
                    if received
                    else None,
                ),
            )

    def _stock(self) -> None:
        """A ledger that no store of any part leaves below zero at the end of a day."""
        keys = iter(range(1, 10_000))
        for part in self.parts:
            if self.chance(0.35):
                continue
            other = self.rng.choice(["quarantine", "in_repair"])
            lots = [self.maybe(0.6, self.on(-50, 400)) for _ in range(3)]
            for store in self.rng.sample(["main", "yard", None], 2):
                self._ledger(part, store, other, lots, keys)
            if self.chance(0.4):
                self.add(
                    "reservations",
                    Reservation(
                        part=part,
                        qty=self.rng.randint(1, 2),
                        for_="job",
                        released_on=self.maybe(0.4, self.on(-20, 20)),
                    ),
                )

    def _ledger(
        self, part: str, store: str | None, other: str, lots: list[date | None], keys: Iterator[int]
    ) -> None:
        held, day = 0, -300
        undoable: list[Movement] = []
        for _ in range(self.rng.randint(1, 7)):
            day += self.rng.randint(0, 60)
            key = f"m{next(keys):05}"
            row = self._undo(undoable) or self._in_or_out(part, other, lots, held)
            row = {**row, "date": TODAY + timedelta(days=day), "key": key}
            movement = Movement(part=part, store=store, **row)
            held += movement.qty
            if movement.qty < 0:
                # A receipt whose units may have gone can no longer be taken back from its lot.
                undoable[:] = [earlier for earlier in undoable if earlier.qty < 0]
            if movement.reverses is None:
                undoable.append(movement)
            self.add("movements", movement)

    def _undo(self, undoable: list[Movement]) -> dict[str, Any] | None:
        if not undoable or self.chance(0.8):
            return None
        undone = self.rng.choice(undoable)
        undoable.remove(undone)
        return {"qty": -undone.qty, "kind": "reversal", "reverses": undone.key}

    def _in_or_out(
        self, part: str, other: str, lots: list[date | None], held: int
    ) -> dict[str, Any]:
        condition = self.rng.choice([None, None, "usable", other])
        named = self.maybe(0.4, self.rng.choice(lots))
        if held and self.chance(0.45):
            qty = -self.rng.randint(1, held)
            return {"qty": qty, "kind": "issue", "condition": condition, "expires_on": named}
        orders = [row.order for row in self.book["orders"] if row.part == part]
        return {
            "qty": self.rng.randint(1, 2),
            "kind": "receipt",
            "condition": condition,
            "expires_on": self.rng.choice(lots),
            "order": self.maybe(0.6, self.rng.choice(orders)) if orders else None,
        }

    # Structure ----------------------------------------------------------------------------------

    def _crane(self, crane: str, retired: bool) -> None:
        self.add(
            "cranes",
            Crane(
                crane=crane,
                bay=self.rng.choice(["A", "A", "B", None]),
                retire_on=self.on(-200, 0) if retired else self.maybe(0.2, self.on(1, 900)),
                down_cost_per_day=self.maybe(0.8, float(self.rng.randint(100, 9000))),
                cover_share=self.rng.choice([0.0, 0.25, 0.6]),
            ),
        )
        roots = [f"A{number}" for number in range(self.rng.randint(2, 4))]
        trees = [list(self._tree(crane, root, None, 0)) for root in roots]
        for number, tree in enumerate(trees):
            later = [name for other in trees[number + 1 :] for name in other]
            for name in tree:
                self._own_needs(crane, name, later)
        self._functions(crane, [name for tree in trees for name in tree])

    def _tree(self, crane: str, name: str, parent: str | None, depth: int) -> Iterator[str]:
        inner = self.rng.randint(0, 3) if depth < 2 else 0
        no_part = self.chance(0.2)
        self.add(
            "positions",
            Position(
                crane=crane,
                position=name,
                parent=parent,
                part=None if no_part else self.rng.choice(self.parts),
                qty=self.rng.choice([1, 1, 2]),
                exchange_hours=self.maybe(0.8, self.days(60)),
                load_bearing=self.chance(0.2),
            ),
        )
        yield name
        for number in range(inner):
            yield from self._tree(crane, f"{name}.{number}", name, depth + 1)

    def _needs_rows(self, crane: str, item: str, wanted: list[str]) -> None:
        """Some hard, the rest in one or two groups."""
        hard = [name for name in wanted if self.chance(0.35)]
        grouped = [name for name in wanted if name not in hard]
        for name in hard:
            self.add("needs", Need(crane=crane, item=item, needs=name))
        cut = self.rng.randint(0, len(grouped))
        for group, members in (("g1", grouped[:cut]), ("g2", grouped[cut:])):
            if members:
                least = self.rng.randint(1, len(members))
                for name in members:
                    self.add(
                        "needs",
                        Need(crane=crane, item=item, needs=name, group=group, at_least=least),
                    )

    def _own_needs(self, crane: str, name: str, later: list[str]) -> None:
        """Rows of a position: some of its own children, some positions of later assemblies."""
        if self.chance(0.6):
            return
        children = [
            row.position
            for row in self.book["positions"]
            if row.crane == crane and row.parent == name
        ]
        wanted = [child for child in children if self.chance(0.7)]
        wanted += self.rng.sample(later, min(len(later), self.rng.randint(0, 1)))
        self._needs_rows(crane, name, wanted)

    def _functions(self, crane: str, positions: list[str]) -> None:
        functions: list[str] = []
        for number in range(self.rng.randint(1, 3)):
            name = f"function {number}"
            share = self.rng.choice([1.0, 1.0, 0.5, 0.3])
            self.add("functions", Function(crane=crane, function=name, lost_share=share))
            wanted = self.rng.sample(positions, min(len(positions), self.rng.randint(1, 4)))
            wanted += self.rng.sample(functions, self.rng.randint(0, min(1, len(functions))))
            self._needs_rows(crane, name, wanted)
            functions.append(name)
