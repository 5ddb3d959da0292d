"""What kind of fact a column of a record holds.

A record class declares each column once, with one of the functions below. The site book reader,
the writer and the database's tables are all made from these declarations, so a column cannot
mean two things. Knows nothing of files or SQL. Invariant: a column's Python type and its `Kind`
agree.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from enum import Enum
from functools import cache
from typing import Any


class Kind(Enum):
    """How a value is written in a site book, and its Python type."""

    TEXT = "text"  # str
    NUMBER = "number"  # float
    WHOLE = "whole number"  # int
    DAY = "date"  # datetime.date
    FLAG = "yes or no"  # bool


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its kind, the value that blank stands for, and the bounds of its values.

    `refers_to` names the file whose key a value must be; `many` marks several values joined
    by `+`.
    """

    name: str
    kind: Kind
    required: bool = False
    default: object = None
    lowest: float | None = None
    highest: float | None = None
    above: float | None = None
    choices: tuple[str, ...] = ()
    refers_to: str = ""
    many: bool = False


def _declare(kind: Kind, default: Any, **facts: Any) -> Any:
    required = facts.get("required", False)
    meta = {"kind": kind, "default": default, **facts}
    if required:
        return dataclasses.field(metadata=meta)
    return dataclasses.field(default=default, metadata=meta)


# Returned as Any so that `crane: str = text(required=True)` reads as it is meant.


def text(default: str | None = None, **facts: Any) -> Any:
    return _declare(Kind.TEXT, default, **facts)


def number(default: float | None = None, **facts: Any) -> Any:
    return _declare(Kind.NUMBER, default, **facts)


def whole(default: int | None = None, **facts: Any) -> Any:
    return _declare(Kind.WHOLE, default, **facts)


def day(**facts: Any) -> Any:
    return _declare(Kind.DAY, None, **facts)


def flag(default: bool | None = None, **facts: Any) -> Any:
    return _declare(Kind.FLAG, default, **facts)


def amount(default: float | None = None, **facts: Any) -> Any:
    """Money, days or a rate: a number that is never negative."""
    return number(default, lowest=0.0, **facts)


def share(default: float | None = None, **facts: Any) -> Any:
    """A share or a chance, 0 to 1."""
    return number(default, lowest=0.0, highest=1.0, **facts)


@cache
def columns(record_class: type) -> tuple[Column, ...]:
    """The columns of a record class, in the order of the site book."""
    return tuple(Column(name=f.name, **f.metadata) for f in dataclasses.fields(record_class))
