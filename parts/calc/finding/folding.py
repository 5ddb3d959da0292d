"""Under which keys two ways of writing one number or name meet.

Knows letters, digits, marks and leading zeros; refuses to know what a text is the name of. Two
texts are the same name when they share a spelling: "0042-17", "42 17" and "4217" do.
"""

from __future__ import annotations

import re

from parts.records.shown import folded, searchable

_LEADING_ZEROS = re.compile(r"(?<![0-9])0+(?=[0-9])")
_MARKS = re.compile(r"[\W_]+")


def spellings(text: str) -> tuple[str, ...]:
    """Return the keys of a number or name, the one with all of its zeros first.

    Zeros are leading where a run of digits begins, be it before marks are dropped or after.
    """
    bare = searchable(text)
    if "0" not in bare:
        return (bare,) if bare else ()
    without = _LEADING_ZEROS.sub("", bare)
    each_without = searchable(_LEADING_ZEROS.sub("", folded(text)))
    return tuple(dict.fromkeys((bare, without, each_without)))


def words_of(text: str) -> tuple[str, ...]:
    """Return the words between blanks, each with its marks dropped: "low-speed" is one."""
    return tuple(filter(None, map(searchable, text.split())))


def loose_words_of(text: str) -> tuple[str, ...]:
    """Return the words between marks or blanks, without leading zeros."""
    bare = filter(None, map(searchable, _MARKS.split(folded(text))))
    return tuple(_LEADING_ZEROS.sub("", word) for word in bare)
