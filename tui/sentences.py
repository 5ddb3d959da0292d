"""The answers as sentences: what a failure does, what it waits for, what must be decided by whom.

Knows the answers that the services give and how a keeper would say them; refuses to know widgets.
Where a load-bearing position is concerned no sentence says that the crane may run.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from parts.records import cautions
from parts.records.states import State
from tui import formats
from tui.themes import STATE_LOOKS, state_text

if TYPE_CHECKING:
    from parts.records.answers import CraneOutage, PositionOutage, Step, TogetherOutage

ASK_FIRST = "ask first"
"""Stands where a load-bearing position has a twin: a qualified person decides on running."""

CAUTION = "A planning aid: no inspection, no permission to run. Qualified persons decide."
CAUTION_OF_FITTING = (
    "Fitting, testing and handing the crane back belong to qualified persons under the local code; "
    "a booking releases nothing."
)
CAUTIONS = cautions.IN_FULL


def state_word(outage: PositionOutage) -> str:
    """Return symbol and word of what the failure does to the crane."""
    if outage.decide is not None:
        return f"{STATE_LOOKS[State.REDUCED].symbol} {ASK_FIRST}"
    return state_text(outage.state)


def state_style(outage: PositionOutage) -> str:
    """Return the style word of the state's cell."""
    return STATE_LOOKS[State.REDUCED if outage.decide else outage.state].style


def is_assumed(outage: PositionOutage) -> bool:
    return outage.restore_days is not None and (outage.assumed or outage.hours_assumed)


def longest_step(outage: PositionOutage) -> Step | None:
    """Return the step that most of the time goes into."""
    return max(outage.long_pole, key=lambda step: step.days, default=None)


class Made(NamedTuple):
    """The operations of a long pole: of what, how many, their days, and the longest of them."""

    what: str
    operations: int
    days: float
    longest: str
    longest_days: float


def operation_of(step: Step) -> tuple[str, str] | None:
    """Return what a step works on and the operation, for a step of a route."""
    if not step.record.startswith("routes "):
        return None
    cuts = [at for at in range(len(step.step)) if step.step.startswith(": ", at)]
    named = ((step.step[:at], step.step[at + 2 :]) for at in cuts)
    return next((found for found in named if step.record.endswith(f"/{found[1]}")), None)


def made(outage: PositionOutage) -> Made | None:
    """Return the operations as one, where the long pole has more than one."""
    steps = [(operation_of(step), step.days) for step in outage.long_pole]
    found = [(*names, days) for names, days in steps if names is not None]
    if len(found) < 2:
        return None
    what, longest, longest_days = max(found, key=lambda each: each[2])
    return Made(what, len(found), sum(days for _, _, days in found), longest, longest_days)


def waits_for(outage: PositionOutage) -> str:
    """Return what the crane would wait for longest, as a cell of a table."""
    longest, whole = longest_step(outage), made(outage)
    if longest is None:
        return outage.reason
    if whole is not None and whole.days > longest.days:
        return f"{whole.what}: {whole.operations} operations{_assumed_words(outage)}"
    return step_words(longest, outage)


def _assumed_words(outage: PositionOutage) -> str:
    return " (assumed)" if outage.assumed else ""


def step_words(step: Step, outage: PositionOutage) -> str:
    """Return a step of an outage."""
    return words_at(step, f"{outage.crane}/{outage.replaced}")


def words_at(step: Step, place: str) -> str:
    """Return a step without the place that the reader knows already."""
    place = f"hands-on at {place}, "
    words = step.step
    if words.startswith(place):
        words = f"hands-on, {words.removeprefix(place)}"
    return f"{words} (assumed)" if step.assumed and "assumed" not in words else words


def answer(outage: PositionOutage) -> str:
    """Return the answer in one sentence: what happens, for how long, because of what."""
    head = f"If {outage.position} breaks today, "
    if outage.restore_days is None:
        return f"{head}nobody knows when {outage.crane} is restored: {outage.reason}."
    days = formats.days_in_words(outage.restore_days)
    return f"{head}{_what_happens(outage, days)}, because {_because(outage)}."


def _what_happens(outage: PositionOutage, days: str) -> str:
    if outage.state is State.DOWN:
        return f"{outage.crane} stands still for {days}"
    if outage.state is State.REDUCED:
        lost = formats.share(outage.lost_share)
        return f"{outage.crane} loses {lost} of its work for {days}"
    if outage.decide is not None:
        return f"its twin is all that is left on {outage.crane} for {days}"
    return f"{outage.crane} loses no work that is recorded, but takes {days} to restore"


def _because(outage: PositionOutage) -> str:
    """Return what most of the days go into."""
    longest, whole = longest_step(outage), made(outage)
    if longest is None:
        return "no step is recorded"
    if whole is not None and whole.days > longest.days:
        words = (
            f"{whole.what} needs {whole.operations} operations{_assumed_words(outage)}, "
            f"{formats.days_in_words(whole.days)}; the longest is {whole.longest}, "
            f"{formats.days_in_words(whole.longest_days)}"
        )
    else:
        words = f"of {step_words(longest, outage)}, {formats.days_in_words(longest.days)}"
    if outage.replaced == outage.position:
        return words
    return f"{words}; {outage.replaced} is exchanged as a whole"


def money_lost(outage: PositionOutage, currency: str | None) -> str:
    """Return lost days and money in one line."""
    lost = formats.days(outage.lost_days)
    return f"lost days {lost} · cost {formats.money(outage.cost, currency)}"


def fleet_answer(cranes: Sequence[CraneOutage], retired: int) -> str:
    """Return what the whole fleet comes to, in two sentences."""
    positions = sum(crane.positions for crane in cranes)
    unknown = sum(crane.unknown for crane in cranes)
    said = f"{formats.count(len(cranes), 'crane')}, {formats.count(positions, 'position')}"
    if retired:
        said += f", {formats.count(retired, 'retired crane')} left out"
    known = [c.worst for c in cranes if c.worst and c.worst.restore_days is not None]
    if unknown:
        return f"{said}. Nobody knows how to restore {unknown} of them."
    if not known:
        return f"{said}."
    worst = max(known, key=lambda outage: outage.lost_days or 0)
    days = formats.days_in_words(worst.restore_days or 0)
    return f"{said}. Longest: {worst.crane}, {days}."


def together_answer(found: TogetherOutage) -> str:
    """Return what one crane of a set that fails together comes to."""
    if found.restore_days is None:
        return f"{found.crane}: nobody knows when it is restored."
    days = formats.days_in_words(found.restore_days)
    if found.state is State.DOWN:
        return f"{found.crane} stands still for {days}."
    if found.state is State.REDUCED:
        return f"{found.crane} loses {formats.share(found.lost_share)} of its work for {days}."
    return f"{found.crane} loses no work that is recorded; all is restored after {days}."
