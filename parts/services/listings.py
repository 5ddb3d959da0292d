"""A list on a screen written to a file."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from parts.errors import FileIsThere, UnwritableFile


def save_listing(
    where: str, titles: Sequence[str], rows: Iterable[Sequence[str]], *, replace: bool = False
) -> tuple[Path, int]:
    """Write a list to a file; returns where it is and how many rows it has.

    Raises FileIsThere unless it may be replaced, UnwritableFile for a place that takes no file.
    """
    from parts.exchange.listings import write_listing

    try:
        target = Path(where).expanduser().absolute()
        if target.exists() and not replace:
            raise FileIsThere(where)
        return target, write_listing(target, titles, rows, replace=replace)
    except FileExistsError:
        raise FileIsThere(where) from None
    except (OSError, RuntimeError, ValueError) as refused:
        why = getattr(refused, "strerror", None) or "no such place"
        raise UnwritableFile(where, why) from refused
