"""When so many units of a part are together: ways taken in order of their day.

A `Supply` is the usable ways of one part, for one kind of place, sorted; it answers the day on
which the q-th unit is there and which way brings it. Knows nothing of positions or exchanges.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from parts.calc.getting.ways import KIND_ORDER, Market, Way
from parts.records.catalogue import Substitute
from parts.records.snapshot import Snapshot

NEVER = float("inf")
# the record of a way, and whether it is the part of it that comes after a finished blank
LotKey = tuple[str, bool]
NOTHING_GONE: Mapping[LotKey, float] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Lot:
    """So many units of one way on one day; `further` marks units after a finished blank."""

    days: float
    qty: float
    way: Way
    further: bool = False
    stand_in: StandIn | None = None

    @property
    def key(self) -> LotKey:
        """What the lot draws on, whoever asks; a finished blank lies there once for its route."""
        if self.qty == 1.0 and self.way.route is not None and not self.further:
            return f"blank of route {self.way.route.name}", False
        return self.way.record, self.further


@dataclass(frozen=True, slots=True)
class StandIn:
    """A substitute as seen from the part that it stands in for."""

    part: str
    extra_hours: float
    approval: str | None
    record: str


@dataclass(frozen=True, slots=True)
class Delay:
    """The day on which the units are together, the lots that are drawn and how much of each."""

    days: float
    drawn: tuple[Lot, ...] = ()
    taken: tuple[float, ...] = ()

    @property
    def assumed(self) -> bool:
        return any(lot.way.assumed for lot in self.drawn)

    @property
    def setting(self) -> Lot:
        """The lot that sets the day."""
        return max(self.drawn, key=lambda lot: lot.days)

    def draws(self) -> Iterator[tuple[LotKey, float]]:
        """What is drawn, by lot."""
        for lot, taken in zip(self.drawn, self.taken, strict=True):
            yield lot.key, taken


class Supply:
    """Usable lots in the order in which they are taken."""

    __slots__ = ("lots",)

    def __init__(self, lots: Iterable[Lot]) -> None:
        self.lots = sorted(lots, key=_taking_order)

    def delay(self, qty: int, gone: Mapping[LotKey, float] = NOTHING_GONE) -> Delay:
        """When `qty` units are together, after others have drawn `gone` from the lots."""
        drawn: list[Lot] = []
        taken: list[float] = []
        wanted = float(qty)
        for lot in self.lots:
            here = min(wanted, lot.qty - gone.get(lot.key, 0.0) if gone else lot.qty)
            if here <= 0.0:
                continue
            drawn.append(lot)
            taken.append(here)
            wanted -= here
            if wanted <= 0.0:
                return Delay(max(each.days for each in drawn), tuple(drawn), tuple(taken))
        return Delay(NEVER)


def _taking_order(lot: Lot) -> tuple[float, int, bool, bool, str]:
    kind = KIND_ORDER.index(lot.way.kind)
    return lot.days, kind, lot.stand_in is not None, lot.further, lot.way.source


def lots_of(ways: Iterable[Way], qty_of_repair: int, stand_in: StandIn | None = None) -> list[Lot]:
    """Ways as lots. A finished blank serves one unit, once for a route; the rest comes later."""
    lots: list[Lot] = []
    blanks: dict[str, Lot] = {}
    for way in ways:
        qty = NEVER if way.qty is None else float(way.qty)
        if way.kind == "repair":
            qty = float(qty_of_repair)
        if qty <= 0:
            continue
        if way.route is None or way.further_days == way.days:
            lots.append(Lot(way.days, qty, way, stand_in=stand_in))
            continue
        lots.append(Lot(way.further_days, qty, way, further=True, stand_in=stand_in))
        first = Lot(way.days, 1.0, way, stand_in=stand_in)
        if way.route.name not in blanks or way.days < blanks[way.route.name].days:
            blanks[way.route.name] = first
    return _one_core_each([*lots, *blanks.values()])


def _one_core_each(lots: list[Lot]) -> list[Lot]:
    """All repair ways together give one unit for each core: the fastest does them."""
    repairs = [lot for lot in lots if lot.way.kind == "repair"]
    if len(repairs) <= 1:
        return lots
    fastest = min(repairs, key=_taking_order)
    return [lot for lot in lots if lot.way.kind != "repair" or lot is fastest]


class Supplies:
    """The supplies of a snapshot, by part and kind of place, each put together once."""

    def __init__(self, snapshot: Snapshot, market: Market) -> None:
        self.snapshot = snapshot
        self.market = market
        self._stand_ins = _stand_ins(snapshot.substitutes)

    def usable(self, part: str, load_bearing: bool) -> list[Way]:
        """A part's own ways that count at such a place."""
        return [
            way
            for way in self.market.ways(part)
            if way.why_not is None
            and not (load_bearing and way.why_not_on_load_bearing() is not None)
        ]

    def stand_ins(self, part: str, load_bearing: bool) -> list[StandIn]:
        """Substitutes that count at such a place."""
        return [
            each
            for each in self.all_stand_ins(part)
            if not load_bearing or each.approval is not None
        ]

    def all_stand_ins(self, part: str) -> tuple[StandIn, ...]:
        return tuple(self._stand_ins.get(part, ()))

    def own_lots(self, part: str, load_bearing: bool, qty_of_repair: int) -> list[Lot]:
        return lots_of(self.usable(part, load_bearing), qty_of_repair)

    def stand_in_lots(self, stand_in: StandIn, load_bearing: bool) -> list[Lot]:
        """What a substitute brings: its stock, orders and offers, neither repairs nor donors."""
        ways = [
            way
            for way in self.usable(stand_in.part, load_bearing)
            if way.kind not in ("repair", "donor")
        ]
        return lots_of(ways, 0, stand_in)

    def default_lots(self, part: str) -> list[Lot]:
        way = self.market.default(part)
        return [] if way is None else lots_of([way], 0)


def with_default(lots: list[Lot], defaults: list[Lot]) -> Supply:
    """A supply in which the default serves only what the ways do not reach."""
    supply = Supply(lots)
    if not any(lot.qty == NEVER for lot in lots):
        supply.lots += sorted(defaults, key=_taking_order)
    return supply


def _stand_ins(rows: Iterable[Substitute]) -> dict[str, list[StandIn]]:
    """Substitutes by the part that they stand in for, one step; a row written for the pair
    itself comes before one that holds both ways."""
    found: dict[str, dict[str, StandIn]] = {}
    ordered = [(row.part, row.substitute, row) for row in rows]
    ordered += [(row.substitute, row.part, row) for row in rows if row.both_ways]
    for part, stand_in, row in ordered:
        record = f"substitutes {row.part}/{row.substitute}"
        known = found.setdefault(part, {})
        known.setdefault(stand_in, StandIn(stand_in, row.extra_hours, row.approval, record))
    return {part: list(known.values()) for part, known in found.items()}
