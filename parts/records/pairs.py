"""Pairs of figures written `x:y+x:y`: load spectra and value functions."""

from __future__ import annotations

from parts.records.settings import plain_number


def pairs(text: str) -> tuple[tuple[float, float], ...]:
    """The pairs in a text; ValueError says what is wrong with it."""
    found = []
    for each in text.split("+"):
        x, colon, y = each.partition(":")
        if not colon:
            raise ValueError("is not written x:y+x:y")
        found.append((plain_number(x.strip()), plain_number(y.strip())))
    return tuple(found)
