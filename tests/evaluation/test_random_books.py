"""Small books made by chance: the program and the slow evaluation give the same answers."""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest
import slow
import slow_failures
from random_books import TODAY, random_book

from parts.records.answers import LeadTimeAnswer, PositionOutage
from parts.records.snapshot import Snapshot, snapshot_of
from parts.services.lead_times import lead_time
from parts.services.outages import outage, together

SEEDS = range(150)


def same(figure: float | None) -> object:
    return None if figure is None else pytest.approx(figure, rel=1e-9, abs=1e-9)


def site(seed: int) -> Snapshot:
    return snapshot_of(random_book(seed), TODAY)


# Single failures --------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", SEEDS)
def test_each_position_of_a_random_book_gets_the_figures_of_the_slow_evaluation(seed: int) -> None:
    snapshot = site(seed)
    fleet = outage(snapshot)
    rows = {(row.crane, row.position): row for row in map(fleet.row, range(len(fleet)))}
    expected = {
        (row.crane, row.position): slow_failures.outage(snapshot, row)
        for row in slow_failures.listed(snapshot)
    }

    assert rows.keys() == expected.keys()
    for key, want in expected.items():
        assert_same_outage(rows[key], want)


def assert_same_outage(row: PositionOutage, want: slow_failures.Outage) -> None:
    where = f"{row.crane}/{row.position}"
    assert row.state.value == want.state, where
    assert row.lost_share == same(want.lost_share), where
    assert set(row.functions_lost) == want.functions_lost, where
    assert row.load_bearing == want.load_bearing, where
    assert row.restore_days == same(want.restore_days), where
    assert row.lost_days == same(want.lost_days), where
    assert row.cost == same(want.cost), where
    if want.load_bearing and want.lost_share < 1:
        assert row.decide, where
    if want.restore_days is None:
        assert row.reason, where
        return
    assert row.replaced == want.replaced, where
    assert row.fitted in want.may_be_fitted, where
    assert row.hands_on_days == same(want.hands_on_days), where
    assert row.assumed == want.assumed, where
    assert sum(step.days for step in row.long_pole) == same(row.restore_days), where


@pytest.mark.parametrize("seed", SEEDS)
def test_the_list_of_a_random_book_starts_with_the_unknown_then_the_longest(seed: int) -> None:
    fleet = outage(site(seed))
    rows = [fleet.row(index) for index in range(len(fleet))]
    ranks = [(row.lost_days is not None, -(row.lost_days or 0.0)) for row in rows]

    assert ranks == sorted(ranks)
    for index, row in enumerate(rows):
        assert fleet.rank_of(row.crane, row.position) == index


# Lead times -------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", SEEDS)
def test_lead_times_of_a_random_book_are_those_of_the_slow_evaluation(seed: int) -> None:
    snapshot = site(seed)
    for part in snapshot.parts:
        for qty in (1, 2, 5):
            days, assumed = slow.lead_time(snapshot, part, qty)

            answer = lead_time(snapshot, part, qty)

            assert answer.days_mean == same(days), f"{qty} of {part}"
            assert answer.assumed == assumed, f"{qty} of {part}"


@pytest.mark.parametrize("seed", SEEDS)
def test_ways_of_a_random_book_are_open_or_closed_as_the_slow_evaluation_has_it(seed: int) -> None:
    snapshot = site(seed)
    for part in snapshot.parts:
        answer = lead_time(snapshot, part)

        assert all((way.why_not is None) == way.usable for way in answer.ways), part
        assert_same_offers(snapshot, answer)
        assert_same_quantities(snapshot, answer)


def assert_same_offers(snapshot: Snapshot, answer: LeadTimeAnswer) -> None:
    """Every offer of the part itself stands in the answer, with its first unit's days.

    A repair needs the removed unit, so it is a way only for a part that sits on a live crane.
    """
    held = any(
        row.part == answer.part and snapshot.is_live(row.crane) for row in slow.rows_of(snapshot)
    )
    shown = sorted(
        (way.kind, way.supplier or "", round(way.days_mean or 0.0, 6), way.usable)
        for way in answer.ways
        if way.part == answer.part and way.kind in ("new", "made", "used", "repair")
    )
    bears = slow.must_fit_everywhere(snapshot, answer.part)
    offers = sorted(
        (
            row.kind,
            row.supplier,
            round(slow.offer_days(snapshot, row), 6),
            slow.offer_counts(snapshot, row, bears) and (row.kind != "repair" or held),
        )
        for row in snapshot.offers
        if row.part == answer.part
    )

    assert shown == offers, answer.part


def assert_same_quantities(snapshot: Snapshot, answer: LeadTimeAnswer) -> None:
    """Stock and orders of the part and of its counting substitutes: what they hold, and when."""
    wanted = Counter(
        (way.part, round(way.days, 6), way.qty)
        for way in slow.pooled_ways(snapshot, answer.part)
        if way.kind in ("stock", "order", "donor")
    )
    shown = Counter(
        (way.part, round(way.days_mean, 6), way.qty)
        for way in answer.ways
        if way.usable and way.qty and way.days_mean is not None and way.kind != "repair"
    )

    assert shown == wanted, answer.part


# Several failures -------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", SEEDS)
def test_sets_of_a_random_book_come_out_as_the_slow_evaluation_has_them(seed: int) -> None:
    snapshot = site(seed)
    rng = Random(seed)  # noqa: S311 - tests, not secrets
    listed = [(row.crane, row.position) for row in slow_failures.listed(snapshot)]
    for _ in range(6):
        failed = rng.sample(listed, min(len(listed), rng.randint(1, 3)))
        expected = slow_failures.together(snapshot, failed)

        answers = {answer.crane: answer for answer in together(snapshot, failed)}

        assert answers.keys() == expected.keys()
        for crane, want in expected.items():
            answer = answers[crane]
            where = f"{crane} of {failed}"
            assert answer.state.value == want.state, where
            assert answer.lost_share == same(want.lost_share), where
            assert set(answer.functions_lost) == want.functions_lost, where
            assert answer.restore_days == same(want.restore_days), where
            assert answer.lost_days == same(want.lost_days), where
            assert answer.cost == same(want.cost), where


@pytest.mark.parametrize("seed", SEEDS[::5])
def test_a_set_of_one_is_that_position_alone(seed: int) -> None:
    snapshot = site(seed)
    fleet = outage(snapshot)
    for index in range(len(fleet)):
        alone = fleet.row(index)

        (crane,) = together(snapshot, [(alone.crane, alone.position)])

        assert crane.restore_days == same(alone.restore_days), alone.position
        assert crane.lost_days == same(alone.lost_days), alone.position
        assert crane.cost == same(alone.cost), alone.position
        assert set(crane.functions_lost) == set(alone.functions_lost), alone.position
