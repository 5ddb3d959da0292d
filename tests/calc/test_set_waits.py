"""Waits of sets: degenerate cases, what must hold whatever the figures, and a store run through.

The store is simulated event by event in store_run, apart from the reckoning; nothing here is
published that we know of. Gears, pinions, bearings and seals are examples of our own.
"""

from __future__ import annotations

from math import prod
from random import Random

import pytest

from parts.calc.waiting import nested_windows
from parts.calc.waiting.backorders import mean_wait_days
from parts.calc.waiting.set_waits import Member, set_wait_days
from parts.calc.waiting.uses import Takes, Uses
from tests.calc.store_run import mean_waits

ONE = ((1, 1.0),)
EVENTS = 120_000


def only(stock: str, units: int = 1) -> Takes:
    return Takes(((stock, units),))


def test_nothing_asked_for_waits_for_nothing() -> None:
    assert set_wait_days([], Uses([])) == 0.0


def test_an_unused_set_in_stock_does_not_wait_and_one_without_stock_waits_its_lead() -> None:
    stocked = [Member("gear", ONE, 1, 90.0), Member("seal", ONE, 1, 10.0)]
    bare = [Member("gear", ONE, 0, 90.0), Member("seal", ONE, 1, 10.0)]

    assert set_wait_days(stocked, Uses([])) == 0.0
    assert set_wait_days(bare, Uses([])) == 90.0


def test_a_lead_of_no_days_never_waits() -> None:
    uses = Uses([(5.0, Takes((("gear", 1), ("seal", 1))))])

    assert set_wait_days([Member("gear", ONE, 0, 0.0), Member("seal", ONE, 1, 0.0)], uses) == 0.0


def test_one_member_waits_as_it_does_alone() -> None:
    uses = Uses([(2.0, only("gear")), (0.5, only("gear", 3))])
    alone = mean_wait_days({1: 2.0, 3: 0.5}, 1, 2, 120.0)

    assert set_wait_days([Member("gear", ONE, 2, 120.0)], uses) == pytest.approx(alone, rel=1e-12)


def test_twins_that_always_go_together_wait_as_one() -> None:
    uses = Uses([(3.0, Takes((("gear", 1), ("pinion", 1))))])
    members = [Member("gear", ONE, 3, 200.0), Member("pinion", ONE, 3, 200.0)]

    assert set_wait_days(members, uses) == pytest.approx(
        mean_wait_days({1: 3.0}, 1, 3, 200.0), rel=1e-11
    )


@pytest.mark.parametrize("per_year", [1e-9, 0.01, 1.0, 30.0, 400.0])
def test_the_wait_lies_between_that_of_the_worst_member_and_the_longest_lead(
    per_year: float,
) -> None:
    uses = Uses([(per_year, Takes((("gear", 1), ("seal", 2))))])
    members = [Member("gear", ONE, 2, 100.0), Member("seal", ((2, 1.0),), 9, 60.0)]
    worst = max(each.own_wait_days(uses) for each in members)

    wait = set_wait_days(members, uses)

    assert worst - 1e-9 <= wait <= 100.0


def test_a_member_without_stock_is_a_floor() -> None:
    uses = Uses([(2.0, Takes((("gear", 1), ("pinion", 1))))])
    shorter = [Member("gear", ONE, 0, 100.0), Member("pinion", ONE, 1, 90.0)]
    longer = [Member("gear", ONE, 0, 100.0), Member("pinion", ONE, 1, 150.0)]

    assert set_wait_days(shorter, uses) == 100.0
    assert 100.0 < set_wait_days(longer, uses) < 150.0


def test_random_sets_stay_between_their_bounds() -> None:
    rng = Random(7)  # noqa: S311 - tests, not secrets
    for _ in range(150):
        stocks = [f"P{number}" for number in range(rng.randint(1, 6))]
        needs = {stock: rng.choice([ONE, ONE, ((2, 1.0),), ((1, 0.4),)]) for stock in stocks}
        members = [
            Member(stock, needs[stock], rng.randint(0, 5), rng.choice([30.0, 80.0, 200.0]))
            for stock in stocks
        ]
        rows = [(rng.uniform(0.0, 4.0), Takes(tuple((s, needs[s][0][0]) for s in stocks)))]
        for _ in range(3):
            some = rng.sample(stocks, rng.randint(1, len(stocks)))
            by_chance = tuple((each, 1, 0.3) for each in some[1:2])
            rows.append((rng.uniform(0.0, 3.0), Takes(((some[0], 1),), by_chance)))
        uses = Uses(rows)
        worst = max(each.own_wait_days(uses) for each in members)

        wait = set_wait_days(members, uses)

        assert worst - 1e-9 <= wait <= sum(each.own_wait_days(uses) for each in members) + 1e-9
        assert wait <= max(each.lead_days for each in members)


