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
