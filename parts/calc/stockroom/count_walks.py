"""What goes on a sheet to count by, in the order in which somebody walks along the bins."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from parts.records.stock import Movement

_DIGITS = re.compile(r"(\d+)", re.ASCII)

Place = tuple[str | None, str, str]
"""A bin, a store and a part."""


def bin_order(name: str) -> tuple[tuple[int, int, str], ...]:
    """Bins as they hang on the wall: R2 before R10, whatever the case."""
    pieces = _DIGITS.split(name.casefold())
    return tuple(
        (0, int(piece), "") if piece.isascii() and piece.isdigit() else (1, 0, piece)
        for piece in pieces
        if piece
    )


def is_on_walk(name: str | None, first: str | None, last: str | None) -> bool:
    """Whether a bin lies on the walk; without its ends every bin does, and what has none too."""
    if first is None and last is None:
        return True
    if name is None:
        return False
    at, begin, end = (bin_order(each or "") for each in (name, first, last))
    # the walk goes on to the end of the last bin: R2 holds R2-B3
    return (first is None or begin <= at) and (last is None or at[: len(end)] <= end)


def latest_bins(movements: Iterable[Movement]) -> dict[tuple[str, str], str]:
    """The bin in which each part was last put away in each store, "" where none is named."""
    found: dict[tuple[str, str], str] = {}
    for row in movements:
        if row.bin is not None and row.qty > 0:
            found[row.part, row.store or ""] = row.bin
    return found


def walked(places: Sequence[Place]) -> list[Place]:
    """Places in walking order: store by store, bin by bin, without a bin last."""
    return sorted(
        places,
        key=lambda place: (place[1], place[0] is None, bin_order(place[0] or ""), place[2]),
    )
