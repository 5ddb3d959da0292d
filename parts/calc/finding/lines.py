"""Many lines as one text, in which pieces are looked for all at once.

Knows bytes and where each line ends; refuses to know what a line is about. The text is UTF-8, in
which no character is part of another, so a piece of bytes is found where its text is.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Mask = NDArray[np.bool_]
_BLANK, _END = ord(" "), ord("\n")


class Holding(NamedTuple):
    """The lines that hold a piece, and those of them in which a word begins with it."""

    anywhere: Mask
    as_begin: Mask


class Lines:
    """Lines of words with blanks before, between and after them; no word holds a line feed."""

    def __init__(self, text: bytes) -> None:
        self._text = text
        self._bytes = np.frombuffer(text, np.uint8)
        self._ends = np.flatnonzero(self._bytes == _END)
        self._uses = np.bincount(self._bytes, minlength=256)

    def __len__(self) -> int:
        return len(self._ends)

    @property
    def bytes_held(self) -> int:
        """The memory that the lines take."""
        return self._bytes.nbytes + self._ends.nbytes

    def run_together(self) -> Lines:
        """Return the same lines without their blanks."""
        return Lines(self._text.replace(b" ", b""))

    def words(self) -> set[str]:
        """Return every word once."""
        return {word.decode("utf-8", "surrogatepass") for word in set(self._text.split())}

    def holding(self, piece: str) -> Holding:
        """Return which lines hold a piece that holds no line feed and is not empty."""
        at = self._places(piece.encode("utf-8", "surrogatepass"))
        begins = at[self._bytes[np.maximum(at - 1, 0)] == _BLANK]
        return Holding(self._lines_at(at), self._lines_at(begins))

    def _places(self, piece: bytes) -> NDArray[np.int64]:
        """Return where a piece stands; its rarest byte is looked for first."""
        wanted = np.frombuffer(piece, np.uint8)
        first = int(np.argmin(self._uses[wanted]))
        at = np.flatnonzero(self._bytes == wanted[first]) - first
        at = at[(at >= 0) & (at <= len(self._bytes) - len(wanted))]
        for offset, byte in enumerate(wanted.tolist()):
            if not len(at):
                break
            at = at[self._bytes[at + offset] == byte]
        return at

    def _lines_at(self, places: NDArray[np.int64]) -> Mask:
        found = np.zeros(len(self._ends), np.bool_)
        found[np.searchsorted(self._ends, places)] = True
        return found


def lines_of(lines: Iterable[Iterable[str]]) -> Lines:
    """Return lines from the words of each."""
    text = "".join(f" {' '.join(words)} \n" for words in lines)
    return Lines(text.encode("utf-8", "surrogatepass"))
