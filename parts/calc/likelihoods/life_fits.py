"""Weibull lives fitted to failures and to units still at work, by maximum likelihood.

A unit still at work has lived at least so long (censored); leaving it out makes every life look
shorter than it is. Limits are those of the likelihood ratio. Plain numbers in and out; one unit,
years or hours, throughout.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import chdtri, lambertw

Array = NDArray[np.float64]
Limits = tuple[float | None, float | None]

CONFIDENCE = 0.95
DROP = float(chdtri(1, 1.0 - CONFIDENCE)) / 2.0  # of the log-likelihood, from its top to a limit
LEAST_SHAPE, LARGEST_SHAPE = 1e-3, 100.0
WIDEST = 60.0  # of a limit from the estimate, on a log scale: beyond it there is no limit


@dataclass(frozen=True)
class Lifetimes:
    """Ages at failure, all above 0, and ages reached so far by units that have not failed."""

    failed: Array
    running: Array

    @cached_property
    def _ages(self) -> Array:
        return np.concatenate((self.failed, self.running[self.running > 0.0]))

    @cached_property
    def _logs(self) -> Array:
        return np.log(self._ages)

    @cached_property
    def _log_failed(self) -> float:
        return float(np.log(self.failed).sum())

    @property
    def _count(self) -> int:
        return len(self.failed)

    def log_likelihood(self, shape: float, scale: float) -> float:
        """Sum of log densities of the failures and log survivals of the others."""
        count, log_scale = self._count, math.log(scale)
        hazards = float(np.exp(shape * (self._logs - log_scale)).sum())
        return (
            count * math.log(shape / scale)
            + (shape - 1.0) * (self._log_failed - count * log_scale)
            - hazards
        )

    def scale_at(self, shape: float) -> float:
        """The scale of highest likelihood for a shape, (sum of t^shape / failures)^(1/shape).

        Source: Nelson, Applied Life Data Analysis (1982), chapter 8, and NIST/SEMATECH e-Handbook
        of Statistical Methods, section 8.4.1.2 (from memory). Needs one failure.
        """
        longest = float(self._ages.max())
        total = float(np.exp(shape * (self._logs - math.log(longest))).sum())
        return longest * float((total / self._count) ** (1.0 / shape))

    def _slope(self, shape: float) -> float:
        """Derivative of the profile log-likelihood; it falls as the shape grows."""
        logs = self._logs - self._logs.max()
        powers = np.exp(shape * logs)
        mean_log = float((powers * logs).sum() / powers.sum())
        count = self._count
        return count / shape + self._log_failed - count * (float(self._logs.max()) + mean_log)

    def shape(self) -> float | None:
        """The shape of highest likelihood; None where it has no end, as with one age only."""
        if self._slope(LARGEST_SHAPE) >= 0.0:
            return None
        return float(brentq(self._slope, LEAST_SHAPE, LARGEST_SHAPE, xtol=1e-13, rtol=1e-14))

    def shape_limits(self, shape: float) -> Limits:
        """Likelihood-ratio limits of the shape, the scale following it."""

        def profile(log_shape: float) -> float:
            value = math.exp(log_shape)
            return self.log_likelihood(value, self.scale_at(value))

        return _limits(profile, math.log(shape))

    def scale_limits(self, scale: float) -> Limits:
        """Likelihood-ratio limits of the scale, the shape following it."""

        def profile(log_scale: float) -> float:
            return self.log_likelihood(self._shape_at(log_scale), math.exp(log_scale))

        return _limits(profile, math.log(scale))

    def _shape_at(self, log_scale: float) -> float:
        """The shape of highest likelihood for a scale."""
        logs = self._logs - log_scale
        spread = self._log_failed - self._count * log_scale

        def slope(shape: float) -> float:
            return self._count / shape + spread - float((np.exp(shape * logs) * logs).sum())

        least, most = LEAST_SHAPE, 1.0
        while slope(least) < 0.0:
            least /= 10.0
        while slope(most) > 0.0 and most < LARGEST_SHAPE:
            most *= 2.0
        if most >= LARGEST_SHAPE:
            return most
        return float(brentq(slope, least, most, xtol=1e-12))

    def scale_limits_held(self, shape: float) -> tuple[float, float]:
        """Likelihood-ratio limits of the scale where the shape is held.

        With x = (estimate/scale)^shape the ratio is 2 failures (x - 1 - ln x), which Lambert's W
        undoes on either side.
        """
        at = -math.exp(-1.0 - DROP / self._count)
        low, high = (-float(lambertw(at, branch).real) for branch in (-1, 0))
        scale = self.scale_at(shape)
        return scale * float(low ** (-1.0 / shape)), scale * float(high ** (-1.0 / shape))


def _limits(profile: Callable[[float], float], top: float) -> Limits:
    """Where a profile on a log scale has fallen by `DROP` on either side of its top, as values."""
    height = profile(top)

    def above(at: float) -> float:
        return profile(at) - height + DROP

    found: list[float | None] = []
    for side in (-1.0, 1.0):
        step = 0.5
        while step < WIDEST and above(top + side * step) > 0.0:
            step *= 2.0
        if step >= WIDEST:
            found.append(None)
            continue
        ends = sorted((top + side * step / 2.0 if step > 0.5 else top, top + side * step))
        found.append(math.exp(brentq(above, *ends, xtol=1e-11)))
    return found[0], found[1]
