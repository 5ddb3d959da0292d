"""Numbers as people type them, and the next round step from one.

Knows digits, a decimal point and marks between thousands; what cannot be read is told in a
sentence, since a comma read wrongly is wrong a thousandfold.
"""

from __future__ import annotations

import math
import re
from typing import NamedTuple

PLAIN = re.compile(r"[0-9]+(\.[0-9]*)?|\.[0-9]+")
GROUPED = re.compile(r"[0-9]{1,3}([ ,'])[0-9]{3}(\1[0-9]{3})*(\.[0-9]+)?")
COMMA = re.compile(r"[0-9]+,[0-9]+")
MOST = 1e15
"""Beyond this a number has lost its units."""


class Typed(NamedTuple):
    """What was typed: a number, or None and why it is none."""

    value: float | None
    trouble: str = ""


def number(text: str, example: str = "12000") -> Typed:
    """Return the number that a text stands for."""
    text = text.strip()
    if not text:
        return Typed(None, f"Type a number, such as {example}.")
    if text.startswith(("-", "−")):
        return Typed(None, "It cannot be less than 0.")
    if not (PLAIN.fullmatch(text) or GROUPED.fullmatch(text)):
        if COMMA.fullmatch(text):
            return Typed(None, "Write 12.5 or 12,500: which is it?")
        return Typed(None, f"Type digits, such as {example}.")
    value = float(re.sub("[ ,']", "", text))
    return Typed(value) if value <= MOST else Typed(None, "This is too much to reckon with.")


def written(value: float) -> str:
    """Return a number as it is put into a line to be typed on: whole, and no less than it is."""
    return f"{math.ceil(value):,}"


def stepped(value: float, step: float, up: bool) -> float:
    """Return the next multiple of a step above or below a number, never below 0."""
    steps = value / step
    beside = math.floor(steps + 1e-9) + 1 if up else math.ceil(steps - 1e-9) - 1
    return max(0.0, beside * step)


def round_step(most: float, steps: int = 20) -> float:
    """Return 1, 2 or 5 times a power of ten that goes about so many times into `most`."""
    if not most > 0:
        return 1.0
    rough = most / steps
    power = 10.0 ** math.floor(math.log10(rough))
    return max(1.0, next(digit * power for digit in (1, 2, 5, 10) if digit * power >= rough * 0.99))
