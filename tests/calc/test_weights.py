"""The share of a crane's work that one outage of a position takes: cases told by hand."""

from __future__ import annotations

import pytest
from scipy.stats import binom

from parts.calc.failing.consequences import CraneNeeds
from parts.calc.failing.fleet import NONE
from parts.calc.needs.weights import weights


def crane(positions: list[str], functions: dict[str, float]) -> CraneNeeds:
    return CraneNeeds(positions, [NONE] * len(positions), functions)


def weight_of(needs: CraneNeeds, unavailability: dict[str, float]) -> dict[str, float]:
    found = weights(needs, unavailability).tolist()
    return dict(zip(needs.positions, found, strict=True))


def test_what_nothing_needs_weighs_nothing() -> None:
    assert weight_of(crane(["lamp"], {}), {"lamp": 0.5}) == {"lamp": 0.0}


def test_without_groups_a_weight_is_the_share_lost_by_that_failure_alone() -> None:
    needs = crane(["A", "B"], {"hoist": 1.0, "travel": 0.6})
    needs.add("hoist", "A", None, None)
    needs.add("travel", "B", None, None)

    assert weight_of(needs, {"A": 0.5, "B": 0.5}) == pytest.approx({"A": 1.0, "B": 0.6})


def test_each_of_two_twins_bears_half_of_their_joint_outage() -> None:
    needs = crane(["A", "B"], {"hoist": 0.6})
    needs.add("hoist", "A", "drives", 1)
    needs.add("hoist", "B", "drives", 1)

    found = weight_of(needs, {"A": 0.01, "B": 0.2})

    assert found == pytest.approx({"A": 0.2 * 0.6 / 2, "B": 0.01 * 0.6 / 2})
    assert 0.01 * found["A"] + 0.2 * found["B"] == pytest.approx(0.01 * 0.2 * 0.6)


def test_a_twin_that_never_fails_leaves_the_other_without_weight() -> None:
    needs = crane(["A", "B"], {"hoist": 1.0})
    needs.add("hoist", "A", "drives", 1)
    needs.add("hoist", "B", "drives", 1)

    assert weight_of(needs, {"A": 0.3, "B": 0.0}) == pytest.approx({"A": 0.0, "B": 0.15})


def test_a_group_of_which_all_must_work_is_no_group() -> None:
    needs = crane(["A", "B"], {"hoist": 0.5})
    needs.add("hoist", "A", "drives", 2)
    needs.add("hoist", "B", "drives", 2)

    assert weight_of(needs, {"A": 0.3, "B": 0.3}) == pytest.approx({"A": 0.5, "B": 0.5})


def test_what_stops_the_whole_group_alone_keeps_its_share_and_counts_as_up() -> None:
    needs = crane(["A", "B", "supply"], {"hoist": 0.8})
    for drive in ("A", "B"):
        needs.add("hoist", drive, "drives", 1)
        needs.add(drive, "supply", None, None)

    found = weight_of(needs, {"A": 0.1, "B": 0.1, "supply": 0.5})

    assert found == pytest.approx({"A": 0.04, "B": 0.04, "supply": 0.8})


def test_positions_inside_the_members_share_a_joint_outage_by_how_many_are_down() -> None:
    """Drive A holds two parts: with B down, both of A's down is one outage shared by three."""
    needs = CraneNeeds(["A", "A1", "A2", "B"], [NONE, 0, 0, NONE], {"hoist": 1.0})
    needs.add("hoist", "A", "drives", 1)
    needs.add("hoist", "B", "drives", 1)
    needs.add_assemblies()

    found = weight_of(needs, {"A1": 0.2, "A2": 0.3, "B": 0.4})

    assert found["A1"] == pytest.approx(0.4 * (0.7 / 2 + 0.3 / 3))
    assert found["A2"] == pytest.approx(0.4 * (0.8 / 2 + 0.2 / 3))
    assert found["B"] == pytest.approx((0.2 * 0.7 + 0.8 * 0.3) / 2 + 0.2 * 0.3 / 3)


def test_a_group_of_many_members_follows_the_binomial_distribution() -> None:
    """Of 40 alike, 30 must work: with one down, w = sum over n >= 11 down of P(n - 1 others)/n."""
    names = [f"M{place}" for place in range(40)]
    needs = crane(names, {"travel": 1.0})
    for name in names:
        needs.add("travel", name, "wheels", 30)
    expected = sum(binom.pmf(n - 1, 39, 0.2) / n for n in range(11, 41))

    found = weights(needs, dict.fromkeys(names, 0.2))

    assert found == pytest.approx(expected, rel=1e-12)


def test_billionths_keep_their_digits() -> None:
    needs = crane(["A", "B", "C"], {"hoist": 1.0})
    for drive in needs.positions:
        needs.add("hoist", drive, "drives", 1)

    found = weight_of(needs, {"A": 1e-9, "B": 2e-9, "C": 3e-9})

    assert found["A"] == pytest.approx(2e-9 * 3e-9 / 3, rel=1e-12, abs=0)
