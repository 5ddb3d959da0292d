"""How often things fail and are asked for, reckoned slowly and plainly from the records.

Written apart from the program and without its arithmetic: lives one by one, months one by one,
renewals on a fine grid. Rates are a year of 365.25 days.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache

import numpy as np
from scipy.optimize import brentq
from scipy.stats import gamma
from slow import children_of, offer_counts, once_per_snapshot, rows_of

from parts.records.catalogue import Part, PartClass
from parts.records.history import Failure
from parts.records.snapshot import Snapshot
from parts.records.structure import Position
from parts.records.supply import Offer

YEAR = 365.25


def years_between(earlier: date, later: date) -> float:
    return (later - earlier).days / YEAR


def class_of(snapshot: Snapshot, part: Part) -> PartClass:
    return snapshot.classes.get(part.part_class or "") or PartClass(part_class="none")


def live_rows(snapshot: Snapshot, part: str) -> list[Position]:
    return [row for row in rows_of(snapshot) if row.part == part and snapshot.is_live(row.crane)]


def place(snapshot: Snapshot, failure: Failure) -> Position:
    return next(
        row
        for row in rows_of(snapshot)
        if (row.crane, row.position) == (failure.crane, failure.position)
    )


def failures_of_part(snapshot: Snapshot, part: str) -> list[Failure]:
    """A failure that names no part is one of the part that sits there."""
    return [row for row in snapshot.failures if (row.part or place(snapshot, row).part) == part]


# Rates from records -----------------------------------------------------------------------------


@dataclass(frozen=True)
class Rate:
    mean: float
    low: float | None
    high: float | None
    updated: bool


@once_per_snapshot
def rate_of(snapshot: Snapshot, part: str) -> Rate | None:
    """Failures a year of one unit: what is stated or usual, moved by what happened here."""
    row = snapshot.parts[part]
    usual = class_of(snapshot, row)
    prior = row.failures_per_year if row.failures_per_year is not None else usual.failures_per_year
    if prior is None:
        return None
    since = snapshot.site.records_from or min(
        (failure.failed_on for failure in snapshot.failures), default=None
    )
    if since is None:
        return Rate(prior, None, None, updated=False)
    weight = usual.rate_weight
    count = sum(
        failure.failed_on >= since and place(snapshot, failure).failures_per_year is None
        for failure in failures_of_part(snapshot, part)
    )
    unit_years = sum(
        seat.qty * seen_for(snapshot, seat, since)
        for seat in rows_of(snapshot)
        if seat.part == part and seat.failures_per_year is None
    )
    posterior = gamma(weight + count, scale=1 / (weight / prior + unit_years))
    return Rate(posterior.mean(), posterior.ppf(0.05), posterior.ppf(0.95), updated=True)


def seen_for(snapshot: Snapshot, row: Position, since: date) -> float:
    """Years for which the position was there while failures were recorded."""
    crane = snapshot.cranes[row.crane]
    there = crane.commissioned or row.installed
    begin = since if there is None else max(since, there)
    return max(0.0, years_between(begin, min(snapshot.today, crane.retire_on or snapshot.today)))


# Lives ------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Life:
    """A Weibull life in years or running hours."""

    basis: str
    shape: float
    scale: float
    fitted: bool = False

    @property
    def mean(self) -> float:
        return self.scale * math.gamma(1 + 1 / self.shape)


@once_per_snapshot
def life_of(snapshot: Snapshot, part: str) -> Life | None:
    """Fitted, else stated, else that of the class where the part states nothing at all."""
    row = snapshot.parts[part]
    usual = class_of(snapshot, row)
    stated = row.life_basis is not None and row.life_scale is not None
    if row.life_basis is not None:
        found = fitted_life(snapshot, row, usual)
        if found is not None:
            return found
    if stated:
        return Life(row.life_basis or "", row.life_shape or 1.0, row.life_scale or 0.0)
    if row.failures_per_year is None and usual.life_basis and usual.life_scale:
        return Life(usual.life_basis, usual.life_shape or 1.0, usual.life_scale)
    return None


def fitted_life(snapshot: Snapshot, row: Part, usual: PartClass) -> Life | None:
    assert row.life_basis is not None
    lives = [
        life
        for failure in failures_of_part(snapshot, row.part)
        if (life := life_of_failure(snapshot, failure, row.life_basis)) is not None and life > 0
    ]
    if not lives:
        return None
    running: list[float] = []
    for seat in live_rows(snapshot, row.part):
        age = age_of(snapshot, seat, row.life_basis)
        if age is not None and age > 0 and not still_out(snapshot, seat):
            running += [age] * seat.qty
    if len(lives) < 5:
        shape = row.life_shape or usual.life_shape or 1.0
    else:
        shape = likeliest_shape(lives, running)
    total = sum(age**shape for age in lives + running)
    return Life(row.life_basis, shape, (total / len(lives)) ** (1 / shape), fitted=True)


def likeliest_shape(lives: list[float], running: list[float]) -> float:
    """Where the derivative of the likelihood by the shape, the best scale put in, is 0."""
    ages = np.array(lives + running)
    ages, logs = ages / ages.max(), np.log(np.array(lives) / ages.max())

    def slope(shape: float) -> float:
        powers = ages**shape
        return float((powers * np.log(ages)).sum() / powers.sum() - 1 / shape - logs.mean())

    return float(brentq(slope, 1e-3, 500, xtol=1e-14, rtol=1e-13))


def still_out(snapshot: Snapshot, row: Position) -> bool:
    """What failed here and is not yet restored has ended its life; nothing new runs."""
    return any(
        (failure.crane, failure.position) == (row.crane, row.position)
        and failure.restored_on is None
        and (row.installed is None or failure.failed_on >= row.installed)
        and not any(
            (later.crane, later.position) == (row.crane, row.position)
            and later.restored_on is not None
            and later.restored_on >= failure.failed_on
            for later in snapshot.failures
        )
        for failure in snapshot.failures
    )


def life_of_failure(snapshot: Snapshot, failure: Failure, basis: str) -> float | None:
    if basis == "hours" and failure.age_hours is not None:
        return failure.age_hours
    seat = place(snapshot, failure)
    starts = [seat.installed] + [
        row.restored_on
        for row in snapshot.failures
        if (row.crane, row.position) == (failure.crane, failure.position)
        and row.failed_on < failure.failed_on
    ]
    known = [day for day in starts if day is not None and day <= failure.failed_on]
    if not known:
        return None
    years = years_between(max(known), failure.failed_on)
    if basis == "years":
        return years
    a_year = snapshot.cranes[failure.crane].hours_per_year
    return None if a_year is None else years * a_year


def age_of(snapshot: Snapshot, row: Position, basis: str) -> float | None:
    """What sits there now has run so many years or hours."""
    a_year = snapshot.cranes[row.crane].hours_per_year
    if basis == "hours":
        meters = [
            (seen.date, float(seen.value))
            for seen in snapshot.observations
            if (seen.crane, seen.position) == (row.crane, row.position)
            and seen.what == "hours_meter"
        ]
        if meters and row.hours_at_install is not None and a_year is not None:
            on, reading = max(meters)
            return reading - row.hours_at_install + a_year * years_between(on, snapshot.today)
    starts = [row.installed] + [
        failure.restored_on
        for failure in snapshot.failures
        if (failure.crane, failure.position) == (row.crane, row.position)
    ]
    known = [day for day in starts if day is not None]
    if not known:
        return None
    years = years_between(max(known), snapshot.today)
    if basis == "years":
        return years
    return None if a_year is None else years * a_year


# Failures of the coming year --------------------------------------------------------------------


@once_per_snapshot
def failures_next_year(snapshot: Snapshot, row: Position) -> tuple[float | None, str | None]:
    """Expected failures of the position and on what they rest."""
    if row.failures_per_year is not None:
        return row.failures_per_year, "position"
    if children_of(snapshot, row.crane, row.position):
        return 0.0, None
    if row.part is None:
        return None, None
    aged = by_age(snapshot, row, row.part)
    if aged is not None:
        return aged, "weibull"
    rate = rate_of(snapshot, row.part)
    if rate is None:
        return None, None
    stated = snapshot.parts[row.part].failures_per_year is not None
    basis = "own" if rate.updated else "stated" if stated else "class"
    return row.qty * rate.mean, basis


def by_age(snapshot: Snapshot, row: Position, part: str) -> float | None:
    """Where a life and the age reached are known."""
    life = life_of(snapshot, part)
    if life is None:
        return None
    age = age_of(snapshot, row, life.basis)
    a_year = 1.0 if life.basis == "years" else snapshot.cranes[row.crane].hours_per_year
    if age is None or a_year is None:
        return None
    return row.qty * renewals(life.shape, age / life.scale, a_year / life.scale)


@cache
def renewals(shape: float, age: float, span: float) -> float:
    """Expected renewals in `span` for scale 1, the first life known to have reached `age`."""
    if shape == 1:
        return span
    coarse, middle, fine = (_renewals(shape, age, span, steps) for steps in (200, 400, 800))
    # The error of the midpoint rule goes with the square of the step where the density is smooth.
    order = 2 if shape >= 2 else None
    if order is None:
        ratio = (coarse - middle) / (middle - fine) if middle != fine else 4.0
        return fine + (fine - middle) / (max(ratio, 1.2) - 1)
    return fine + (fine - middle) / 3


def _renewals(shape: float, age: float, span: float, steps: int) -> float:
    step = span / steps
    edges = np.arange(steps + 1) * step
    halves = (np.arange(steps) + 0.5) * step

    def lives(ages: np.ndarray) -> np.ndarray:
        return np.asarray(-np.expm1(-(ages**shape)))

    dead_at_halves, dead = lives(halves), lives(edges)
    # M(t) = F(t) + sum of F(t - s) dM(s), the mass of each step at its middle.
    grown = np.zeros(steps + 1)
    for i in range(1, steps + 1):
        past = dead_at_halves[1:i][::-1] @ np.diff(grown)[: i - 1]
        grown[i] = (dead[i] + past - dead_at_halves[0] * grown[i - 1]) / (1 - dead_at_halves[0])
    first = -np.expm1(age**shape - (age + edges) ** shape)
    first_at_halves = -np.expm1(age**shape - (age + halves) ** shape)
    # E = F1(span) + sum of F1(span - s) dM(s)
    return float(first[-1] + first_at_halves[::-1] @ np.diff(grown))


# Use that is no failure -------------------------------------------------------------------------


def planned_issues(snapshot: Snapshot, part: str) -> list[tuple[date, int]]:
    undone = {row.reverses for row in snapshot.movements if row.reverses is not None}
    return [
        (row.date, -row.qty)
        for row in snapshot.movements
        if row.part == part
        and row.kind == "issue"
        and row.key not in undone
        and not any(
            (failure.crane, failure.position) == (row.crane, row.position)
            and failure.failed_on
            <= row.date
            <= (failure.restored_on or failure.failed_on + timedelta(days=60))
            for failure in snapshot.failures
        )
    ]


@dataclass(frozen=True)
class Asked:
    a_month: float
    demand_class: str


@once_per_snapshot
def asked_for(snapshot: Snapshot, part: str) -> Asked | None:
    """What the issues say: so much a month, and of which kind the demand is."""
    issues = planned_issues(snapshot, part)
    if not issues:
        return None

    def month(day: date) -> int:
        return day.year * 12 + day.month

    first = min(month(day) for day, _ in issues)
    series = [0] * (month(snapshot.today) - first)  # the month that runs is not complete
    for day, qty in issues:
        if month(day) - first < len(series):
            series[month(day) - first] += qty
    hits = [(at, qty) for at, qty in enumerate(series) if qty]
    if len(hits) < 2:
        return None
    interval_mean = len(series) / len(hits)
    sizes = [qty for _, qty in hits]
    mean = sum(sizes) / len(sizes)
    spread = sum((qty - mean) ** 2 for qty in sizes) / len(sizes) / mean**2
    often, steady = interval_mean < 1.32, spread < 0.49
    kinds = {
        (True, True): "smooth",
        (True, False): "erratic",
        (False, True): "intermittent",
        (False, False): "lumpy",
    }
    size, interval = float(sizes[0]), float(hits[1][0] - hits[0][0])
    first_interval = interval
    for (before, _), (at, qty) in itertools.pairwise(hits):
        size += 0.1 * (qty - size)
        interval += 0.1 * (at - before - interval)
    if len(series) - 1 - hits[-1][0] > 2 * interval_mean:
        chance = 1 / first_interval
        for at in range(hits[1][0] + 1, len(series)):
            chance += 0.1 * ((series[at] > 0) - chance)
        return Asked(chance * size, kinds[often, steady])
    return Asked((1 - 0.1 / 2) * size / interval, kinds[often, steady])


def planned_of(snapshot: Snapshot, part: str) -> float:
    stated = snapshot.parts[part].planned_per_year
    if stated is not None:
        return stated
    asked = asked_for(snapshot, part)
    return 0.0 if asked is None else 12 * asked.a_month


# How long it can be had -------------------------------------------------------------------------


def closing_day(snapshot: Snapshot, row: Offer) -> date | None:
    """The earliest last day that binds the offer; only `new` ones hang on the part's own."""
    part = snapshot.parts[row.part]
    days = [part.last_buy_on, part.last_ship_on] if row.kind == "new" else []
    for supplier in (None, row.supplier) if row.kind == "new" else (row.supplier,):
        notices = [
            notice
            for notice in snapshot.notices
            if notice.part == row.part
            and notice.supplier == supplier
            and notice.kind == "discontinuance"
        ]
        if notices:
            latest = max(notices, key=lambda notice: notice.notice_on)
            days += [latest.last_buy_on, latest.last_ship_on]
    return min((day for day in days if day is not None), default=None)


