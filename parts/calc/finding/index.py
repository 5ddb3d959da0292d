"""What every thing of a site is called, laid out so that a keystroke is answered at once.

Built once from a snapshot: the names folded and sorted, and one line of words a thing. Refuses to
know which match is the better one. Every answer is a set of indices into `things`.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from functools import cached_property
from itertools import repeat
from sys import getsizeof

import numpy as np
from numpy.typing import NDArray

from parts.calc.finding.folding import spellings, words_of
from parts.calc.finding.lines import Lines, lines_of
from parts.calc.finding.near import NearWords
from parts.calc.finding.things import Label, Things
from parts.records.shown import searchable
from parts.records.snapshot import Snapshot

Indices = NDArray[np.int32]
_AFTER_ALL = "\U0010ffff"


class Index:
    """The names and words of a site."""

    def __init__(self, snapshot: Snapshot) -> None:
        self.things = Things(snapshot)
        names: list[tuple[str, int]] = []
        lines: list[Iterable[str]] = []
        for index, labels in enumerate(self.things.labels()):
            keys = dict.fromkeys(key for label in labels for key in spellings(label.text))
            names += zip(keys, repeat(index))
            words = (word for label in labels for word in label_words(label))
            lines.append(dict.fromkeys(words))
        names.sort()
        self._keys = [key for key, _ in names]
        self._owners: Indices = np.fromiter((owner for _, owner in names), np.int32, len(names))
        self.words = lines_of(lines)

    def named(self, key: str) -> Indices:
        """Return what is called exactly so."""
        return self._owners[bisect_left(self._keys, key) : bisect_left(self._keys, key + "\0")]

    def beginning(self, key: str) -> Indices:
        """Return what has a name that begins so."""
        end = bisect_left(self._keys, key + _AFTER_ALL)
        return self._owners[bisect_left(self._keys, key) : end]

    @cached_property
    def run_together(self) -> Lines:
        """The words of each thing without the blanks between them."""
        return self.words.run_together()

    @cached_property
    def vocabulary(self) -> NearWords:
        """Every word that there is, to guess from."""
        return NearWords(self.words.words())

    def bytes_held(self) -> int:
        """Return the memory that the index takes, without the site's own records."""
        keys = getsizeof(self._keys) + sum(map(getsizeof, self._keys))
        return keys + self._owners.nbytes + self.words.bytes_held


def label_words(label: Label) -> tuple[str, ...]:
    """Return the words of a text; a number is one word, whatever stands between its digits."""
    if label.is_number:
        return tuple(filter(None, (searchable(label.text),)))
    return words_of(label.text)
