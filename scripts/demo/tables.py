"""Reading the hand-written tables of the demo, and chance that depends on names alone.

Knows the notation, not the cranes. A draw for one thing never moves another's, so a line can be
added without changing the rest of the site.
"""

from __future__ import annotations

import datetime
import random
import re
from collections.abc import Iterator
from dataclasses import dataclass

SEED = "vellmarsh 1"
TODAY = datetime.date(2026, 11, 25)  # the day on which the stories of the demo are told

_LINE = re.compile(r"( *)(.+?)(?: : (\S+))?(?: x(\d+))?(?: \| (.+))?$")
_REPEAT = re.compile(r"#(\d+)-(\d+)")
_RANGE = re.compile(r"(.*?)(\d+)\.\.(\d+)(.*)")


def chance(*names: object) -> random.Random:
    """A stream of chance of its own for each thing that is named."""
    # not for secrets: the site has to come out the same every time
    return random.Random("/".join(map(str, (SEED, *names))))  # noqa: S311


def rows(text: str) -> Iterator[list[str]]:
    """The cells of each line of a table with `|` between them; blank lines are skipped."""
    for line in text.strip("\n").splitlines():
        if line.strip():
            yield [cell.strip() for cell in line.split("|")]


def three_points(text: str) -> tuple[float, float, float]:
    """`low/likely/high` as numbers."""
    low, likely, high = (float(part) for part in text.split("/"))
    return low, likely, high


def day(text: str) -> datetime.date:
    return datetime.date.fromisoformat(text)


@dataclass(frozen=True)
class Line:
    """One line of an outline of positions."""

    depth: int
    name: str
    part: str | None
    qty: int
    words: tuple[str, ...]

    def fact(self, key: str) -> str | None:
        """The value of `key=value` among the words behind the stroke."""
        return next((w.split("=", 1)[1] for w in self.words if w.startswith(f"{key}=")), None)

    @property
    def hours(self) -> float | None:
        return next((float(w) for w in self.words if w.replace(".", "").isdigit()), None)


def outline(text: str) -> list[Line]:
    """The lines of an outline: two blanks a level, `#1-4` repeats a line and all below it."""
    lines = [line for line in text.strip("\n").splitlines() if line.strip()]
    return [_line(line) for line in _repeated(lines)]


def _line(text: str) -> Line:
    found = _LINE.match(text)
    if found is None:
        raise ValueError(f"not a line of an outline: {text!r}")
    indent, name, part, qty, words = found.groups()
    return Line(len(indent) // 2, name, part, int(qty or 1), tuple((words or "").split()))


def _repeated(lines: list[str]) -> list[str]:
    out: list[str] = []
    at = 0
    while at < len(lines):
        line = lines[at]
        depth = len(line) - len(line.lstrip())
        end = at + 1
        while end < len(lines) and len(lines[end]) - len(lines[end].lstrip()) > depth:
            end += 1
        found = _REPEAT.search(line)
        if found is None:
            out.append(line)
            at += 1
            continue
        for number in range(int(found[1]), int(found[2]) + 1):
            block = [_REPEAT.sub(str(number), line, count=1)]
            block += [below.replace("#", str(number)) for below in lines[at + 1 : end]]
            out += _repeated(block)
        at = end
    return out


def names(text: str) -> list[str]:
    """A list of names with commas; `drive 1..4` stands for four of them."""
    found: list[str] = []
    for name in (part.strip() for part in text.split(",")):
        span = _RANGE.fullmatch(name)
        if span is None:
            found.append(name)
        else:
            numbers = range(int(span[2]), int(span[3]) + 1)
            found += [f"{span[1]}{number}{span[4]}" for number in numbers]
    return found
