"""Under which keys two ways of writing one number or name meet.

Knows letters, digits, marks and leading zeros; refuses to know what a text is the name of. Two
texts are the same name when they share a spelling: "0042-17", "42 17" and "4217" do.
"""

from __future__ import annotations

import re

from parts.records.shown import folded, searchable

_LEADING_ZEROS = re.compile(r"(?<![0-9])0+(?=[0-9])")
_ZERO_FIRST = re.compile(r"(?<![0-9])0")
_MARKS_IN_ASCII = re.compile(r"[^0-9A-Za-z\s]+")
_MARKS = re.compile(r"[\W_]+")


def spellings(text: str) -> tuple[str, ...]:
    """Return the keys of a number or name, the one with all of its zeros first.

    Zeros are leading where a run of digits begins, be it before marks are dropped or after.
    """
    bare = searchable(text)
    if not bare:
        return ()
    if text.isascii() and not _ZERO_FIRST.search(text):
        return (bare,)
    each_without = searchable(without_zeros(folded(text)))
    return tuple(dict.fromkeys((bare, without_zeros(bare), each_without)))


def words_of(text: str) -> tuple[str, ...]:
    """Return the words between blanks, each with its marks dropped: "low-speed" is one."""
    if text.isascii():
        return tuple(_MARKS_IN_ASCII.sub("", text).lower().split())
    return tuple(filter(None, map(searchable, text.split())))


def loose_words_of(text: str) -> tuple[str, ...]:
    """Return the words between marks or blanks."""
    return tuple(filter(None, map(searchable, _MARKS.split(folded(text)))))


def without_zeros(text: str) -> str:
    """Return a text without the zeros that lead its runs of digits."""
    return _LEADING_ZEROS.sub("", text)
