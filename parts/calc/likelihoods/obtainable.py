"""How long a part can still be bought: the chance of it after so many years.

Known dates win; else years on the market, conditional on those it has stood, by the class. Ways
that do not hang on the maker (made to a drawing, repaired) stand while their supplier does.
Nothing is said of how long that is, nor of stock in house.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from math import exp, inf, isinf

from parts.calc.failing.fleet import Fleet
from parts.calc.getting.supply import Supplies
from parts.calc.getting.ways import Way
from parts.calc.likelihoods.years import DAYS_A_YEAR, years_between
from parts.records.supply import Offer

OUTLOOK_YEARS = (1, 3, 5, 10)
JUMP = 1.5
JUMP_WITHIN_YEARS = 30


def still_on_market(years: float, age_years: float, shape: float, scale_years: float) -> float:
    """Chance that what has stood on the market for `age_years` stands `years` longer.

    exp((a / scale)^shape - ((a + t) / scale)^shape), the conditional survival of a Weibull.
    Holds for shape and scale above 0.
    """
    reached = (age_years / scale_years) ** shape
    return exp(reached - ((age_years + years) / scale_years) ** shape)


@dataclass(frozen=True, slots=True)
class Fate:
    """One way's chance to stand: until a known day, by a curve, or for good.

    `until_days` counts from today, inf = for good; the curve (years stood, shape, scale) counts
    where it is None; neither = not known.
    """

    source: str
    record: str
    until_days: float | None = None
    curve: tuple[float, float, float] | None = None

    def stands(self, years: float) -> float | None:
        if self.until_days is not None:
            return float(years * DAYS_A_YEAR <= self.until_days)
        if self.curve is not None:
            return still_on_market(years, *self.curve)
        return None

    @property
    def words(self) -> str:
        if self.until_days is not None:
            if self.until_days < 0.0:
                return f"no more, for {-self.until_days:g} days"
            return "for good" if isinf(self.until_days) else f"for {self.until_days:g} days"
        if self.curve is not None:
            age, shape, scale = self.curve
            return f"{age:.1f} years on the market, Weibull shape {shape:g} scale {scale:g} years"
        return "not known: no year of introduction, or no market life of the class"


def obtainable(fates: Iterable[Fate], years: float) -> float | None:
    """Chance that at least one way stands after `years`; None where that hangs on one not known.

    1 - product of (1 - S) over the ways.
    """
    gone = 1.0
    known = True
    for fate in fates:
        stands = fate.stands(years)
        if stands is None:
            known = False
        else:
            gone *= 1.0 - stands
    return 1.0 - gone if known or gone == 0.0 else None


def jump_year(
    fates: Iterable[Fate], restores: Iterable[tuple[float | None, float | None]], today: date
) -> int | None:
    """Calendar year in which restoring some crane is expected to take half as long again.

    Args:
        fates: the ways of the part.
        restores: for each crane, expected restore days with today's ways and with the defaults
            alone; None = not known.
        today: years are whole ones from here, 30 at most.
    Method: the first t with p x today's + (1 - p) x default's >= 1.5 x today's, p = chance that
        the part is obtainable after t years. Where nothing would be known without today's ways,
        t is the year in which the last of them is certainly gone.
    """
    ways = tuple(fates)
    pairs = [(now, inf if then is None else then) for now, then in restores if now is not None]
    for years in range(1, JUMP_WITHIN_YEARS + 1):
        chance = obtainable(ways, years)
        if chance is not None and any(_jumps(chance, now, then) for now, then in pairs):
            return today.year + years
    return None


def _jumps(chance: float, now_days: float, then_days: float) -> bool:
    if isinf(then_days):
        return chance == 0.0
    expected = chance * now_days + (1.0 - chance) * then_days
    return expected >= JUMP * now_days and expected > now_days


class Outlook:
    """The ways by which parts of a snapshot can be bought, and how long each stands."""

    def __init__(self, fleet: Fleet, supplies: Supplies) -> None:
        self.snapshot = fleet.snapshot
        self.fleet = fleet
        self.supplies = supplies

    def obtainable(self, part: str) -> dict[int, float | None]:
        """Chance that the part can be bought after 1, 3, 5 and 10 years."""
        fates = self.fates(part)
        return {years: obtainable(fates, years) for years in OUTLOOK_YEARS}

    def fates(self, part: str) -> tuple[Fate, ...]:
        """One fate of all that comes from the market, and one of each other usable way."""
        bearing = part in self.fleet.bearing_load_in_the_pool
        offers = [way for way in self.supplies.usable(part, bearing) if way.is_offer]
        market = [way for way in offers if way.kind in ("new", "used")]
        return (
            *((self._of_market(part, market),) if market else ()),
            *(self._of_maker(way) for way in offers if self._stands_apart(way)),
        )

    def _stands_apart(self, way: Way) -> bool:
        if way.kind == "repair":
            return way.part in self.fleet.live_parts
        has_papers = way.route is not None or bool(self.snapshot.parts[way.part].drawing)
        return way.kind == "made" and has_papers

    def _of_maker(self, way: Way) -> Fate:
        closing = self._closing_days(way.part, way.supplier, way.kind)
        return Fate(f"{way.kind} by {way.source}", way.record, inf if closing is None else closing)

    def _of_market(self, part: str, ways: list[Way]) -> Fate:
        """All new offers share one fate, and used ones share it: the latest day that is known,
        if none is open."""
        new = [way for way in ways if way.kind == "new"]
        closing = {way.record: self._closing_days(part, way.supplier) for way in new}
        if not new:
            closing[ways[0].record] = self._closing_days(part)
        latest = max(closing, key=lambda record: _or_open(closing[record]))
        source = "new" if new else "used"
        if closing[latest] is not None:
            return Fate(source, latest, closing[latest])
        curve = self._curve(part)
        record = f"parts {part}" if curve is None else f"classes {self._class(part)}"
        return Fate(source, record, curve=curve)

    def _closing_days(
        self, part: str, supplier: str | None = None, kind: str = "new"
    ) -> float | None:
        """Days until such an offer closes; None = no day is known."""
        offer = Offer(part=part, supplier=supplier or "", kind=kind)
        closing = self.supplies.market.closing_days(offer)
        days = [float((day - self.snapshot.today).days) for day in closing if day is not None]
        return min(days, default=None)

    def _class(self, part: str) -> str:
        return self.snapshot.parts[part].part_class or ""

    def _curve(self, part: str) -> tuple[float, float, float] | None:
        introduced = self.snapshot.parts[part].introduced
        row = self.snapshot.classes.get(self._class(part))
        if introduced is None or row is None or not row.market_shape or not row.market_scale:
            return None
        years = max(0.0, years_between(introduced, self.snapshot.today))
        return years, row.market_shape, row.market_scale


def _or_open(days: float | None) -> float:
    return inf if days is None else days
