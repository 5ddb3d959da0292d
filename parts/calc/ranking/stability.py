"""How firm a rank is: the share of draws in which each part is among the first ten.

Weights, rates and lead times are drawn together; what ranks the parts is a function of the
draws. Seeds are fixed and go by part, so that a change of one part draws no other anew. Over all
parts the shares add up to ten, or to the number of parts.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parts.calc.getting.spread import lead_time_draws
from parts.calc.getting.ways import Way

DRAWS = 1000
SEED = 20_26_11_26
# the higher, the closer the weights stay to the site's own; a choice without a source
CONCENTRATION = 20.0
FIRST = 10

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Draws:
    """Draws, one row each: weights (draws, drivers); by part (draws, parts) the failure rate over
    its mean and the lead time in days, nan where not known."""

    weights: Floats
    rate_factors: Floats
    lead_days: Floats


# The figures that rank the parts, most important first, each (draws, parts), the highest ahead.
Ranking = Callable[[Draws], Sequence[Floats]]


def weight_draws(weights: ArrayLike, rng: np.random.Generator, draws: int = DRAWS) -> Floats:
    """Weights about the site's own, (draws, drivers): Dirichlet(20 x weights).

    Normalised gamma variates (Ferguson 1973, from memory); a weight of 0 stays 0.
    """
    own = np.asarray(weights, dtype=float)
    drawn = rng.standard_gamma(CONCENTRATION * own, size=(draws, own.size))
    total = drawn.sum(axis=1, keepdims=True)
    return np.where(total > 0.0, drawn / np.where(total > 0.0, total, 1.0), own)


def rate_factor_draws(shape: float | None, rng: np.random.Generator, draws: int = DRAWS) -> Floats:
    """Failure rate over its mean, (draws,): gamma of this shape and mean 1; None = no spread."""
    if not shape:
        return np.ones(draws)
    return np.asarray(rng.standard_gamma(shape, draws)) / shape


def draws_of(
    parts: Sequence[str],
    weights: ArrayLike,
    rate_shapes: Sequence[float | None],
    lead_ways: Sequence[Way | None],
    *,
    log_spread: float,
    draws: int = DRAWS,
) -> Draws:
    """Draws of all that a ranking rests on.

    Args:
        parts: names, one for each column.
        weights: the site's weights of the drivers.
        rate_shapes: shape of each part's gamma of failures a year, None = no spread.
        lead_ways: the way that sets each part's lead time, None = not known.
        log_spread: standard deviation of the logarithm of actual over quoted days.
    """
    rates, leads = np.empty((draws, len(parts))), np.empty((draws, len(parts)))
    for column, (part, shape, way) in enumerate(zip(parts, rate_shapes, lead_ways, strict=True)):
        rng = np.random.default_rng((SEED, zlib.crc32(part.encode())))
        rates[:, column] = rate_factor_draws(shape, rng, draws)
        leads[:, column] = (
            np.nan if way is None else lead_time_draws(way, log_spread, rng, draws, further=True)
        )
    return Draws(weight_draws(weights, np.random.default_rng(SEED), draws), rates, leads)


def top10_shares(parts: Sequence[str], draws: Draws, ranking: Ranking) -> dict[str, float]:
    """Share of the draws in which each part is among the first ten of the ranking.

    Highest figures first, ties by part name; nan stands at the head, since what is not known is
    never the least.
    """
    by_name = np.argsort(np.array(parts, dtype=object), kind="stable")
    figures = [np.where(np.isnan(each), np.inf, each)[:, by_name] for each in ranking(draws)]
    first = min(FIRST, len(parts))
    counts = np.zeros(len(parts))
    if first:
        for draw in range(len(figures[0])):
            counts[by_name[_first(figures, draw, first)]] += 1.0
        counts /= len(figures[0])
    return dict(zip(parts, counts.tolist(), strict=True))


def ahead_shares(order: Sequence[int], figures: Sequence[Floats]) -> list[float]:
    """Share of the draws in which each part of an order stands ahead of the next one.

    Args:
        order: columns of the parts as they are ranked.
        figures: as a ranking gives them; equals share a draw by half, and nan stands ahead.
    """
    ahead = np.full((len(figures[0]), max(len(order) - 1, 0)), 0.5)
    for figure in reversed(figures):
        drawn = np.where(np.isnan(figure), np.inf, figure)[:, list(order)]
        upper, lower = drawn[:, :-1], drawn[:, 1:]
        ahead = np.where(upper == lower, ahead, upper > lower)
    found: list[float] = ahead.mean(axis=0).tolist()
    return found


def _first(figures: Sequence[Floats], draw: int, first: int) -> NDArray[np.int64]:
    """Columns of the first few in one draw; only those that the first figure lets in are sorted."""
    chief = figures[0][draw]
    least = np.partition(chief, -first)[-first]
    running = np.flatnonzero(chief >= least)
    # lexsort takes the chief key last and keeps equals in the order of names
    keys = [-each[draw, running] for each in reversed(figures)]
    return running[np.lexsort(keys)[:first]]
