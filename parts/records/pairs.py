"""Pairs of figures written `x:y+x:y`: load spectra and value functions."""

from __future__ import annotations

from parts.records.settings import plain_number

Pairs = tuple[tuple[float, float], ...]


def pairs(text: str) -> Pairs:
    """The pairs in a text such as `0:100+2:40`; ValueError says what is wrong with it."""
    found = []
    for each in text.split("+"):
        x, colon, y = each.partition(":")
        if not colon:
            raise ValueError("is not made of pairs such as 0.5:20 joined by +")
        try:
            found.append((plain_number(x.strip()), plain_number(y.strip())))
        except ValueError:
            raise ValueError(f"holds '{each}', which is not a pair of numbers") from None
    return tuple(found)
