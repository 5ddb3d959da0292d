"""What a form asks for: one field a line. Knows no screen and no record."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

Values = Mapping[str, str]
"""What is typed, by the names of the fields, trimmed."""


class Offered(NamedTuple):
    """A value that may be meant by what is typed, and what to say of it."""

    value: str
    told: str = ""


Offers = Callable[[str], Sequence[Offered]]
MUST = "must not be blank"


@dataclass(frozen=True)
class FormField:
    """One fact: its name, its label, what to type, whether it may stay blank.

    `offers` tells what may be meant by the text typed so far, the likeliest first; where the value
    may be one that nobody has used yet, `may_be_new`.
    """

    name: str
    label: str
    hint: str = ""
    required: bool = False
    offers: Offers | None = None
    fixed: bool = False
    may_be_new: bool = False


def asked_for(field: FormField) -> str:
    """Return what a line asks for, in full."""
    told = [field.hint or "a text", *([MUST] if field.required else [])]
    return "; ".join(told) + "."


class Meaning(NamedTuple):
    """What a text may mean: what is offered for it, and the one value of these that it stands for
    without a doubt, blank where somebody has to choose."""

    offered: Sequence[Offered]
    sure: str


def meaning_of(text: str, offered: Sequence[Offered]) -> Meaning:
    """Tell what a text means: the value of that name, else the only one if it begins so.

    A value that was found by anything else, such as a description, is never taken unasked: a 2
    typed for a quantity would hand out whatever has a 2 in its number.
    """
    from parts.services.finding import are_one_name

    values = [each.value for each in offered]
    same = [value for value in values if value == text] or [
        value for value in values if are_one_name(value, text)
    ]
    begun = [value for value in values if value.casefold().startswith(text.casefold())]
    for found in (same, begun if len(values) == 1 else []):
        if text and len(found) == 1:
            return Meaning(offered, found[0])
    return Meaning(offered, "")


@dataclass(frozen=True)
class Outcome:
    """What came of saving: what is wrong with which field, or a sentence that says it is done."""

    wrong: Mapping[str, str] = field(default_factory=dict)
    done: str = ""
    refused: str = ""


def among(choices: Sequence[str], told: Mapping[str, str] | None = None) -> Offers:
    """Offer the choices that begin as the text does, all of them for none."""

    def offers(text: str) -> Sequence[Offered]:
        begun = text.strip().casefold()
        return [
            Offered(choice, (told or {}).get(choice, ""))
            for choice in choices
            if choice.casefold().startswith(begun)
        ]

    return offers
