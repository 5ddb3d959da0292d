"""The wait of single units from one stock, for many rates and lead times at once.

Serves draws, where thousands of waits are wanted and a set's own programme would be too slow.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.special import pdtrc

from parts.calc.likelihoods.years import DAYS_A_YEAR

Array = NDArray[np.float64]


def unit_wait_days(units_per_year: Array, lead_days: Array, stock: int) -> Array:
    """Mean days that a unit is waited for, EBO(S) / rate, of arrays of one shape.

    Args:
        units_per_year: Poisson demand on the stock.
        lead_days: fixed days until a unit that was used is there again; nan where not known.
        stock: base stock, units.
    Method: EBO(S) = m P(N >= S) - S P(N >= S + 1), N Poisson with mean m = rate x lead (Palm
        1938, from memory). Without demand: the whole lead where nothing is kept, else no wait.
    """
    if stock == 0:
        return np.asarray(np.broadcast_to(lead_days, np.shape(units_per_year)))
    mean = units_per_year * lead_days / DAYS_A_YEAR
    # pdtrc(k, m) is the chance of more than k; at_least(S) = more than S - 1
    owed = mean * pdtrc(stock - 1, mean) - stock * pdtrc(stock, mean)
    with np.errstate(invalid="ignore", divide="ignore"):
        waits = np.maximum(owed, 0.0) / units_per_year * DAYS_A_YEAR
    return np.asarray(np.where(units_per_year > 0.0, waits, 0.0))
