"""What needs each person on a small site of our own invention, asked as the service asks it."""

from __future__ import annotations

from datetime import date, timedelta

from parts.calc.failing.outages import FleetOutage
from parts.calc.ranking.exposures import Exposures
from parts.calc.today.gathering import needs_of_today
from parts.calc.today.risen import Cause, Rise, Risen
from parts.records.today_answers import Person, TodayAnswer, TodayLine
from tests.calc.small_snapshot import TODAY

WEEK_AGO = TODAY - timedelta(days=7)


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def ahead(days: int) -> date:
    return TODAY + timedelta(days=days)


def before(now: Exposures) -> Exposures:
    """The same site as it was known a week ago."""
    return Exposures(FleetOutage(now.snapshot.on(WEEK_AGO)))


def answer(now: Exposures, counted: dict[tuple[str, str], date] | None = None) -> TodayAnswer:
    return needs_of_today(now, before(now), counted)


def lines(now: Exposures, person: Person, kind: str) -> list[TodayLine]:
    """The lines of one kind on a person's list."""
    return [line for line in answer(now).of(person).lines if line.kind == kind]


def line(now: Exposures, person: Person, kind: str) -> TodayLine:
    """The only line of one kind."""
    (found,) = lines(now, person, kind)
    return found


def rises(now: Exposures) -> tuple[Rise, ...]:
    return Risen(now, before(now)).answer()


def causes(now: Exposures, part: str) -> tuple[Cause, ...]:
    """Why a part rose."""
    return next(rise.causes for rise in rises(now) if rise.part == part)
