"""Steps with the stock as forms: which facts each asks for, and the texts turned into a step.

Knows how facts are typed. What a step may do is said by the service that takes it; promises move
nothing, and are asked for in the same way.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from parts.records.settings import plain_day
from tui.forms.fields import Values

A_DAY = "YYYY-MM-DD"
FACTS: dict[str, tuple[str, str]] = {
    "part": ("Part", "its number; type to find it"),
    "qty": ("How many", "whole units"),
    "store": ("Store", "blank: the one that holds it"),
    "bin": ("Bin", ""),
    "at": ("At", "CRANE/POSITION where it is fitted"),
    "for": ("For the job", "that it is promised to"),
    "needed": ("Needed on", f"{A_DAY}, blank: not known"),
    "order": ("Order", "that it belongs to"),
    "over": ("Keep what is over", "yes: more came than ordered"),
    "certificate": ("Certificate", "its number, for what bears load"),
    "condition": ("Condition", "usable, quarantine, in_repair"),
    "expires_on": ("Usable until", A_DAY),
    "serial": ("Serial number", ""),
    "failed_on": ("Failed on", f"{A_DAY}, if it failed there"),
    "restored_on": ("Restored on", f"{A_DAY}, once released to work"),
    "cause": ("Cause", "of the failure"),
    "consumed": ("Used up as well", "parts joined by +"),
    "to_store": ("To store", ""),
    "to_bin": ("To bin", ""),
    "to_condition": ("Its condition then", "usable, quarantine, in_repair"),
    "to_expires_on": ("Usable until then", A_DAY),
    "date": ("Done on", f"{A_DAY}, blank: today"),
    "note": ("Note", ""),
}
"""Each fact with its label and what to type."""
DAYS = ("date", "expires_on", "failed_on", "restored_on", "to_expires_on", "needed")


@dataclass(frozen=True)
class StepForm:
    """One kind of step: its word, what it is for, the facts in the order that they are asked."""

    kind: str
    word: str
    says: str
    facts: tuple[str, ...]
    must: tuple[str, ...] = ("part", "qty")
    done: str = ""


STEP_FORMS: tuple[StepForm, ...] = (
    StepForm(
        "issue",
        "issue",
        "hand out units, to a crane and its position or to a job",
        (
            *("part", "qty", "at", "for", "store", "failed_on", "restored_on", "cause"),
            *("consumed", "serial", "expires_on", "date", "note"),
        ),
        done="issued",
    ),
    StepForm(
        "receive",
        "receive",
        "put a delivery away, against its order",
        (
            *("part", "qty", "order", "store", "bin", "expires_on", "certificate", "serial"),
            *("condition", "over", "date", "note"),
        ),
        done="received",
    ),
    StepForm(
        "return",
        "return",
        "take units back, in the condition that they are in",
        ("part", "qty", "condition", "at", "store", "bin", "serial", "expires_on", "date", "note"),
        ("part", "qty", "condition"),
        "taken back",
    ),
    StepForm(
        "count",
        "count",
        "say what is on the shelf; the difference is booked",
        ("part", "qty", "store", "date", "note"),
        done="counted",
    ),
    StepForm(
        "transfer",
        "transfer",
        "move units to another store, bin or condition",
        (
            *("part", "qty", "store", "to_store", "to_bin", "condition", "to_condition"),
            *("expires_on", "to_expires_on", "serial", "date", "note"),
        ),
        done="moved",
    ),
    StepForm(
        "scrap",
        "scrap",
        "throw units away, and say why",
        ("part", "qty", "note", "store", "condition", "expires_on", "serial", "date"),
        ("part", "qty", "note"),
        "scrapped",
    ),
    StepForm(
        "care",
        "care",
        "note that units in store were turned, re-formed or inspected",
        ("part", "store", "expires_on", "date", "note"),
        ("part",),
        "looked after",
    ),
)
PROMISE = StepForm(
    "promise",
    "promise",
    "keep units for a planned job; they stay where they are",
    ("part", "qty", "for", "needed"),
    ("part", "qty", "for"),
    "promised",
)
RELEASE = StepForm(
    "release",
    "release",
    "take a promise back; its units are free again",
    ("part", "for"),
    ("part", "for"),
    "released",
)
FORM_OF = {form.kind: form for form in STEP_FORMS}
NEW_NAMES = {"store", "to_store", "for"}
"""Facts that may name what nothing on record names yet: what is offered is not taken unasked."""


def whole_number(text: str) -> int:
    """The whole number that a text stands for; ValueError says what it is not."""
    if not (text.isascii() and text.isdigit()) or len(text) > 10:
        raise ValueError("type a whole number, such as 2")
    return int(text)


def wrong_texts(values: Values) -> dict[str, str]:
    """What is wrong with which fact, as far as its text tells."""
    wrong = {}
    for name, text in values.items():
        read = _READS.get(name)
        if text and read is not None:
            try:
                read(text)
            except ValueError as why:
                wrong[name] = str(why)
    return wrong


def facts_of(values: Values, today: date) -> dict[str, Any]:
    """The facts of a step as its record wants them, but for where it is fitted."""
    found: dict[str, Any] = {}
    for name, text in values.items():
        if text and name != "at":
            found[_NAMES.get(name, name)] = _READS.get(name, str)(text)
    found.setdefault("date", today)
    found.setdefault("qty", 0)
    return found


def field_of(fact: str) -> str:
    """The line of a form that a fact of a step is typed in."""
    return {"position": "at", "crane": "at", "for_": "for"}.get(fact, fact)


def _day(text: str) -> date:
    try:
        return plain_day(text)
    except ValueError as why:
        raise ValueError(f"{why}; type one such as 2026-12-31") from None


def _yes(text: str) -> bool:
    if text not in ("yes", "no"):
        raise ValueError("type yes or no")
    return text == "yes"


def _joined(text: str) -> tuple[str, ...]:
    return tuple(name.strip() for name in text.split("+"))


_NAMES: Mapping[str, str] = {"for": "for_"}
_READS: dict[str, Callable[[str], Any]] = {
    "qty": whole_number,
    "over": _yes,
    "consumed": _joined,
    **dict.fromkeys(DAYS, _day),
}
