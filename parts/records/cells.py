"""One cell of a site book: its text to a value, and a value to its text.

A column's declaration says all that is needed. `reader_of` gives a function that returns the value
or raises ValueError with what is wrong, to be put behind the quoted text. Invariant: `written`
and `reader_of` are each other's inverse for every value that a record may hold.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from parts.records.fields import Column, Kind, columns
from parts.records.settings import plain_day, plain_flag, plain_number

LONGEST_TEXT = 10_000
LARGEST_WHOLE = 2**31 - 1  # what every database keeps in a whole-number column

# Control characters but newline and tab, and what no XML file can hold.
FORBIDDEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")
_WHOLE = re.compile(r"[+-]?\d+\Z", re.ASCII)


def reader_of(column: Column) -> Callable[[str], Any]:
    """The function that turns the text of this column's cells, trimmed and not blank, to values."""
    if column.choices:
        return _choice(column)
    if column.kind is Kind.NUMBER:
        return _bounded(_number, column)
    if column.kind is Kind.WHOLE:
        return _bounded(_whole, column)
    if column.kind is Kind.DAY:
        return plain_day
    return plain_flag if column.kind is Kind.FLAG else str


def _choice(column: Column) -> Callable[[str], str]:
    choices = frozenset(column.choices)

    def read(text: str) -> str:
        if text not in choices:
            raise ValueError(f"is none of {', '.join(column.choices)}")
        return text

    return read


def _number(text: str) -> float:
    return plain_number(text) + 0.0  # makes -0 a plain 0


def _whole(text: str) -> int:
    if not _WHOLE.match(text):
        raise ValueError("is not a whole number")
    if len(text.lstrip("+-0")) > len(str(LARGEST_WHOLE)) or abs(int(text)) > LARGEST_WHOLE:
        raise ValueError("is too large")
    return int(text)


def _bounded(read: Callable[[str], Any], column: Column) -> Callable[[str], Any]:
    lowest, highest, above = column.lowest, column.highest, column.above

    def read_bounded(text: str) -> Any:
        value = read(text)
        if lowest is not None and value < lowest:
            raise ValueError("is negative" if lowest == 0 else f"is below {lowest:g}")
        if highest is not None and value > highest:
            raise ValueError(f"is above {highest:g}")
        if above is not None and value <= above:
            raise ValueError(f"is not above {above:g}")
        return value

    return read_bounded if (lowest, highest, above) != (None, None, None) else read


def written(value: Any) -> str:
    """A value as it stands in a site book: blank for not known, numbers in shortest form."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return short(value)
    if isinstance(value, datetime.date):
        return value.isoformat()
    return str(value)


def short(number: float) -> str:
    """The shortest decimal that reads back as the same number; never an exponent."""
    text = repr(number)
    if "e" in text:
        text = format(Decimal(text), "f")
    return text.removesuffix(".0")


def texts_of(row: object) -> dict[str, str]:
    """A record as the texts of its filled columns, by their names in the site book."""
    record_class: type = type(row)
    values = ((column.name, getattr(row, column.name)) for column in columns(record_class))
    texts = {name.rstrip("_"): written(value) for name, value in values}
    return {name: text for name, text in texts.items() if text}


def record_of(record_class: type, texts: Mapping[str, str]) -> Any:
    """The record whose texts these are; ValueError where one cannot be read."""
    values = {
        column.name: reader_of(column)(texts[name])
        for column in columns(record_class)
        if (name := column.name.rstrip("_")) in texts
    }
    return record_class(**values)