def obtainable(snapshot: Snapshot, part: str, years: int, bears: bool) -> float | None:
    """The chance that some way to buy, make or repair is left; `used` goes the way of `new`."""
    row = snapshot.parts[part]
    ways = [
        offer
        for offer in snapshot.offers
        if offer.part == part and offer_counts(snapshot, offer, bears)
    ]
    then = snapshot.today + timedelta(days=years * YEAR)

    def open_then(way: Offer) -> bool:
        last = closing_day(snapshot, way)
        return last is None or then <= last

    for way in ways:
        lasting = (
            bool(way.route or row.drawing)
            if way.kind == "made"
            else way.kind == "repair" and bool(live_rows(snapshot, part))
        )
        if lasting and open_then(way):
            return 1.0
    offered = [
        offer
        for offer in snapshot.offers
        if (offer.part, offer.kind) == (part, "new") and snapshot.suppliers[offer.supplier].active
    ]
    bought = [way for way in ways if way.kind == "new"]
    if not bought and (offered or not any(way.kind == "used" for way in ways)):
        return 0.0
    # Where nobody offers it new, used ones go the way that new ones would.
    last_days = [closing_day(snapshot, way) for way in bought or [Offer(supplier="", part=part)]]
    known = [day for day in last_days if day is not None]
    if len(known) == len(last_days):
        return float(then <= max(known))
    return left_on_the_market(snapshot, row, years)


def left_on_the_market(snapshot: Snapshot, row: Part, years: int) -> float | None:
    """By what is usual for the class, given the years that it has been sold."""
    usual = class_of(snapshot, row)
    if row.introduced is None or usual.market_shape is None or usual.market_scale is None:
        return None
    age = years_between(row.introduced, snapshot.today)
    return math.exp(
        (age / usual.market_scale) ** usual.market_shape
        - ((age + years) / usual.market_scale) ** usual.market_shape
    )
