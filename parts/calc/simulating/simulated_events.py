"""When things happen in simulated years: failures and planned uses, drawn before any follows.

Failures at a constant rate and planned uses come as Poisson streams. A unit with a life and a
known age plays its coming year again and again: each year it starts at today's age and is renewed
at each failure, so that it fails as often as in the coming year, however many years are
simulated. Its years begin at a moment of chance, so that a fleet does not age in step. Whether a
failure drawn here comes to pass is not known here: a part that stands still does not fail.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from parts.calc.failing.fleet import Index
from parts.calc.likelihoods.years import DAYS_A_YEAR
from parts.calc.simulating.simulated_fleet import Ageing, SimulatedFleet
from parts.calc.waiting.poisson import Floats

AT_ONCE = 4_000_000  # first lives drawn together


class Drawn(NamedTuple):
    """Events of several runs: the n-th of run b at [n, b]; days from the start, inf = no more."""

    days: Floats
    kind: Index


class _Some(NamedTuple):
    run: Index
    years: Floats
    kind: Index


def draw(fleet: SimulatedFleet, runs: int, years: float, rng: np.random.Generator) -> Drawn:
    """All events of so many runs over so many years, in the order of time in each run."""
    constant = fleet.per_year.copy()
    constant[fleet.ageing.kind] = 0.0
    some = [_at_constant_rate(constant, runs, years, rng), *_by_age(fleet.ageing, runs, years, rng)]
    run, when, kind = (np.concatenate(each) for each in zip(*some, strict=True))
    order = np.lexsort((when, run))
    run, when, kind = run[order], when[order], kind[order]
    counts = np.bincount(run, minlength=runs)
    place = np.arange(len(run)) - np.repeat(np.cumsum(counts) - counts, counts)
    days = np.full((int(counts.max(initial=0)), runs), np.inf)
    kinds = np.zeros(days.shape, dtype=np.int64)
    days[place, run], kinds[place, run] = when * DAYS_A_YEAR, kind
    return Drawn(days, kinds)


def _at_constant_rate(per_year: Floats, runs: int, years: float, rng: np.random.Generator) -> _Some:
    up_to = np.cumsum(per_year)
    total = float(up_to[-1]) if len(up_to) else 0.0
    counts = rng.poisson(total * years, runs)
    run = np.repeat(np.arange(runs), counts)
    drawn = rng.random((2, len(run)))
    kind = np.searchsorted(up_to, drawn[0] * total, side="right")
    return _Some(run, drawn[1] * years, np.minimum(kind, len(up_to) - 1))


def _by_age(ageing: Ageing, runs: int, years: float, rng: np.random.Generator) -> Iterator[_Some]:
    blocks = int(np.ceil(years)) + 1
    together = max(1, AT_ONCE // max(1, len(ageing.kind) * blocks))
    for first in range(0, runs, together):
        count = min(together, runs - first)
        yield from _renewals(ageing, np.arange(first, first + count), blocks, years, rng)


def _renewals(
    ageing: Ageing, runs: Index, blocks: int, years: float, rng: np.random.Generator
) -> Iterator[_Some]:
    shape = (len(runs), len(ageing.kind))
    begins = rng.random(shape)
    hazard = rng.standard_exponential((*shape, blocks))
    fails = _first_life(ageing, hazard)
    run, unit, block = np.nonzero(fails < 1.0)
    after = fails[run, unit, block]
    while len(run):
        when = after + block - begins[run, unit]
        seen = (when >= 0.0) & (when < years)
        yield _Some(runs[run[seen]], when[seen], ageing.kind[unit[seen]])
        lives = rng.standard_exponential(len(run)) ** (1.0 / ageing.shape[unit])
        after = after + ageing.scale[unit] * lives
        more = after < 1.0
        run, unit, block, after = run[more], unit[more], block[more], after[more]


def _first_life(ageing: Ageing, hazard: Floats) -> Floats:
    """Years until a unit fails that has reached its age, (runs, units, blocks).

    x with ((age + x)/scale)^shape - (age/scale)^shape = hazard, a standard exponential draw;
    written so that a great age loses no digits.
    """
    shape, scale = ageing.shape[:, None], ageing.scale[:, None]
    age = np.maximum(ageing.age, 0.0)[:, None]
    fresh = age <= 0.0
    with np.errstate(divide="ignore", over="ignore"):
        gathered = (np.where(fresh, 1.0, scale / np.where(fresh, 1.0, age))) ** shape
    first: Floats = np.where(
        fresh,
        scale * hazard ** (1.0 / shape),
        age * np.expm1(np.log1p(hazard * gathered) / shape),
    )
    return first
