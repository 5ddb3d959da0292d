"""Words that are one slip of the keys away from a word.

A slip is one character too many, one missing, one other than it should be, or two neighbours
exchanged: the restricted Damerau distance is 1. Two words are that near when what they share at
the beginning and at the end leaves no more than the slip between; so whole columns of words are
compared at once, without a table for each.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

LEAST_LETTERS = 4
"""Of shorter words every other one is near."""
Letters = NDArray[np.uint32]
Counts = NDArray[np.int64]
Mask = NDArray[np.bool_]


class NearWords:
    """A vocabulary, by length."""

    def __init__(self, words: Iterable[str]) -> None:
        by_length: dict[int, list[str]] = {}
        for word in sorted(set(words)):
            by_length.setdefault(len(word), []).append(word)
        self._words = by_length

    def near(self, word: str) -> tuple[str, ...]:
        """Return the words one slip away, in order; none for a word too short to guess from."""
        if len(word) < LEAST_LETTERS:
            return ()
        wanted = _letters([word])[0]
        found: list[str] = []
        for length in (len(word) - 1, len(word), len(word) + 1):
            words = self._words.get(length, [])
            if words:
                is_near = _one_slip_from(wanted, _letters(words))
                found += (words[index] for index in np.flatnonzero(is_near).tolist())
        return tuple(sorted(found))


def _letters(words: list[str]) -> Letters:
    """Return words of one length as a table of code points, one a row."""
    data = "".join(words).encode("utf-32-le", "surrogatepass")
    return np.frombuffer(data, np.uint32).reshape(len(words), -1)


def _one_slip_from(word: Letters, others: Letters) -> Mask:
    shorter = min(len(word), others.shape[1])
    begin = _shared(others[:, :shorter] == word[:shorter])
    end = _shared((others[:, -shorter:] == word[-shorter:])[:, ::-1])
    shared = begin + end
    if len(word) != others.shape[1]:
        is_near: Mask = shared >= shorter
    else:
        is_near = (shared == shorter - 1) | _exchanged(word, others, begin, end)
    return is_near


def _shared(same: Mask) -> Counts:
    """Return how many letters at the beginning of each row are the same."""
    shared: Counts = np.where(same.all(axis=1), same.shape[1], same.argmin(axis=1))
    return shared


def _exchanged(word: Letters, others: Letters, begin: Counts, end: Counts) -> Mask:
    exchanged: Mask = begin + end == len(word) - 2
    rows = np.flatnonzero(exchanged)
    first = begin[rows]
    exchanged[rows] = (others[rows, first] == word[first + 1]) & (
        others[rows, first + 1] == word[first]
    )
    return exchanged
