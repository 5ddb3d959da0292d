"""Unavailability of a part and lost days of a crane."""

from __future__ import annotations

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.calc.needs.availability import lost_days_per_year, outage_ratio, unavailability


def test_a_part_of_unknown_rate_counts_as_never_down() -> None:
    assert outage_ratio(None, 100.0) == 0.0


def test_a_part_that_never_fails_is_never_down_even_if_nobody_could_restore_it() -> None:
    assert outage_ratio(0.0, None) == 0.0


def test_a_part_that_fails_and_that_nobody_can_restore_has_no_known_ratio() -> None:
    assert outage_ratio(0.1, None) is None


def test_a_part_down_as_long_as_it_works_is_down_half_of_the_time() -> None:
    ratio = outage_ratio(2.0, 365.25 / 2)

    assert ratio == 1.0
    assert unavailability(ratio) == 0.5


def test_for_ever_is_all_of_the_time() -> None:
    assert unavailability(inf) == 1.0
    assert lost_days_per_year([inf, 1.0]) == 365.25


def test_a_crane_without_outages_loses_no_days() -> None:
    assert lost_days_per_year([]) == 0.0


def test_parts_that_stand_still_while_the_crane_is_down_lose_no_days_twice() -> None:
    """Availability of such a series system: 1 / (1 + sum of the ratios of down time to up time).

    Barlow and Proschan, Statistical Theory of Reliability and Life Testing (1975), from memory.
    """
    assert lost_days_per_year([0.5, 0.25, 0.25]) == pytest.approx(365.25 / 2)


@given(st.lists(st.floats(0.0, 1e12)))
def test_no_crane_loses_more_days_than_a_year_has(ratios: list[float]) -> None:
    lost = lost_days_per_year(ratios)

    assert 0.0 <= lost <= 365.25
    assert lost <= 365.25 * sum(ratios) * (1 + 1e-12)
