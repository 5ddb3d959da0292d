"""Whatever is asked, sound or not, the file and the site that is known stay as they are."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parts.calc.ranking.exposures import Exposures
from parts.errors import LongpoleError
from parts.records.snapshot import Snapshot
from parts.records.what_if_answers import Question
from parts.services.books import load_demo
from parts.services.risks import exposures
from parts.services.sites import read_snapshot
from parts.services.what_if import ask

TODAY = date(2026, 11, 25)
NUMBERS = st.one_of(
    st.none(),
    st.sampled_from([0.0, 0.25, 0.5, 1.0, 2.0, 8.0, 30.0]),
    st.floats(allow_nan=True, allow_infinity=True),
)


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    found = tmp_path_factory.mktemp("what if") / "demo.db"
    load_demo(str(found))
    return found


@pytest.fixture(scope="module")
def known(path: Path) -> Exposures:
    return exposures(read_snapshot(str(path), TODAY))


def questions(snapshot: Snapshot) -> st.SearchStrategy[Question]:
    """Questions about what is on the site, and now and then about what is not."""
    rows = snapshot.positions

    def one_of(names: Any) -> st.SearchStrategy[str]:
        return st.sampled_from([*names, "nothing of that name"])

    def named(asks: Any, *names: st.SearchStrategy[str]) -> st.SearchStrategy[Question]:
        return st.builds(Question, st.just(asks), st.tuples(*names), NUMBERS)

    place = st.tuples(one_of(snapshot.cranes), one_of(rows.position))
    there = st.sampled_from(list(zip(rows.crane, rows.position, strict=True)))
    places = st.lists(st.one_of(there, there, place), max_size=4).map(tuple)
    upgrades = st.lists(one_of(row.upgrade for row in snapshot.upgrades), max_size=2).map(tuple)
    parts, suppliers = one_of(snapshot.parts), one_of(snapshot.suppliers)
    return st.one_of(
        st.builds(lambda found: Question("fail", places=found), places),
        named("quote", suppliers, parts),
        named("close", suppliers),
        named("hours"),
        named("loads"),
        named("spare", parts),
        st.builds(lambda found: Question("upgrade", found), upgrades),
        named("retire", one_of(snapshot.cranes)),
    )


@pytest.fixture(scope="module")
def is_unchanged(path: Path, known: Exposures) -> Callable[[], bool]:
    """Tells whether the file and the site are byte for byte what they were at first."""
    file_before, site_before = path.read_bytes(), pickle.dumps(known.snapshot)
    names_before = sorted(path.parent.iterdir())

    def same() -> bool:
        return (
            path.read_bytes() == file_before
            and sorted(path.parent.iterdir()) == names_before
            and pickle.dumps(known.snapshot) == site_before
        )

    return same


@settings(max_examples=25)
@given(data=st.data())
def test_asking_changes_neither_the_file_nor_what_is_known(
    data: st.DataObject, known: Exposures, is_unchanged: Callable[[], bool]
) -> None:
    question = data.draw(questions(known.snapshot))
    try:
        answer = ask(known, question)
    except (LongpoleError, ValueError):
        answer = None  # refused: nothing may have changed either

    assert is_unchanged()
    if answer is not None:
        assert answer.exposure_days_now == pytest.approx(float(known.days[known.days > 0].sum()))
        assert len(answer.changes) <= answer.changed
