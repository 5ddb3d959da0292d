"""The Weibull distribution of a life: its mean, and the hazard that lies ahead of an age.

Plain numbers and arrays in, the same out; life, age and span are in one unit, years or hours.
Knows nothing of how the shape and the scale came about.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
MOST_HAZARD = 700.0  # e^-700 is 0 for every purpose, and e^710 overflows


def mean_life(shape: float, scale: float) -> float:
    """Mean of a life, scale x Gamma(1 + 1/shape)."""
    return scale * math.gamma(1.0 + 1.0 / shape)


def age_failed_before(share: float, shape: float, scale: float) -> float:
    """The age before which a share of the units fails, scale x (-ln(1 - share))^(1/shape).

    The quantile function of the distribution: NIST/SEMATECH e-Handbook of Statistical Methods,
    section 1.3.6.6.8 (from memory).
    """
    return float(scale * (-math.log1p(-share)) ** (1.0 / shape))


def hazard_ahead(shape: float, scale: float | Array, age: Array, span: Array) -> Array:
    """Cumulative hazard h that a unit of an age gathers over a span; it fails with 1 - e^-h.

    h = ((age + span)/scale)^shape - (age/scale)^shape, at most `MOST_HAZARD`. Source of the
    cumulative hazard (t/scale)^shape: NIST/SEMATECH e-Handbook of Statistical Methods, section
    8.1.6.2 (from memory); what is gathered ahead is the difference.
    """
    with np.errstate(over="ignore", invalid="ignore"):
        hazard = ((age + span) / scale) ** shape - (age / scale) ** shape
    # both terms beyond what a computer holds: the difference is, too
    return np.where(np.isnan(hazard), MOST_HAZARD, np.minimum(hazard, MOST_HAZARD))
