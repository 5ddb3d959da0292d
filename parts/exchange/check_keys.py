"""Keys stand once in a file, also when they differ only in case, width or blanks."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

from parts.exchange.merge import Merged, Rows
from parts.exchange.places import named, quoted
from parts.records.answers import Fault
from parts.records.shown import folded


def faults(merged: Merged) -> Iterator[Fault]:
    """One fault for each row whose key stands elsewhere already."""
    for rows in merged.tables.values():
        yield from _twice(rows)


def _twice(rows: Rows) -> Iterator[Fault]:
    fold = cache(folded)
    names = rows.file.key
    columns = [[_fold(fold, getattr(row, name)) for row in rows.records] for name in names]
    first: dict[Any, int] = {}
    for index, key in enumerate(zip(*columns, strict=True)):
        if index in rows.unread and not rows.unread[index].isdisjoint(names):
            continue
        before = first.setdefault(key, index)
        if before != index and key != ("",):
            yield _fault(rows, before, index)


def _fold(fold: Any, value: Any) -> Any:
    return fold(value) if isinstance(value, str) else value or ""


def _fault(rows: Rows, before: int, index: int) -> Fault:
    later, other = max((before, index), key=rows.order), min((before, index), key=rows.order)
    column = rows.file.key[0] if len(rows.file.key) == 1 else None
    key = named(rows.file.name, rows.records[later])
    twin = named(rows.file.name, rows.records[other])
    if twin == key:
        reason = f"{quoted(key)} stands here twice, also in {rows.where_else(other)}"
    else:
        reason = (
            f"{quoted(key)} differs only in case, width or blanks from {quoted(twin)} "
            f"in {rows.where_else(other)}"
        )
    return rows.fault(later, column, key, reason)
