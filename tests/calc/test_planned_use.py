"""What the store's issues tell of planned use, month by month, and what they do not."""

from __future__ import annotations

from datetime import date

import pytest

from parts.calc.likelihoods.intermittent import DemandClass, Start, sba, tsb
from parts.calc.likelihoods.planned_use import PlannedUse, planned_use
from parts.records.history import Failure
from parts.records.stock import Movement

TODAY = date(2026, 11, 25)


def issue(
    day: date, qty: int = 1, key: str = "", crane: str | None = None, position: str | None = None
) -> Movement:
    return Movement(
        date=day, part="P", qty=-qty, kind="issue", key=key or f"{day}",
        crane=crane, position=position,
    )  # fmt: skip


def told(*movements: Movement, failures: tuple[Failure, ...] = ()) -> PlannedUse | None:
    return planned_use(movements, failures, TODAY).get("P")


def test_without_movements_there_is_nothing_to_tell() -> None:
    assert told() is None


@pytest.mark.parametrize("kind", ["opening", "receipt", "return", "count", "transfer", "scrap"])
def test_only_issues_are_use(kind: str) -> None:
    qty = -1 if kind in ("count", "transfer", "scrap") else 1

    assert told(Movement(date=date(2026, 1, 5), part="P", qty=qty, kind=kind)) is None


def test_one_month_with_an_issue_tells_nothing() -> None:
    use = told(issue(date(2026, 3, 1)), issue(date(2026, 3, 31), key="second"))

    assert use is not None
    assert use.monthly == (2, 0, 0, 0, 0, 0, 0, 0)
    assert (use.per_year, use.demand_class, use.method) == (None, None, None)


def test_the_running_month_is_not_over() -> None:
    use = told(issue(date(2026, 9, 30)), issue(date(2026, 11, 24)))

    assert use is not None
    assert use.monthly == (1, 0)
    assert use.per_year is None


def test_a_part_first_issued_this_month_has_no_complete_month() -> None:
    use = told(issue(date(2026, 11, 2)))

    assert use is not None
    assert use.monthly == ()
    assert use.per_year is None


def test_months_run_from_the_first_issue_over_the_turn_of_years() -> None:
    use = told(issue(date(2025, 11, 30)), issue(date(2026, 2, 1), qty=3))

    assert use is not None
    assert use.monthly == (1, 0, 0, 3, 0, 0, 0, 0, 0, 0, 0, 0)


def test_a_reversed_issue_was_never_used() -> None:
    undone = issue(date(2026, 5, 4), qty=7, key="typo")
    reversal = Movement(
        date=date(2026, 6, 1), part="P", qty=7, kind="reversal", reverses="typo", key="undo"
    )
    kept = issue(date(2026, 7, 1))

    use = told(undone, reversal, kept)

    assert use is not None
    assert use.monthly == (1, 0, 0, 0)


def test_a_reversal_that_was_itself_reversed_leaves_the_issue_standing() -> None:
    rows = [
        issue(date(2026, 5, 4), qty=2, key="a"),
        Movement(date=date(2026, 5, 5), part="P", qty=2, kind="reversal", reverses="a", key="b"),
        Movement(date=date(2026, 5, 6), part="P", qty=-2, kind="reversal", reverses="b", key="c"),
    ]
    use = told(*rows)

    assert use is not None
    assert use.monthly[0] == 2


@pytest.mark.parametrize(
    ("day", "is_planned"),
    [
        (date(2025, 12, 31), True),
        (date(2026, 1, 1), False),
        (date(2026, 2, 10), False),
        (date(2026, 2, 11), True),
    ],
)
def test_an_issue_belongs_to_the_failure_while_its_position_is_out(
    day: date, is_planned: bool
) -> None:
    failure = Failure(
        crane="C", position="X", failed_on=date(2026, 1, 1), restored_on=date(2026, 2, 10)
    )
    use = told(issue(day, crane="C", position="X"), failures=(failure,))

    assert (use is not None) is is_planned


@pytest.mark.parametrize(
    ("day", "is_planned"), [(date(2026, 3, 2), False), (date(2026, 3, 3), True)]
)
def test_an_open_failure_takes_the_issues_of_sixty_days(day: date, is_planned: bool) -> None:
    failure = Failure(crane="C", position="X", failed_on=date(2026, 1, 1))
    use = told(issue(day, crane="C", position="X"), failures=(failure,))

    assert (use is not None) is is_planned


def test_an_issue_without_a_place_or_for_another_is_planned_use() -> None:
    failure = Failure(crane="C", position="X", failed_on=date(2026, 1, 1))
    elsewhere = issue(date(2026, 1, 2), key="elsewhere", crane="C", position="Y")
    use = told(issue(date(2026, 1, 2)), elsewhere, failures=(failure,))

    assert use is not None
    assert use.monthly[0] == 2


def test_living_demand_is_estimated_by_sba_and_named() -> None:
    """By hand: months 1, 4, 7, 10, one unit each: size 1, interval 3, factor 0.95."""
    use = told(*(issue(date(2026, month, 3)) for month in (1, 4, 7, 10)))

    assert use is not None
    assert (use.method, use.demand_class) == ("SBA", DemandClass.INTERMITTENT)
    assert use.per_year == pytest.approx(12 * 0.95 / 3)
    assert use.per_year == pytest.approx(12 * (sba(use.monthly) or 0.0))


def test_demand_that_has_not_come_for_two_intervals_is_dying() -> None:
    """Issues in months 1 and 2 of 22: ADI 11, so 20 quiet months are not yet more than 22; with
    four issues in the first eight, ADI 5.5 and 14 quiet months are more than 11."""
    slow = told(issue(date(2025, 1, 2)), issue(date(2025, 2, 2)))
    dying = told(*(issue(date(2025, month, 2)) for month in (1, 2, 5, 8)))

    assert slow is not None
    assert slow.method == "SBA"
    assert dying is not None
    assert (dying.quiet_months, dying.method) == (14, "TSB")
    assert dying.per_year == pytest.approx(12 * (tsb(dying.monthly, start=Start.FIRST_USE) or 0.0))


def test_an_issue_in_the_running_month_shows_that_demand_is_alive() -> None:
    rows = [issue(date(2025, month, 2)) for month in (1, 2, 5, 8)]
    use = told(*rows, issue(date(2026, 11, 3)))

    assert use is not None
    assert (use.quiet_months, use.method) == (0, "SBA")
