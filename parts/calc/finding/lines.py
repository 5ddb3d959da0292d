"""Many lines as one text, in which pieces are looked for all at once.

Knows bytes and where each line begins; refuses to know what a line is about. The text is UTF-8,
in which no character is part of another, so a piece of bytes is found where its text is.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Mask = NDArray[np.bool_]
_BLANK = ord(" ")


class Holding(NamedTuple):
    """The lines that hold a piece, and those of them in which it begins a word."""

    anywhere: Mask
    as_begin: Mask


class Lines:
    """Lines that begin and end with a blank, so that a word is a piece with blanks around."""

    def __init__(self, lines: Iterable[str]) -> None:
        encoded = [line.encode("utf-8", "surrogatepass") for line in lines]
        lengths = np.fromiter((len(line) + 1 for line in encoded), np.int64, len(encoded))
        self._ends = np.cumsum(lengths)
        self._bytes = np.frombuffer(b"\n".join([*encoded, b""]), np.uint8)
        self._uses = np.bincount(self._bytes, minlength=256)

    def __len__(self) -> int:
        return len(self._ends)

    @property
    def bytes_held(self) -> int:
        """The memory that the lines take."""
        return self._bytes.nbytes + self._ends.nbytes

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
        found[np.searchsorted(self._ends, places, "right")] = True
        return found
