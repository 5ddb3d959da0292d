"""How sure a lead time is: quantiles of one way, and of several that are waited for together.

Quoted three points are a beta; the supplier's scatter widens it by an independent log-normal.
The quantile of one quotation is reckoned exactly by quadrature. Routes, and members waited for
together, are simulated with a fixed seed, so that an answer is the same in every run.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import betainc, betaincinv, ndtri, roots_hermitenorm

from parts.calc.failing.exchanges import Exchange
from parts.calc.getting.routes import SIMULATED_RUNS, SIMULATION_SEED, beta_draws
from parts.calc.getting.three_point import ThreePoint, beta_shapes
from parts.calc.getting.ways import Way

QUADRATURE_NODES = 80


def quoted_quantile(
    points: ThreePoint, ratio: float, log_spread: float, confidence: float
) -> float:
    """The day by which a quoted lead time is over with the given confidence.

    Args:
        points: low, likely, high in calendar days.
        ratio: actual over quoted days of the supplier.
        log_spread: standard deviation of that ratio's logarithm.
        confidence: 0 to 1, both excluded.
    Method: X = ratio * B * exp(log_spread * Z) with B the beta on the three points and Z standard
        normal, independent; P(X <= x) by Gauss-Hermite quadrature over Z, its root by Brent.
    """
    if points.is_certain:
        return float(ratio * points.likely * math.exp(log_spread * ndtri(confidence)))
    alpha, beta = beta_shapes(points.low, points.likely, points.high)
    width = points.high - points.low
    if log_spread == 0.0:
        return float(ratio * (points.low + width * betaincinv(alpha, beta, confidence)))
    nodes, weights = roots_hermitenorm(QUADRATURE_NODES)
    scale = ratio * np.exp(log_spread * nodes)
    weights = weights / weights.sum()

    def short_of(days: float) -> float:
        inside = np.clip((days / scale - points.low) / width, 0.0, 1.0)
        return float(weights @ betainc(alpha, beta, inside)) - confidence

    return float(brentq(short_of, 0.0, float(points.high * scale.max()) + 1.0, xtol=1e-9))


def confident_days(way: Way, log_spread: float, confidence: float, further: bool = False) -> float:
    """The day on which a way gives with the given confidence; stock, orders, donors and
    defaults in days have no spread of their own."""
    if way.route is not None:
        return float(np.quantile(_draws(way, log_spread, further), confidence))
    if way.points is not None:
        return quoted_quantile(way.points, way.ratio, log_spread, confidence)
    return way.days


def lead_time_draws(
    way: Way, log_spread: float, rng: np.random.Generator, draws: int, further: bool
) -> NDArray[np.float64]:
    """Days of a way, (draws,); `further` = of a unit beyond those that a blank serves.

    A quotation is its beta, a route its own simulated days (drawn from where another number of
    them is asked for), both times the supplier's ratio and a log-normal scatter; what is assumed
    in days has no spread.
    """
    if way.route is not None:
        days = way.route.further_draws if further else way.route.draws
        days = days if len(days) == draws else rng.choice(days, draws)
    elif way.points is not None:
        days = beta_draws(way.points, rng, draws)
    else:
        return np.full(draws, way.further_days if further else way.days)
    scatter = 0.0 if way.assumed else log_spread
    return np.asarray(days * way.ratio * np.exp(scatter * rng.standard_normal(draws)))


def _draws(
    way: Way, log_spread: float, further: bool = False, seed: int = 0
) -> NDArray[np.float64]:
    rng = np.random.default_rng((SIMULATION_SEED, seed))
    return lead_time_draws(way, log_spread, rng, SIMULATED_RUNS, further)


def confident_lead_days(exchange: Exchange, log_spread: float, confidence: float) -> float:
    """The lead of an exchange with the given confidence: its members are waited for together,
    so their distributions are multiplied (here: the largest of independent draws)."""
    longest = np.zeros(SIMULATED_RUNS)
    for seed, member in enumerate(exchange.members):
        lot = member.delay.setting
        longest = np.maximum(longest, _draws(lot.way, log_spread, lot.further, seed))
    return float(np.quantile(longest, confidence)) + exchange.extra_hours / exchange.hours_per_day
