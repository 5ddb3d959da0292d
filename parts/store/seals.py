"""The seal of a movement: a hash over all that was entered and over the seal before it.

Each account (a part in a store) has its own chain, so that two people at two shelves never wait
for each other. A chain finds damage: a byte gone on the disk, a row altered past the program. It is
no defence against somebody who may write the file and reckons it anew; the seals printed on count
reports and copies are. The form of the text is for ever: every seal rests on it, and PostgreSQL
forms the same text by itself.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from parts.records.ledger import Stamp

FIRST = ""
"""What the first movement of an account is sealed upon."""


def sealed_text(before: str, number: int, stamp: Stamp, stored: Sequence[object]) -> str:
    """The text that is hashed: each value led by its length, so that none can run into the next.

    `stored` are the columns of a movement in the order of the site book, days as YYYY-MM-DD.
    """
    values = (before, number, stamp.at, stamp.who, stamp.place, *stored)
    return ",".join("-" if value is None else f"{len(str(value))}:{value}" for value in values)


def seal(before: str, number: int, stamp: Stamp, stored: Sequence[object]) -> str:
    """SHA-256 (FIPS 180-4) of the sealed text in UTF-8, in hexadecimal."""
    return hashlib.sha256(sealed_text(before, number, stamp, stored).encode()).hexdigest()


def head(seals: Sequence[tuple[str, str, str]]) -> str:
    """One seal over all accounts, given as (part, store, seal)."""
    text = ",".join(f"{len(value)}:{value}" for account in sorted(seals) for value in account)
    return hashlib.sha256(text.encode()).hexdigest()


def figure(movements: int, seals: Sequence[tuple[str, str, str]]) -> str:
    """What is printed and kept elsewhere: how many movements there are, and the seal over all."""
    return f"{movements}-{head(seals)}"
