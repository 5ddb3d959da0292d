"""What needs each person today, as a JSON document and as lines of text."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from parts.cli.tables import CAUTION
from parts.records.today_answers import (
    HEADINGS,
    PersonToday,
    Place,
    TodayAnswer,
    TodayLine,
    grouped,
    kind_of,
)

Document = dict[str, Any]
NOTHING = "Nothing is waiting."
WIDEST_SUBJECT = 26


def document(answer: TodayAnswer, people: tuple[PersonToday, ...]) -> Document:
    return {
        "today": answer.today.isoformat(),
        "since": answer.since.isoformat(),
        **{each.person: _list(each) for each in people},
    }


def _list(listed: PersonToday) -> Document:
    return {
        "heading": HEADINGS[listed.person],
        "pressing": listed.pressing,
        "lines": [_line(listed, line) for _, lines in grouped(listed) for line in lines],
        "notes": list(listed.notes),
    }


def _line(listed: PersonToday, line: TodayLine) -> Document:
    kind = kind_of(listed.person, line)
    return {
        "kind": kind.name,
        "title": kind.title,
        "subject": line.subject,
        "sentence": line.sentence,
        "why": line.why,
        "due_on": None if line.due_on is None else line.due_on.isoformat(),
        "urgency": line.urgency.value,
        "figure": line.figure,
        "figure_counts": kind.counts,
        "settled_at": _place(line.at),
        "record": line.record,
    }


def _place(at: Place) -> Document:
    fields = ("what", "part", "crane", "position", "order", "supplier")
    return {name: getattr(at, name) for name in fields if getattr(at, name) is not None}


def lines(people: tuple[PersonToday, ...]) -> list[str]:
    """A heading for each person, then what waits, kind by kind."""
    found: list[str] = []
    for listed in people:
        found += [*_heading(listed), *_groups(listed), *_notes(listed), ""]
    return [*found, CAUTION]


def _heading(listed: PersonToday) -> Iterator[str]:
    number = len(listed.lines)
    name = HEADINGS[listed.person].capitalize()
    if not number:
        yield f"{name}: {NOTHING[:1].lower()}{NOTHING[1:]}"
        return
    things = "1 thing waits" if number == 1 else f"{number:,} things wait"
    yield f"{name}: {things}, {listed.pressing:,} of them for today."


def _groups(listed: PersonToday) -> Iterator[str]:
    for kind, found in grouped(listed):
        yield f"  {kind.title}:"
        width = max(len(line.subject) for line in found)
        for line in found:
            mark = {"now": "!", "soon": "-", "later": " "}[line.urgency.value]
            yield f"  {mark} {line.subject.ljust(min(width, WIDEST_SUBJECT))}  {line.sentence}"


def _notes(listed: PersonToday) -> Iterator[str]:
    for note in listed.notes:
        yield f"  ({note})"
