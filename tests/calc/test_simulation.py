"""The simulation against what is known of renewal, series, parallel and queueing systems.

Sources (from memory): Barlow and Proschan, Statistical Theory of Reliability and Life Testing
(1975), for one unit in and out of service, series systems whose other units stand still and
parallel ones; Palm (1938), as in Sherbrooke, Optimal Inventory Modeling of Systems (2004), for
waits with a base stock.
"""

from __future__ import annotations

from datetime import date
from math import exp

import numpy as np
import pytest

from parts.calc.likelihoods.renewals import expected_renewals
from parts.calc.simulating.simulated_events import draw
from parts.calc.simulating.simulated_fleet import SimulatedFleet
from parts.calc.simulating.simulation import OutOfReach, simulate
from parts.records.catalogue import Companion
from parts.records.simulation_answers import SimulationAnswer
from parts.records.snapshot import Snapshot
from tests.calc.simulated_sites import at, exposed, offer, pair, part, site, stock

YEAR = 365.25
RUNS, YEARS = 100, 100


def simulated(snapshot: Snapshot, runs: int = RUNS, years: float = YEARS) -> SimulationAnswer:
    return simulate(exposed(snapshot), runs=runs, years=years, seed=4)


def assert_loses(answer: SimulationAnswer, days: float) -> None:
    """The published figure is inside the limits, a little widened: one in twenty is outside."""
    found = answer.simulated
    reach = 0.5 * (found.high - found.low)

    assert found.lost_days_per_year == pytest.approx(days, abs=1.5 * reach)
    assert reach < 0.1 * days


# Nothing to simulate -----------------------------------------------------------------------------


def test_an_empty_site_loses_nothing_and_agrees() -> None:
    answer = simulated(site([]))

    assert answer.simulated.lost_days_per_year == 0.0
    assert answer.agree
    assert answer.cranes == ()


def test_a_site_without_rates_loses_nothing_and_names_what_it_does_not_know() -> None:
    answer = simulated(site([at("P", "A")], parts=[part("A")], offers=[offer("A", 20.0)]))

    assert answer.simulated.high == 0.0
    assert answer.agree
    assert answer.unknown == ("C/P",)


def test_what_cannot_be_restored_counts_nothing_on_both_sides_and_is_named() -> None:
    answer = simulated(site([at("P", "A", 1.0)], parts=[part("A")]))

    assert answer.simulated.lost_days_per_year == answer.formula_days_per_year == 0.0
    assert answer.unknown == ("C/P",)


@pytest.mark.parametrize(("runs", "years"), [(1, 10), (0, 10), (10**6, 10), (2, 0), (2, 10**6)])
def test_runs_and_years_that_cannot_be_simulated_are_refused(runs: int, years: int) -> None:
    with pytest.raises(OutOfReach, match="runs"):
        simulated(site([]), runs, years)


def test_more_failures_than_the_memory_holds_are_refused() -> None:
    busy = site([at("P", "A", 1e6)], parts=[part("A")], offers=[offer("A", 1.0)])

    with pytest.raises(OutOfReach):
        simulated(busy, 2, 100)


def test_too_few_outages_to_judge_are_said() -> None:
    rare = site([at("P", "A", 1e-6)], parts=[part("A")], offers=[offer("A", 9.0)])

    assert any("too few to judge" in note for note in simulated(rare, 10, 10).notes)


# One crane ---------------------------------------------------------------------------------------


def test_one_unit_without_spares_is_down_for_rho_over_one_plus_rho() -> None:
    rho = 0.8 * 50.0 / YEAR
    answer = simulated(site([at("P", "A", 0.8)], parts=[part("A")], offers=[offer("A", 50.0)]))

    assert answer.formula_days_per_year == pytest.approx(YEAR * rho / (1.0 + rho))
    assert_loses(answer, YEAR * rho / (1.0 + rho))


def test_hands_on_time_is_part_of_an_outage() -> None:
    rho = 0.8 * (50.0 + 3.0) / YEAR
    slow = site([at("P", "A", 0.8, exchange_hours=48.0)],
                parts=[part("A")], offers=[offer("A", 50.0)])  # fmt: skip

    assert_loses(simulated(slow), YEAR * rho / (1.0 + rho))


def test_parts_in_series_stand_still_while_another_is_out() -> None:
    rho = 2.0 * 60.0 / YEAR + 1.0 * 90.0 / YEAR
    answer = simulated(site([at("P", "A", 2.0), at("Q", "B", 1.0)],
                            parts=[part("A"), part("B")],
                            offers=[offer("A", 60.0), offer("B", 90.0)]))  # fmt: skip

    assert_loses(answer, YEAR * rho / (1.0 + rho))


def test_a_pair_without_spares_is_down_when_both_are() -> None:
    u, v = (rho / (1.0 + rho) for rho in (2.0 * 60.0 / YEAR, 1.0 * 90.0 / YEAR))
    answer = simulated(site([at("P", "A", 2.0), at("Q", "B", 1.0)], needs=pair(),
                            parts=[part("A"), part("B")],
                            offers=[offer("A", 60.0), offer("B", 90.0)]))  # fmt: skip

    assert_loses(answer, YEAR * u * v)


def test_a_reduced_crane_loses_its_share_and_its_parts_go_on_failing() -> None:
    u, v = (rho / (1.0 + rho) for rho in (2.0 * 60.0 / YEAR, 1.0 * 90.0 / YEAR))
    answer = simulated(site([at("P", "A", 2.0), at("Q", "B", 1.0)], lost_share=0.4,
                            parts=[part("A"), part("B")],
                            offers=[offer("A", 60.0), offer("B", 90.0)]))  # fmt: skip

    assert_loses(answer, YEAR * 0.4 * (1.0 - (1.0 - u) * (1.0 - v)))


