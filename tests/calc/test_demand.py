"""Demand a year of a part, and the terms that it adds up from."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.calc.failing.fleet import Fleet
from parts.calc.likelihoods.demand import Demand
from parts.calc.likelihoods.planned_use import planned_use
from parts.records.catalogue import Companion, Part
from parts.records.stock import Movement
from parts.records.structure import Crane, Position
from tests.calc.small_snapshot import snapshot_with

NAN = math.nan


def demand(
    rates: Sequence[tuple[str, str | None, float]],
    companions: list[Companion] | None = None,
    planned: dict[str, float] | None = None,
    movements: list[Movement] | None = None,
    retired: bool = False,
) -> Demand:
    """Demand of positions given as (name, part, failures a year), in the order of names."""
    rows = sorted(rates)
    planned = planned or {}
    names = {part for _, part, _ in rows if part} | set(planned)
    for row in companions or []:
        names |= {row.part, row.companion}
    names |= {row.part for row in movements or []}
    snapshot = snapshot_with(
        cranes=[Crane(crane="C", retire_on=date(2026, 1, 1) if retired else None)],
        parts=[Part(part=name, planned_per_year=planned.get(name)) for name in sorted(names)],
        positions=[Position(crane="C", position=name, part=part) for name, part, _ in rows],
        companions=companions or [],
        movements=movements or [],
    )
    told = planned_use(snapshot.movements, snapshot.failures, snapshot.today)
    failures = np.array([rate for _, _, rate in rows], dtype=float)
    return Demand(Fleet(snapshot), failures, told)


def test_a_part_that_sits_nowhere_and_is_not_used_has_no_demand() -> None:
    found = demand([("x", "A", 0.0)], planned={"B": 0.0})

    assert found.per_year("B") == 0.0


def test_positions_of_a_retired_crane_take_nothing() -> None:
    assert demand([("x", "A", 0.5)], retired=True).per_year("A") == 0.0


def test_failures_of_all_positions_add_up() -> None:
    assert demand([("x", "A", 0.2), ("y", "A", 0.3), ("z", "B", 9.0)]).per_year("A") == 0.5


def test_a_rate_that_nobody_knows_counts_nothing_and_is_named() -> None:
    found = demand([("x", "A", 0.2), ("y", "A", NAN)])

    assert found.per_year("A") == 0.2
    assert [(term.units_per_year, term.record) for term in found.terms("A")] == [
        (0.2, "positions C/x"),
        (None, "positions C/y"),
    ]


def test_planned_use_as_stated_wins_over_what_the_movements_tell() -> None:
    issues = [
        Movement(date=date(2026, month, 1), part="A", qty=-1, kind="issue", key=f"{month}")
        for month in (1, 3, 5, 7, 9)
    ]
    told = demand([], movements=issues)
    stated = demand([], movements=issues, planned={"A": 2.0})

    assert told.per_year("A") == pytest.approx(12 * 0.95 / 2)
    assert told.terms("A")[0].record == "movements A"
    assert stated.per_year("A") == 2.0
    assert stated.terms("A")[0].record == "parts A"


def test_a_stated_zero_is_a_figure_and_not_a_blank() -> None:
    issues = [
        Movement(date=date(2026, month, 1), part="A", qty=-1, kind="issue", key=f"{month}")
        for month in (1, 3)
    ]

    assert demand([], movements=issues, planned={"A": 0.0}).per_year("A") == 0.0


def test_a_companion_is_taken_by_failures_and_planned_use_of_its_part() -> None:
    """By hand: (0.5 + 1.5) x 0.25 x 4 = 2, besides 0.1 of its own."""
    along = [Companion(part="A", companion="B", qty=4, chance=0.25)]
    found = demand([("x", "A", 0.5), ("y", "B", 0.1)], along, planned={"A": 1.5})

    assert found.per_year("B") == pytest.approx(2.1)
    assert found.terms("B")[-1].record == "companions A/B"


def test_companions_of_companions_are_not_taken() -> None:
    along = [Companion(part="A", companion="B"), Companion(part="B", companion="C")]

    assert demand([("x", "A", 1.0)], along).per_year("C") == 0.0


def test_a_part_may_be_its_own_companion() -> None:
    found = demand([("x", "A", 0.5)], [Companion(part="A", companion="A", qty=1)])

    assert found.per_year("A") == 1.0


def test_a_companion_that_is_never_needed_is_not_taken() -> None:
    found = demand([("x", "A", 1.0)], [Companion(part="A", companion="B", chance=0.0)])

    assert found.per_year("B") == 0.0
    assert found.terms("B") == ()


@st.composite
def sites(draw: st.DrawFn) -> Demand:
    names = ["A", "B", "C", "D"]
    rates = [
        (f"p{number}", draw(st.sampled_from(names)), draw(st.floats(0.0, 5.0)))
        for number in range(draw(st.integers(0, 6)))
    ]
    pairs = draw(st.sets(st.tuples(st.sampled_from(names), st.sampled_from(names)), max_size=8))
    along = [
        Companion(
            part=part,
            companion=companion,
            qty=draw(st.integers(1, 3)),
            chance=draw(st.sampled_from([0.0, 0.2, 0.7, 1.0])),
        )
        for part, companion in sorted(pairs)
    ]
    planned = dict.fromkeys(names, 0.0) | draw(
        st.dictionaries(st.sampled_from(names), st.floats(0.0, 3.0))
    )
    return demand(rates, along, planned)


@given(sites())
def test_terms_add_up_to_the_demand(found: Demand) -> None:
    for part in ("A", "B", "C", "D"):
        in_terms = sum(term.units_per_year or 0.0 for term in found.terms(part))

        assert in_terms == pytest.approx(found.per_year(part))
