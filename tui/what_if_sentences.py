"""What a what-if has found, in the sentences of its screen: today beside then."""

from __future__ import annotations

from collections.abc import Iterator

from parts.records.answers import TogetherOutage
from parts.records.what_if_answers import PeriodChange, PositionChange, WhatIfAnswer
from tui import formats
from tui.themes import state_text

Row = tuple[str, str, str, str]
"""A line of figures: its name, today, then, and the change."""
MOST_CRANES = 3


def beside(found: WhatIfAnswer, currency: str | None) -> list[Row]:
    """Return today beside then: a failure crane by crane, and what a year may take.

    A sum that lost a part is not held against a whole one.
    """
    is_told = found.unknown_then <= found.unknown_now
    days_now, days_then = found.exposure_days_now, found.exposure_days_then
    cost_now, cost_then = found.exposure_cost_now, found.exposure_cost_then
    return [
        ("", "as it stands", "then", "change"),
        *(_outage_row(each, currency) for each in found.outages[:MOST_CRANES]),
        (
            "Lost days a year",
            f"{days_now:,.1f}",
            f"{days_then:,.1f}" if is_told else formats.NOT_KNOWN,
            signed(days_then - days_now, 1) if is_told else "?",
        ),
        (
            "Money a year",
            formats.money(cost_now, currency),
            formats.money(cost_then if is_told else None, currency),
            signed(cost_then - cost_now, 0) if is_told else "?",
        ),
    ]


def signed(change: float, digits: int) -> str:
    """Return a change of a sum with its sign, or that there is none to be seen."""
    text = f"{change:+,.{digits}f}"
    return text if text.strip("+-0.,") else "none"


def _outage_row(outage: TogetherOutage, currency: str | None) -> Row:
    """What a failure does to one crane, beside the crane as it stands."""
    state = state_text(outage.state)
    if outage.restore_days is None:
        return outage.crane, "in service", f"{state}, nobody knows how long", "?"
    then = f"{state} for {formats.days(outage.restore_days)}"
    cost = "" if not outage.cost else f", {formats.money(outage.cost, currency)}"
    return outage.crane, "in service", then, f"{formats.days(outage.lost_days)} lost{cost}"


def answer_text(found: WhatIfAnswer) -> str:
    """Return where it changes, what nobody would know, and what was taken as given."""
    notes = [f"{note[:1].upper()}{note[1:]}." for note in found.notes]
    return " ".join([*_more_cranes(found), *_where(found), *_periods(found), *notes])


def _more_cranes(found: WhatIfAnswer) -> Iterator[str]:
    if len(found.outages) > MOST_CRANES:
        yield f"{formats.count(len(found.outages) - MOST_CRANES, 'more crane')} would be touched."


def _where(found: WhatIfAnswer) -> Iterator[str]:
    listed = min(found.changed, len(found.changes))
    which = f", the {listed} that change most are listed" if listed < found.changed else ""
    yield f"Changes at {formats.count(found.changed, 'position')}{which}."
    if found.unknown_then != found.unknown_now:
        yield (
            f"Nobody would know how to restore {formats.count(found.unknown_then, 'position')}, "
            f"today {found.unknown_now:,}; those add nothing to the sums."
        )


def _periods(found: WhatIfAnswer) -> Iterator[str]:
    if found.periods:
        first = found.periods[0]
        number = formats.count(len(found.periods), "working period")
        yield (
            f"{number} would end on another day, first {first.crane} {first.mechanism} on "
            f"{formats.day(first.runs_out_then)}."
        )


def period_sentence(period: PeriodChange) -> str:
    """Return when one working period ends, and when it would."""
    return (
        f"{period.crane}, {period.mechanism}: used up on {formats.day(period.runs_out_now)} as "
        f"used now; then on {formats.day(period.runs_out_then)}."
    )


def change_sentence(change: PositionChange) -> str:
    """Return what one position's failure takes today and in a year, and what it would take."""
    if change.present == "now":
        return f"{_failing(change.lost_days_now)} as things are; then it is gone."
    if change.present == "then":
        then = _lost(change.lost_days_then)
        return (
            f"It is not there by itself as things are; then, if {change.part_then} fails, {then}."
        )
    fits = "" if change.part_then == change.part else f" with {change.part_then} in its place"
    if change.lost_days_now == change.lost_days_then:
        once = f"{_failing(change.lost_days_now)}, then as now{fits}"
    else:
        now, then = _lost(change.lost_days_now), _lost(change.lost_days_then)
        once = f"If it fails today: as things are {now}; then{fits} {then}"
    if change.year_days_now is None and change.year_days_then is None:
        return f"{once}. What it takes in a year nobody knows."
    year_now, year_then = _of_a_year(change.year_days_now), _of_a_year(change.year_days_then)
    return f"{once}. In a year: {year_now} as things are, then {year_then}."


def _of_a_year(days: float | None) -> str:
    return "days that nobody knows" if days is None else f"{days:,.2f} lost days"


def _failing(days: float | None) -> str:
    return f"If it fails today {_lost(days)}"


def _lost(days: float | None) -> str:
    if days is None:
        return "nobody knows how long it stands"
    return f"{formats.days_in_words(days)} of work are lost"


def more_text(more_days: float | None) -> str:
    """Return a change with its sign."""
    if more_days is None:
        return "?"
    if not more_days:
        return formats.days(0.0)
    return f"{'+' if more_days > 0 else '-'}{formats.days(abs(more_days))}"