def test_what_no_function_needs_loses_nothing() -> None:
    idle = site([at("P", "A", 2.0)], hard=False, parts=[part("A")], offers=[offer("A", 60.0)])

    assert simulated(idle).simulated.high == 0.0


# Stock and sets ----------------------------------------------------------------------------------


def test_with_a_spare_a_failure_waits_as_palm_says() -> None:
    """Planned use makes nearly all of the demand, so that it is Poisson whatever the crane does."""
    mean, stocked, rate = 5.05 * 100.0 / YEAR, 2, 0.05
    none, one = exp(-mean), mean * exp(-mean)
    owed = mean - stocked + 2.0 * none + one  # E[(N - 2)+]
    rho = rate * (owed / mean * 100.0) / YEAR
    answer = simulated(site([at("P", "A", rate)], parts=[part("A", planned_per_year=5.0)],
                            offers=[offer("A", 100.0)], movements=[stock("A", stocked)]),
                       300, 300)  # fmt: skip

    assert_loses(answer, YEAR * rho / (1.0 + rho))


def test_a_set_waits_for_its_last_member() -> None:
    rho = 1.0 * 90.0 / YEAR
    pinion = Companion(part="A", companion="B")
    answer = simulated(site([at("P", "A", 1.0)], parts=[part("A"), part("B")],
                            companions=[pinion],
                            offers=[offer("A", 20.0), offer("B", 90.0)]))  # fmt: skip

    assert_loses(answer, YEAR * rho / (1.0 + rho))


def test_a_companion_by_chance_is_waited_for_when_it_is_needed() -> None:
    rho = 1.0 * (0.7 * 20.0 + 0.3 * 90.0) / YEAR
    seal = Companion(part="A", companion="B", chance=0.3)
    answer = simulated(site([at("P", "A", 1.0)], parts=[part("A"), part("B")], companions=[seal],
                            offers=[offer("A", 20.0), offer("B", 90.0)]))  # fmt: skip

    assert_loses(answer, YEAR * rho / (1.0 + rho))


def test_a_pair_of_wheels_on_one_shelf_needs_two_units() -> None:
    """Two kept: a failure waits only if the shelf was emptied within the lead before it."""
    other = Companion(part="A", companion="A")
    late = exp(-1.0 * 30.0 / YEAR)
    wait = 30.0 - (1.0 - late) * YEAR / 1.0  # integral of 1 - exp(-u/year) over the lead
    wheels = site([at("P", "A", 0.02)], parts=[part("A", planned_per_year=0.98)],
                  companions=[other], offers=[offer("A", 30.0)],
                  movements=[stock("A", 2)])  # fmt: skip
    rho = 0.02 * wait / YEAR
    answer = simulated(wheels, 500, 2000)

    assert_loses(answer, YEAR * rho / (1.0 + rho))


def test_an_assembly_on_the_shelf_is_exchanged_and_rebuilt() -> None:
    boxed = site(
        [at("box", "G"), at("gear", "A", 0.3, parent="box")],
        parts=[part("A"), part("G")],
        offers=[offer("A", 200.0), offer("G", 100.0)],
        movements=[stock("G", 1)],
    )
    answer = simulated(boxed)

    assert answer.formula_days_per_year < 5.0
    assert answer.agree


def test_what_cannot_be_bought_again_is_used_up_over_its_years() -> None:
    last = site([at("P", "A", 0.2)], parts=[part("A", default_lead_days=80.0)],
                movements=[stock("A", 2)])  # fmt: skip
    answer = simulated(last)

    assert 0.0 < answer.formula_days_per_year < 0.2 * 80.0
    assert answer.agree


# Ages --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("shape", [0.7, 1.0, 3.5])
def test_a_unit_with_an_age_fails_as_often_as_the_renewals_of_the_coming_year(shape: float) -> None:
    life = {"life_basis": "years", "life_shape": shape, "life_scale": 2.0}
    old = site([at("P", "A", installed=date(2025, 11, 25), qty=2)], parts=[part("A", **life)],
               offers=[offer("A", 9.0)])  # fmt: skip
    fleet = SimulatedFleet(exposed(old))
    events = draw(fleet, 400, 50.0, np.random.default_rng(7))
    came = int((events.days < np.inf).sum())
    age = (date(2026, 11, 25) - date(2025, 11, 25)).days / YEAR
    one = expected_renewals(shape, 2.0, np.array([age]), np.array([1.0]))

    assert came / (400 * 50.0) == pytest.approx(2.0 * float(one[0]), rel=0.02)


# The run -----------------------------------------------------------------------------------------


def busy_site() -> Snapshot:
    return site([at("P", "A", 2.0)], parts=[part("A")], offers=[offer("A", 60.0)])


def test_the_same_seed_gives_the_same_answer_and_another_another() -> None:
    found = exposed(busy_site())
    one, again, other = (simulate(found, runs=5, years=5, seed=seed) for seed in (1, 1, 2))

    assert one == again
    assert one.simulated != other.simulated


def test_progress_is_told_to_the_end_and_what_it_raises_ends_the_run() -> None:
    told: list[tuple[int, int]] = []
    simulate(exposed(busy_site()), runs=5, years=5, seed=1, progress=lambda *at: told.append(at))

    def stop(done: int, steps: int) -> None:
        raise KeyboardInterrupt

    assert told[-1][0] == told[-1][1] > 0
    with pytest.raises(KeyboardInterrupt):
        simulate(exposed(busy_site()), runs=5, years=5, seed=1, progress=stop)