def test_what_cannot_be_bought_again_is_an_independent_member() -> None:
    uses = Uses([(0.2, Takes((("hook", 1), ("seal", 1))))])
    hook = Member("hook", ONE, 2, 300.0, years_left=10.0)
    owed = sum(0.2706705664732254 * 2.0 ** (n - 2) * 2 / prod(range(1, n + 1)) * (n - 2)
               for n in range(3, 40))  # fmt: skip
    chance = owed / 2.0  # two units are asked for in ten years
    seal_alone = mean_wait_days({1: 0.2}, 1, 1, 400.0)
    shorter = mean_wait_days({1: 0.2}, 1, 1, 100.0)

    assert set_wait_days([hook], uses) == pytest.approx(300.0 * chance, rel=1e-9)
    # max(A, B) = A + (B - A where B is longer): the seal's 400 days against the hook's 300
    both = chance * (300.0 + shorter) + (1.0 - chance) * seal_alone
    assert set_wait_days([hook, Member("seal", ONE, 1, 400.0)], uses) == pytest.approx(both)


def test_too_many_states_are_cut_short_to_a_longer_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    uses = Uses([(4.0, Takes((("a", 1), ("b", 1), ("c", 1)))), (2.0, Takes((("b", 1), ("c", 1))))])
    members = [Member(name, ONE, 3, lead) for name, lead in (("a", 200), ("b", 150), ("c", 90))]
    exact = set_wait_days(members, uses)

    monkeypatch.setattr(nested_windows, "MOST_STATES", 4)

    assert exact < set_wait_days(members, uses) < sum(each.own_wait_days(uses) for each in members)


def test_dozens_of_companions_by_chance_are_still_reckoned() -> None:
    names = [f"P{number}" for number in range(30)]
    uses = Uses([(1.0, Takes((("box", 1),), tuple((name, 1, 0.3) for name in names)))])
    members = [Member(name, ((1, 0.3),), 1, 60.0 + n) for n, name in enumerate(names)]

    wait = set_wait_days([Member("box", ONE, 2, 100.0), *members], uses)

    assert 0.0 < wait < 100.0


GEAR_SET = {"gear": 1, "pinion": 1, "bearing": 2, "seal": 1}
EQUAL = dict.fromkeys(GEAR_SET, 120.0)
UNEQUAL = {"gear": 200.0, "pinion": 150.0, "bearing": 60.0, "seal": 30.0}
SETS = Takes(tuple(GEAR_SET.items()))
# gearbox repairs take bearings and seals at once; seals are changed on their own too
OTHERS = [(1.5, Takes((("bearing", 2), ("seal", 1)))), (4.0, only("seal"))]
BATCHES = [*OTHERS, (0.7, only("gear", 2))]


def members(
    stocks: dict[str, int], leads: dict[str, float], needs: dict[str, tuple[tuple[int, float], ...]]
) -> list[Member]:
    return [Member(name, needs[name], stocks[name], leads[name]) for name in needs]


def needs_of(takes: Takes) -> dict[str, tuple[tuple[int, float], ...]]:
    drawn = [(name, units, 1.0) for name, units in takes.certain] + list(takes.by_chance)
    return {name: ((units, chance),) for name, units, chance in drawn}


def both(
    stocks: dict[str, int], leads: dict[str, float], takes: Takes,
    others: list[tuple[float, Takes]],
) -> tuple[float, float]:  # fmt: skip
    """The reckoned and the simulated wait of the first kind of use."""
    rows = [(4.0, takes), *others]
    reckoned = set_wait_days(members(stocks, leads, needs_of(takes)), Uses(rows))
    names = {stock for _, each in rows for stock in each.stocks}
    shelves = {name: (stocks[name], leads[name]) for name in names}
    events = int(EVENTS * sum(rate for rate, _ in rows) / 4.0 / (1 if stocks["gear"] else 20))
    return reckoned, mean_waits(shelves, rows, events, seed=11)[0]


