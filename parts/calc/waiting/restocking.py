"""How each part is kept up in the long run: units kept, and the days in which one used is there
again.

Replenished one for one, as soon as a unit is used, by the fastest usable way to buy or make one;
never from stock, orders, donors or a substitute. Parts that stand in for each other both ways are
one pool. No position is named, so the pool must fit everywhere. Knows nothing of demand.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from parts.calc.failing.fleet import Fleet
from parts.calc.getting.supply import Supplies
from parts.calc.getting.ways import Way
from parts.records.snapshot import Snapshot


@dataclass(frozen=True, slots=True)
class Restock:
    """A pool of parts (most often one): what is kept, and how a unit used comes back.

    `lead_days` None = no way and no default is known. `assumed` = no way but a default: the pool
    cannot be bought again; `last_buy` = it can, but only for the last time. `way` is the way that
    sets the lead.
    """

    parts: tuple[str, ...]
    stock: int
    lead_days: float | None
    assumed: bool
    way: Way | None
    records: tuple[str, ...] = ()
    last_buy: bool = False

    @property
    def fixed(self) -> bool:
        """Whether the stock has to last for all who still ask."""
        return self.assumed or self.last_buy

    @property
    def pool(self) -> str:
        """The name by which the pool goes: that of its first part."""
        return self.parts[0]

    @property
    def record(self) -> str:
        return "" if self.way is None else self.way.record


class Restocking:
    """The pools of a snapshot, each put together when asked for."""

    def __init__(self, snapshot: Snapshot, supplies: Supplies, fleet: Fleet) -> None:
        self.snapshot = snapshot
        self.supplies = supplies
        self.fleet = fleet
        self._pools = pools_of(
            (row.part, row.substitute)
            for row in snapshot.substitutes
            if row.both_ways
            and (row.approval is not None or not self._bears(row.part, row.substitute))
        )
        self._found: dict[str, Restock] = {}

    def of(self, part: str) -> Restock:
        """The pool that a part is in."""
        found = self._found.get(part)
        if found is None:
            found = self._put_together(self._pools.get(part, (part,)))
            self._found |= dict.fromkeys(found.parts, found)
        return found

    def _bears(self, *parts: str) -> bool:
        return not self.fleet.bearing_load_in_the_pool.isdisjoint(parts)

    def _put_together(self, parts: tuple[str, ...]) -> Restock:
        kept = [way for part in parts for way in self.supplies.market.ways(part) if _counts(way)]
        ways = [way for part in parts for way in self._again(part)]
        assumed = not ways
        if assumed:
            defaults = [self.supplies.market.default(part) for part in parts]
            ways = [way for way in defaults if way is not None]
        fastest = min(ways, key=lambda way: way.further_days, default=None)
        return Restock(
            parts=parts,
            stock=sum(way.qty or 0 for way in kept),
            lead_days=None if fastest is None else fastest.further_days,
            assumed=assumed,
            way=fastest,
            records=tuple(way.record for way in kept),
        )

    def _again(self, part: str) -> list[Way]:
        """Usable ways to buy or make one more unit; a repair needs a unit that was removed."""
        kinds = {"new", "made", "used"} | ({"repair"} if part in self.fleet.live_parts else set())
        ways = self.supplies.usable(part, self._bears(part))
        return [way for way in ways if way.kind in kinds]


def _counts(way: Way) -> bool:
    """Usable stock, and open orders that are neither overdue nor with a supplier who closed."""
    return way.kind in ("stock", "order") and way.why_not is None


def pools_of(pairs: Iterable[tuple[str, str]]) -> dict[str, tuple[str, ...]]:
    """The pool of each part of these pairs, by name; pairs that share a part are one pool."""
    found: dict[str, set[str]] = {}
    for one, other in pairs:
        pool = found.get(one, {one}) | found.get(other, {other})
        found |= dict.fromkeys(pool, pool)
    return {part: tuple(sorted(pool)) for part, pool in found.items()}
