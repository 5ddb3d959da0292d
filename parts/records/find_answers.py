"""What a search found: each hit with the place that it opens and why it was found.

They hold facts and sentences. Hits stand in the order in which a person should read them.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Kind(Enum):
    """What was found; equal hits are listed in this order."""

    PART = "part"
    CRANE = "crane"
    SUPPLIER = "supplier"
    STORE = "store"
    BIN = "bin"
    ORDER = "order"
    SERIAL = "serial number"
    POSITION = "position"


class Rank(Enum):
    """How well a hit answers, best first; only `NEAR` is a guess."""

    EXACT = "exact"
    BEGINS = "begins"
    CONTAINS = "contains"
    NEAR = "near"


@dataclass(frozen=True, slots=True)
class Place:
    """What a hit opens: the names that it needs, all others None."""

    crane: str | None = None
    position: str | None = None
    part: str | None = None
    supplier: str | None = None
    store: str | None = None
    bin: str | None = None


@dataclass(frozen=True, slots=True)
class Hit:
    """One thing found; `why` says which number or word matched, and whose it is."""

    kind: Kind
    name: str
    description: str
    opens: Place
    why: str
    rank: Rank


@dataclass(frozen=True, slots=True)
class FindAnswer:
    """The first hits for a text, how many there are, and, where there are none, what was tried."""

    text: str
    hits: tuple[Hit, ...] = ()
    total: int = 0
    tried: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Held:
    """A part in a store or bin: units there by the book, and units usable in all stores."""

    part: str
    description: str
    store: str
    bin: str | None
    qty: int
    usable: int
