"""Money that falls due on different days, brought to one day or to an equal amount a year.

Amounts may be costs or gains, as long as one sum holds one kind with its sign; a rate is a share a
year, 0.08 = 8 %. Knows nothing of cranes, and no taxes, no inflation and no resale.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from scipy.optimize import brentq

Flow = tuple[float, float]
"""Years from today, and an amount that falls due then."""
HIGHEST_RATE = 1e6
LOWEST_RATE = -0.99
MOST_GROWTH = 600.0  # on a log scale: beyond it a figure has no room in the machine


def worth_today(amount: float, years: float, rate: float) -> float:
    """An amount that falls due in so many years, in today's money: amount x (1 + rate)^-years.

    Raises ValueError for a rate of -100 % or less.
    """
    return amount * math.exp(-years * _log_growth(rate))


def net_present_value(flows: Iterable[Flow], rate: float) -> float:
    """The sum of amounts in today's money.

    Raises ValueError for a rate of -100 % or less.
    """
    return math.fsum(worth_today(amount, years, rate) for years, amount in flows)


def yearly(amounts: Sequence[float], first: int = 1) -> list[Flow]:
    """Amounts a year apart; the first falls due in `first` years, so that 0 is today."""
    return [(float(year), amount) for year, amount in enumerate(amounts, first)]


def annuity_factor(years: float, rate: float) -> float:
    """What 1 at the end of each year is worth today: (1 - (1 + rate)^-years) / rate; the number of
    years where the rate is 0.

    Source: R. A. Brealey, S. C. Myers and F. Allen, Principles of Corporate Finance (from memory).
    Raises ValueError for a rate of -100 % or less.
    """
    growth = _log_growth(rate)
    return years if rate == 0.0 else -math.expm1(-years * growth) / rate


def equal_annual_cost(present_value: float, years: float, rate: float) -> float:
    """The amount at the end of each year that is worth as much as a present value.

    Raises ValueError for no years, or a rate of -100 % or less.
    """
    if not years > 0.0:
        raise ValueError(f"a cost is spread over more than 0 years, not {years}")
    return present_value / annuity_factor(years, rate)


def internal_rate_of_return(flows: Sequence[Flow]) -> float | None:
    """The rate at which the flows are worth nothing; None where no rate does it.

    Where the amounts change their sign more than once there may be several; the one that is found
    is then one of them.
    """
    amounts = [amount for _, amount in flows]
    if not amounts or min(amounts) >= 0.0 or max(amounts) <= 0.0:
        return None

    def worth(rate: float) -> float:
        return net_present_value(flows, rate)

    longest = max(abs(years) for years, _ in flows) or 1.0
    lowest = max(LOWEST_RATE, math.expm1(-MOST_GROWTH / longest))
    highest = min(HIGHEST_RATE, math.expm1(min(MOST_GROWTH / longest, MOST_GROWTH)))
    if worth(lowest) * worth(highest) > 0.0:
        return None
    return float(brentq(worth, lowest, highest, xtol=1e-14, rtol=1e-14))


def _log_growth(rate: float) -> float:
    if not rate > -1.0:
        raise ValueError(f"a rate is above -100 % a year, not {rate}")
    return math.log1p(rate)
