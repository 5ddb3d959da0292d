"""Expected renewals: how often a unit fails in a span, when each failure puts in a new unit.

Lives are Weibull; the first is that of a unit that has already reached an age, all later ones are
whole. Reckoned in units of the scale, where only the shape matters. Good to 1e-6 of a renewal for
shapes from 0.5 to 20; time is a number here, no calendar.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline
from scipy.signal import lfilter
from scipy.special import gammainc, gammaln

from parts.calc.likelihoods.weibull import hazard_ahead, mean_life

Array = NDArray[np.float64]

SERIES_HOLDS_TO = 8.0  # of (t/scale)^shape: beyond it the alternating terms eat the digits
SERIES_TERMS = 100
NEGLIGIBLE = 1e-13
FEWEST_CELLS, MOST_CELLS = 96, 4096
SETTLED_HAZARD = 25.0  # e^-25 of the units outlive it: what is left of the start is negligible
LARGEST_HAZARD = 32.0  # of a first life; e^-32 is left out
AT_ONCE = 20_000


def expected_renewals(shape: float, scale: float | Array, ages: Array, spans: Array) -> Array:
    """Expected number of failures over each span of a unit that has reached each age.

    shape, scale: of the Weibull life (one scale, or one for each age); ages, spans: arrays of one
    length in the unit of the scale, not below 0. With M the expected renewals of a new unit and F
    the conditional distribution of the first failure,

        E = F(span) + integral over u in (0, span) of M(span - u) dF(u)

    Source: Barlow and Proschan, Statistical Theory of Reliability and Life Testing (1975), chapter
    6, delayed renewal process (from memory). Shape 1 gives exactly span/scale. The integral runs
    over the hazard gathered, in which the steepest life is as smooth as any, by the tanh-sinh rule
    of Takahasi and Mori (1974), which minds no singular end.
    """
    if shape == 1.0:
        return spans / scale
    pairs, back = np.unique(ages / scale + 1j * (spans / scale), return_inverse=True)
    renewed = RenewalFunction(shape, float(pairs.imag.max(initial=0.0)))
    found = np.empty(len(pairs))
    for start in range(0, len(pairs), AT_ONCE):
        some = pairs[start : start + AT_ONCE]
        found[start : start + AT_ONCE] = _after_a_first_life(renewed, some.real, some.imag)
    return found[back]


def _after_a_first_life(renewed: RenewalFunction, age: Array, span: Array) -> Array:
    hazard = hazard_ahead(renewed.shape, 1.0, age, span)
    reach = np.minimum(hazard, LARGEST_HAZARD)
    with np.errstate(divide="ignore"):
        log_reached = renewed.shape * np.log(age)
        log_reach = np.log(reach)
    total = -np.expm1(-hazard)
    for place, weight in zip(*_tanh_sinh(), strict=True):
        log_hazard = np.logaddexp(log_reached, log_reach + math.log(place))
        fails_at = np.exp(log_hazard / renewed.shape) - age
        left = np.clip(span - fails_at, 0.0, span)
        total += weight * reach * np.exp(-place * reach) * renewed(left)
    return total


@lru_cache(maxsize=1)
def _tanh_sinh(step: float = 0.12, furthest: float = 3.2) -> tuple[list[float], list[float]]:
    """Places in (0, 1) and weights of the tanh-sinh rule."""
    at = np.arange(-furthest, furthest + step / 2.0, step)
    inner = 0.5 * math.pi * np.sinh(at)
    places = 1.0 / (1.0 + np.exp(-2.0 * inner))
    weights = step * 0.25 * math.pi * np.cosh(at) / np.cosh(inner) ** 2
    return places.tolist(), weights.tolist()


class RenewalFunction:
    """M(t): expected renewals by t of a unit new at 0, for scale 1, up to a reach."""

    def __init__(self, shape: float, reach: float) -> None:
        self.shape = shape
        self.series_to = float(SERIES_HOLDS_TO ** (1.0 / shape))
        largest = min(reach**shape, SERIES_HOLDS_TO) if reach < self.series_to else SERIES_HOLDS_TO
        self._coefficients = _terms_that_count(shape, largest)
        self._beyond = _grid(shape, _rounded(reach)) if reach > self.series_to else None

    def __call__(self, t: Array) -> Array:
        if self._beyond is None:
            return self._series(t)
        near = t <= self.series_to
        found = np.empty_like(t)
        found[near] = self._series(t[near])
        found[~near] = self._beyond(t[~near])
        return found

    def _series(self, t: Array) -> Array:
        power = t**self.shape
        found = np.zeros_like(power)
        for coefficient in self._coefficients:
            found = (found + coefficient) * power
        return found


def _terms_that_count(shape: float, largest: float) -> list[float]:
    """Coefficients of the powers up to the last that matters, highest first."""
    coefficients = _series_coefficients(shape)
    terms = np.abs(coefficients) * largest ** np.arange(1, len(coefficients) + 1)
    counting = np.flatnonzero(terms > NEGLIGIBLE)
    last = int(counting[-1]) + 1 if len(counting) else 1
    found: list[float] = coefficients[:last][::-1].tolist()
    return found


@lru_cache(maxsize=4096)
def _series_coefficients(shape: float) -> Array:
    """Coefficients of M as a series in powers of t^shape.

    M(t) = sum over n of (-1)^(n-1) A_n t^(n shape) / Gamma(n shape + 1), A_n = g_n - sum over
    j < n of g_j A_(n-j), g_n = Gamma(n shape + 1)/n!. Source: Smith and Leadbetter, "On the
    renewal function for the Weibull distribution", Technometrics 5 (1963) 393-396 (from memory).
    Here a_n = A_n / Gamma(n shape + 1) is carried, which does not overflow.
    """
    orders = np.arange(SERIES_TERMS + 1)
    log_gamma, log_factorial = gammaln(orders * shape + 1.0), gammaln(orders + 1.0)
    scaled = np.zeros(SERIES_TERMS + 1)
    for n in range(1, SERIES_TERMS + 1):
        j = orders[1:n]
        shares = np.exp(log_gamma[j] - log_factorial[j] + log_gamma[n - j] - log_gamma[n])
        scaled[n] = math.exp(-log_factorial[n]) - shares @ scaled[n - j]
    signs = np.where(orders % 2 == 1, 1.0, -1.0)
    return (signs * scaled)[1:]


def _rounded(reach: float) -> float:
    """The reach raised to a quarter of a power of two, so that like reaches share a grid."""
    return float(2.0 ** (math.ceil(4.0 * math.log2(reach)) / 4.0))


class _Grid:
    """M between the series and the reach, as a spline; beyond where it settles, a line."""

    def __init__(self, nodes: Array, renewals: Array, mean: float) -> None:
        self._spline = CubicSpline(nodes, renewals)
        self._last, self._at_last, self._mean = nodes[-1], renewals[-1], mean

    def __call__(self, t: Array) -> Array:
        beyond = np.maximum(t - self._last, 0.0) / self._mean
        found: Array = self._spline(np.minimum(t, self._last)) + beyond
        return found


@lru_cache(maxsize=256)
def _grid(shape: float, reach: float) -> _Grid:
    mean = mean_life(shape, 1.0)
    spread = math.gamma(1.0 + 2.0 / shape) / mean**2 - 1.0
    settled = max(SETTLED_HAZARD ** (1.0 / shape), mean * (4.0 + 2.0 / spread))
    reach = min(reach, settled)
    wanted = math.ceil(reach * max(16.0, 12.0 * shape))
    cells = min(max(FEWEST_CELLS, wanted), MOST_CELLS)
    return _Grid(np.linspace(0.0, reach, cells + 1), _extrapolated(shape, reach, cells), mean)


def _extrapolated(shape: float, reach: float, cells: int) -> Array:
    """M at the nodes of a grid, from it and two finer ones (Richardson's extrapolation).

    The cells' error goes with their width to the power 2 and, from the start of the first life,
    to the power 1 + shape.
    """
    coarse, middle, fine = (
        _by_convolution(shape, reach, cells * finer)[::finer] for finer in (1, 2, 4)
    )
    coarse, middle = middle + (middle - coarse) / 3.0, fine + (fine - middle) / 3.0
    extrapolated: Array = middle + (middle - coarse) / (2.0 ** (1.0 + shape) - 1.0)
    return extrapolated


def _by_convolution(shape: float, reach: float, cells: int) -> Array:
    """M of a Weibull life of scale 1 at the nodes of an even grid."""
    nodes = np.linspace(0.0, reach, cells + 1)
    with np.errstate(over="ignore"):
        hazard = nodes**shape
    served = mean_life(shape, 1.0) * gammainc(1.0 / shape, hazard)
    served = np.where(hazard < NEGLIGIBLE, nodes, served)  # where a power may have become 0
    return renewals_of_a_life(nodes, -np.expm1(-hazard), served)


def renewals_of_a_life(nodes: Array, failed: Array, served: Array) -> Array:
    """Expected renewals M of any life at the nodes of an even grid from 0.

    Arguments, each (nodes,): the grid, F there, and the integral of R = 1 - F from 0 to there.
    At any time exactly one unit is in service: R(t) for the first one and, over all renewals s
    before t, the sum of dM(s) R(t - s) for the others. So F(t) = convolution of dM and R; R is
    taken at its mean over each cell, and the filter undoes the convolution.
    """
    in_service = np.diff(served) / np.diff(nodes)
    renewals = lfilter([1.0], in_service, failed[1:])
    return np.concatenate(([0.0], np.cumsum(renewals)))
