"""What needs somebody today: lines by person and kind, each with the place where it is settled.

Knows no figures of its own. Invariant: within a kind the most urgent line comes first, and a line's
`figure` counts what its kind says.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import Literal

Person = Literal["storeroom", "maintenance", "purchasing"]
HEADINGS: dict[Person, str] = {
    "storeroom": "storeroom",
    "maintenance": "maintenance lead",
    "purchasing": "purchasing",
}
PlaceKind = Literal["part", "position", "crane", "order", "last buy", "to order", "questions"]


class Urgency(Enum):
    """Now: the day is here or over. Soon: within SOON_DAYS. Later: it waits without a day."""

    NOW = "now"
    SOON = "soon"
    LATER = "later"


@dataclass(frozen=True, slots=True)
class Kind:
    """What sort of thing waits; `counts` says what the figure of its lines counts."""

    name: str
    title: str
    counts: str


LOST_DAYS = "lost days a year through the part"
KINDS: dict[Person, tuple[Kind, ...]] = {
    "storeroom": (
        Kind("due_in", "due in", "days since it was due"),
        Kind("below", "below the limit", LOST_DAYS),
        Kind("not_reordered", "never reordered", "days since the last issue"),
        Kind("shelf_life", "shelf life", "days past it"),
        Kind("care", "care due", "days since it was due"),
        Kind("quarantine", "in quarantine", "days waiting"),
        Kind("repair", "to be repaired", "days waiting"),
        Kind("count", "to be counted", "days a spare takes to come"),
    ),
    "maintenance": (
        Kind("danger", "danger", LOST_DAYS),
        Kind("open_failure", "open failure", "days since it failed"),
        Kind("risen", "risk has risen", "lost days a year more"),
        Kind("notice", "new notice", LOST_DAYS),
        Kind("last_day", "last day to buy", "days since that day"),
        Kind("going", "hard to get soon", LOST_DAYS),
        Kind("duty", "working period", "days since it was used up"),
        Kind("retirement", "crane retires", "days since that day"),
    ),
    "purchasing": (
        Kind("late_order", "late order", "days overdue"),
        Kind("order_now", "order now", LOST_DAYS),
        Kind("last_order", "last order", "days since the day to order"),
        Kind("no_price", "no price given", LOST_DAYS),
        Kind("sole_source", "one source only", LOST_DAYS),
        Kind("old_quotation", "old quotations", "lost days a year through the parts"),
    ),
}


@dataclass(frozen=True, slots=True)
class Place:
    """Where a line is settled: a part, a position, a crane, a late order, the last order of a
    part, the list of what to order, or the questions to a supplier."""

    what: PlaceKind
    part: str | None = None
    crane: str | None = None
    position: str | None = None
    order: str | None = None
    supplier: str | None = None


@dataclass(frozen=True, slots=True)
class TodayLine:
    """One thing that waits. `figure` ranks the lines of a kind, the largest first; None = not
    known, which stands at the head. `record` names the row that it rests on."""

    kind: str
    subject: str
    sentence: str
    why: str
    due_on: datetime.date | None
    urgency: Urgency
    figure: float | None
    at: Place
    record: str


@dataclass(frozen=True, slots=True)
class PersonToday:
    """What waits for one person, by kind; `notes` say what the list leaves out."""

    person: Person
    lines: tuple[TodayLine, ...]
    notes: tuple[str, ...] = ()

    @property
    def pressing(self) -> int:
        """How many lines are for today."""
        return sum(line.urgency is Urgency.NOW for line in self.lines)


@dataclass(frozen=True, slots=True)
class TodayAnswer:
    """The lists of one day; risks are compared with those of `since`."""

    today: datetime.date
    since: datetime.date
    people: tuple[PersonToday, ...]

    def of(self, person: Person) -> PersonToday:
        return next(each for each in self.people if each.person == person)


def kind_of(person: Person, line: TodayLine) -> Kind:
    """The kind of a line on a person's list."""
    return next(kind for kind in KINDS[person] if kind.name == line.kind)


def grouped(listed: PersonToday) -> Iterator[tuple[Kind, tuple[TodayLine, ...]]]:
    """The kinds that have lines, each with its lines."""
    for kind in KINDS[listed.person]:
        lines = tuple(line for line in listed.lines if line.kind == kind.name)
        if lines:
            yield kind, lines
