"""What if, as a JSON document and as lines of text: today beside then."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from datetime import date
from typing import Any

from parts.cli import documents
from parts.cli.tables import CAUTION, STATE_WORDS, days, money, table
from parts.records.what_if_answers import PositionChange, Question, WhatIfAnswer

Document = dict[str, Any]
NOT_SAVED = "Nothing was saved: the answer was reckoned on a changed copy."


def document(question: Question, answer: WhatIfAnswer) -> Document:
    return {
        "question": {**asdict(question), "places": [list(each) for each in question.places]},
        "now": {
            "lost_days_per_year": answer.exposure_days_now,
            "cost_per_year": answer.exposure_cost_now,
            "unknown_positions": answer.unknown_now,
        },
        "then": {
            "lost_days_per_year": answer.exposure_days_then,
            "cost_per_year": answer.exposure_cost_then,
            "unknown_positions": answer.unknown_then,
        },
        "changed": answer.changed,
        "changes": [
            {**asdict(each), "more_days": each.more_days, "more_days_a_year": each.more_days_a_year}
            for each in answer.changes
        ],
        "outages": documents.together(answer.outages),
        "working_periods": [
            {
                "crane": each.crane,
                "mechanism": each.mechanism,
                "used_share": each.used_share,
                "runs_out_now": _iso(each.runs_out_now),
                "runs_out_then": _iso(each.runs_out_then),
            }
            for each in answer.periods
        ],
        "notes": list(answer.notes),
    }


def lines(question: Question, answer: WhatIfAnswer, currency: str | None, most: int) -> list[str]:
    """The question, today beside then, and the positions that change most."""
    found = [question.sentence, "", *table(("", "now", "then"), _totals(answer, currency), "lrr")]
    if answer.unknown_then > answer.unknown_now:
        found.append("What nobody would know how to restore adds nothing to the figures of then.")
    if answer.changes:
        found += ["", "The positions that change most:"]
        header = ("crane", "position", "part", "lost days now", "then",
                  "days a year now", "then")  # fmt: skip
        found += table(header, (_row(each) for each in answer.changes), "lllrrrr")
        if answer.changed > len(answer.changes):
            found.append(f"... and {answer.changed - len(answer.changes)} more")
    else:
        found += ["", "No position would stand longer or shorter, or fail more or less often."]
    if answer.periods:
        found += ["", "Working periods that end on another day:"]
        periods = (
            (each.crane, each.mechanism, _iso(each.runs_out_now), _iso(each.runs_out_then))
            for each in answer.periods[:most]
        )
        columns = ("crane", "mechanism", "used up on", "then on")
        found += table(columns, ([each or "not known" for each in row] for row in periods))
        if len(answer.periods) > most:
            found.append(f"... and {len(answer.periods) - most} more")
    return [*found, "", *(f"note: {note}" for note in answer.notes), NOT_SAVED, CAUTION]


def _totals(answer: WhatIfAnswer, currency: str | None) -> Iterator[tuple[str, str, str]]:
    for each in answer.outages:
        state = f"{STATE_WORDS[each.state]}, restored in {days(each.restore_days)} days"
        yield each.crane, "in service", state
        yield f"{each.crane}: lost days", "0.0", days(each.lost_days)
        yield f"{each.crane}: money", money(0.0, currency), money(each.cost, currency)
    yield "lost days a year", days(answer.exposure_days_now), days(answer.exposure_days_then)
    yield (
        "money a year",
        money(answer.exposure_cost_now, currency),
        money(answer.exposure_cost_then, currency),
    )
    yield "not known how to restore", f"{answer.unknown_now:,}", f"{answer.unknown_then:,}"


def _row(change: PositionChange) -> tuple[str, ...]:
    part = change.part or "not recorded"
    if change.present != "now" and change.part_then != change.part:
        part = f"{part} > {change.part_then}"
    gone, new = change.present == "now", change.present == "then"
    return (
        change.crane,
        change.position,
        part,
        "-" if new else days(change.lost_days_now),
        "gone" if gone else days(change.lost_days_then),
        "-" if new else _fine(change.year_days_now),
        "gone" if gone else _fine(change.year_days_then),
    )


def _fine(value: float | None) -> str:
    """Days of a year, of which a single position takes few."""
    return "not known" if value is None else f"{value:,.2f}"


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
