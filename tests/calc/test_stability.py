"""How often each part is in the first ten, over draws of weights, rates and lead times."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from parts.calc.getting.spread import lead_time_draws
from parts.calc.getting.three_point import ThreePoint
from parts.calc.getting.ways import Way
from parts.calc.ranking.stability import (
    DRAWS,
    Draws,
    ahead_shares,
    draws_of,
    rate_factor_draws,
    top10_shares,
    weight_draws,
)

Floats = NDArray[np.float64]
QUOTED = Way(
    part="P", kind="new", source="S", days=40.0, further_days=40.0, qty=None, record="",
    points=ThreePoint(10.0, 40.0, 70.0),
)  # fmt: skip
NO_DRAWS = Draws(np.empty((1, 3)), np.empty((1, 0)), np.empty((1, 0)))


def rng() -> np.random.Generator:
    return np.random.default_rng(1)


def shares(parts: Sequence[str], *figures: Floats) -> dict[str, float]:
    return top10_shares(parts, NO_DRAWS, lambda _: figures)


def names(count: int) -> list[str]:
    return [f"P{number:02}" for number in range(count)]


def test_no_parts_have_no_rank() -> None:
    assert shares([], np.empty((5, 0))) == {}


def test_up_to_ten_parts_are_always_among_the_first_ten() -> None:
    assert shares(names(10), np.random.default_rng(0).random((20, 10))) == dict.fromkeys(
        names(10), 1.0
    )


def test_ties_go_by_the_name_of_the_part_in_whatever_order_they_come() -> None:
    parts = ["Z", *names(11)]
    found = shares(parts, np.zeros((3, 12)))

    assert {part for part, share in found.items() if share == 1.0} == set(names(10))
    assert found["Z"] == 0.0


def test_a_tie_of_the_first_figure_goes_by_the_next() -> None:
    money, days = np.zeros((1, 12)), np.arange(12.0)[None, :]

    assert shares(names(12), money, days)["P00"] == 0.0
    assert shares(names(12), money, days)["P11"] == 1.0


def test_what_is_not_known_stands_at_the_head() -> None:
    figures = np.arange(12.0)[None, :].repeat(2, axis=0)
    figures[:, 0] = np.nan

    assert shares(names(12), figures)["P00"] == 1.0
    assert shares(names(12), figures)["P02"] == 0.0


def test_a_clear_ranking_is_stable_and_a_close_one_is_not() -> None:
    clear = np.arange(20.0)[None, :] + np.zeros((100, 1))
    close = np.random.default_rng(2).random((1000, 20))

    assert set(shares(names(20), clear).values()) == {0.0, 1.0}
    assert all(0.4 < share < 0.6 for share in shares(names(20), close).values())


@given(st.integers(1, 30), st.integers(1, 8), st.integers(0, 2**32 - 1), st.integers(1, 4))
@settings(max_examples=60)
def test_shares_add_up_to_ten_or_to_the_number_of_parts(
    parts: int, draws: int, seed: int, levels: int
) -> None:
    figures = np.random.default_rng(seed).integers(0, levels, (2, draws, parts)).astype(float)
    found = shares(names(parts), *figures)

    assert sum(found.values()) == pytest.approx(min(10, parts))


@given(st.integers(11, 40), st.integers(0, 2**32 - 1), st.integers(1, 5))
@settings(max_examples=60)
def test_first_ten_are_those_of_a_plain_sort(parts: int, seed: int, levels: int) -> None:
    first, second = np.random.default_rng(seed).integers(0, levels, (2, 1, parts)).astype(float)
    order = sorted(names(parts), key=lambda p: (-first[0, int(p[1:])], -second[0, int(p[1:])], p))
    found = shares(names(parts), first, second)

    assert {part for part, share in found.items() if share} == set(order[:10])


# Draws -----------------------------------------------------------------------------------------


def test_weights_are_a_dirichlet_about_the_site_s_own() -> None:
    """Mean w, variance w (1 - w) / 21 of Dirichlet(20 w); Kotz, Balakrishnan and Johnson,
    Continuous Multivariate Distributions vol. 1 (from memory). Four standard errors."""
    weights = np.array([0.30, 0.35, 0.35])
    drawn = weight_draws(weights, rng(), 40_000)
    variance = weights * (1 - weights) / 21

    assert drawn.sum(axis=1) == pytest.approx(np.ones(40_000))
    assert np.abs(drawn.mean(axis=0) - weights).max() < 4 * np.sqrt(variance.max() / 40_000)
    assert drawn.var(axis=0) == pytest.approx(variance, rel=0.04)


def test_a_weight_of_nothing_stays_nothing() -> None:
    drawn = weight_draws([0.5, 0.5, 0.0], rng())

    assert (drawn[:, 2] == 0.0).all()
    assert (weight_draws([0.0, 0.0], rng()) == 0.0).all()


def test_a_rate_without_spread_is_its_mean() -> None:
    assert (rate_factor_draws(None, rng()) == 1.0).all()


def test_rates_scatter_as_a_gamma_of_mean_one() -> None:
    """Gamma of shape k over k: mean 1, variance 1 / k."""
    drawn = rate_factor_draws(4.0, rng(), 40_000)

    assert drawn.mean() == pytest.approx(1.0, abs=0.01)
    assert drawn.var() == pytest.approx(0.25, rel=0.04)


def lead_times(way: Way, log_spread: float) -> Floats:
    return lead_time_draws(way, log_spread, rng(), 40_000, further=True)


def test_a_lead_time_that_nobody_knows_stays_unknown() -> None:
    assert np.isnan(draws_of(["A"], [1.0], [None], [None], log_spread=0.3).lead_days).all()


def test_assumed_days_have_no_spread() -> None:
    assumed = Way(
        part="P", kind="default", source="", days=90.0, further_days=90.0, qty=None, record=""
    )

    assert (lead_times(assumed, 0.3) == 90.0).all()


def test_a_quotation_scatters_as_its_beta() -> None:
    drawn = lead_times(QUOTED, 0.0)

    assert drawn.min() >= 10.0
    assert drawn.max() <= 70.0
    assert drawn.mean() == pytest.approx(40.0, abs=0.3)
    assert drawn.var() == pytest.approx((40.0 - 10.0) * (70.0 - 40.0) / 7.0, rel=0.03)


def test_the_supplier_s_scatter_widens_it() -> None:
    narrow = lead_times(QUOTED, 0.0).std()

    assert lead_times(QUOTED, 0.5).std() > 1.5 * narrow


def drawn(parts: Sequence[str], shapes: Sequence[float | None]) -> Draws:
    return draws_of(parts, [0.3, 0.35, 0.35], shapes, [QUOTED] * len(parts), log_spread=0.2)


def test_draws_are_the_same_in_every_run() -> None:
    first, second = drawn(["A", "B"], [2.0, None]), drawn(["A", "B"], [2.0, None])

    assert first.weights.shape == (DRAWS, 3)
    assert first.rate_factors.shape == first.lead_days.shape == (DRAWS, 2)
    for one, two in pairwise([first, second]):
        assert (one.weights == two.weights).all()
        assert (one.rate_factors == two.rate_factors).all()
        assert (one.lead_days == two.lead_days).all()


def test_another_part_draws_no_other_anew() -> None:
    alone, among = drawn(["B"], [2.0]), drawn(["A", "B", "C"], [None, 2.0, 5.0])

    assert (alone.rate_factors[:, 0] == among.rate_factors[:, 1]).all()
    assert (alone.lead_days[:, 0] == among.lead_days[:, 1]).all()
    assert (alone.weights == among.weights).all()


def test_parts_draw_apart_from_one_another() -> None:
    rates = drawn(["A", "B"], [2.0, 2.0]).rate_factors

    assert abs(np.asarray(np.corrcoef(rates.T))[0, 1]) < 0.1


def test_a_ranking_sees_the_draws() -> None:
    parts = names(11)
    found = drawn(parts, [None] * 10 + [0.5])
    firm = top10_shares(parts, found, lambda draws: [draws.rate_factors * np.arange(11, 0, -1)])

    assert 0.0 < firm["P10"] < 1.0
    assert firm["P00"] == 1.0


def test_a_part_is_ahead_in_the_draws_that_have_it_more_and_shares_the_equal_ones() -> None:
    chief = np.array([[3.0, 2.0, 1.0], [3.0, 3.0, np.nan], [1.0, 2.0, 2.0], [5.0, 5.0, 0.0]])
    then = np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 0.0], [0.0, 0.0, 0.0], [1.0, 2.0, 0.0]])

    # the first before the second: more, equal, less, equal and then less; the third is not known
    # in the second draw and stands ahead there
    assert ahead_shares([0, 1, 2], [chief, then]) == [(1 + 0.5 + 0 + 0) / 4, (1 + 0 + 0.5 + 1) / 4]
    assert ahead_shares([0], [chief[:, :1]]) == []