@pytest.mark.parametrize("others", [[], OTHERS, BATCHES], ids=["alone", "shared", "batches"])
@pytest.mark.parametrize("leads", [EQUAL, UNEQUAL], ids=["equal", "unequal"])
@pytest.mark.parametrize("kept", [0, 1, 2])
def test_a_gear_set_waits_as_a_store_run_through_does(
    kept: int, leads: dict[str, float], others: list[tuple[float, Takes]]
) -> None:
    stocks = {name: kept * units + (name == "seal") for name, units in GEAR_SET.items()}

    reckoned, simulated = both(stocks, leads, SETS, others)

    print(f"kept {kept}: {reckoned:.2f} against {simulated:.2f}")
    assert reckoned == pytest.approx(simulated, rel=0.02)


BY_CHANCE = Takes((("gear", 1), ("bearing", 2)), (("pinion", 1, 0.4), ("seal", 1, 0.7)))


@pytest.mark.parametrize("leads", [EQUAL, UNEQUAL], ids=["equal", "unequal"])
@pytest.mark.parametrize("kept", [0, 1, 2])
def test_companions_by_chance_wait_as_a_store_run_through_does(
    kept: int, leads: dict[str, float]
) -> None:
    stocks = {"gear": 1, "bearing": 2, "pinion": kept, "seal": kept}

    reckoned, simulated = both(stocks, leads, BY_CHANCE, OTHERS)

    print(f"kept {kept}: {reckoned:.2f} against {simulated:.2f}")
    assert reckoned == pytest.approx(simulated, rel=0.02)


def test_a_second_unit_by_chance_waits_as_a_store_run_through_does() -> None:
    takes = Takes((("gear", 1), ("seal", 1)), (("gear", 1, 0.4),))
    rows = [(2.0, takes), (1.0, only("seal"))]
    drawn = [
        Member("gear", ((1, 0.6), (2, 0.4)), 1, 60.0),
        Member("seal", ONE, 2, 90.0),
    ]

    simulated = mean_waits({"gear": (1, 60.0), "seal": (2, 90.0)}, rows, EVENTS, seed=5)[0]

    assert set_wait_days(drawn, Uses(rows)) == pytest.approx(simulated, rel=0.02)


def test_a_batch_of_two_waits_as_a_store_run_through_does() -> None:
    rows = [(2.0, only("seal", 2)), (3.0, only("seal"))]
    of_two, of_one = mean_waits({"seal": (4, 150.0)}, rows, EVENTS, seed=3)
    batches = {1: 3.0, 2: 2.0}

    assert mean_wait_days(batches, 2, 4, 150.0) == pytest.approx(of_two, rel=0.02)
    assert mean_wait_days(batches, 1, 4, 150.0) == pytest.approx(of_one, rel=0.02)


def test_independent_members_would_overstate_the_wait() -> None:
    stocks = dict(GEAR_SET)
    reckoned, simulated = both(stocks, EQUAL, SETS, [])
    apart = Uses([(4.0, only(name, units)) for name, units in GEAR_SET.items()])
    independent = set_wait_days(members(stocks, EQUAL, needs_of(SETS)), apart)

    print(f"whole {reckoned:.2f}, simulated {simulated:.2f}, independent {independent:.2f}")
    assert independent > 1.2 * simulated


def test_a_companion_by_chance_split_off_as_its_own_stream_would_overstate_the_wait() -> None:
    takes = Takes((("gear", 1),), (("pinion", 1, 0.5),))
    stocks, leads = {"gear": 2, "pinion": 1}, {"gear": 150.0, "pinion": 150.0}
    reckoned, simulated = both(stocks, leads, takes, [])
    split = Uses([(4.0, only("gear")), (2.0, only("pinion"))])
    apart = set_wait_days(members(stocks, leads, needs_of(takes)), split)

    print(f"whole {reckoned:.2f}, simulated {simulated:.2f}, split off {apart:.2f}")
    assert reckoned == pytest.approx(simulated, rel=0.02)
    assert apart > 1.05 * simulated
