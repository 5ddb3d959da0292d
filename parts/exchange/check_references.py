"""Whatever a row names is there, spelt the same way.

Which column refers to what is declared in the records; here are only the references that one
column cannot declare: what needs what, and what comes after what. Names are not missed in a file
of which rows may be missing, nor in rows that are refused for another reason.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from typing import Any

from parts.exchange.merge import Merged, Rows
from parts.exchange.places import quoted
from parts.records.answers import Fault
from parts.records.fields import Column
from parts.records.shown import folded

POSITIONS = "positions"


def faults(merged: Merged) -> Iterator[Fault]:
    """One fault for each name that is not there."""
    names = _Names(merged)
    for rows in merged.tables.values():
        for column in rows.file.columns:
            if column.refers_to and merged[column.refers_to].complete:
                yield from _column_faults(rows, column, names)
    yield from _need_faults(merged, names)
    yield from _after_faults(merged)
    yield from _place_faults(merged["movements"])


class _Names:
    """The names that each file gives; those of positions together with their crane."""

    def __init__(self, merged: Merged) -> None:
        self._merged = merged
        self._known: dict[str, set[Any]] = {}
        self._folded: dict[str, dict[Any, str]] = {}

    def of(self, file: str) -> set[Any]:
        if file not in self._known:
            rows = self._merged[file]
            if file in (POSITIONS, "functions"):
                item = "position" if file == POSITIONS else "function"
                self._known[file] = {(row.crane, getattr(row, item)) for row in rows.records}
            else:
                name = rows.file.key[0]
                self._known[file] = {getattr(row, name) for row in rows.records}
        return self._known[file]

    def near(self, file: str, name: Any) -> str:
        """A hint at the name that was meant, where one differs only in case or width."""
        if file not in self._folded:
            self._folded[file] = {_fold(known): _last(known) for known in self.of(file)}
        found = self._folded[file].get(_fold(name))
        return f"; {quoted(found)} differs only in case, width or blanks" if found else ""


def _last(name: Any) -> str:
    return str(name[-1] if isinstance(name, tuple) else name)


def _fold(name: Any) -> Hashable:
    if isinstance(name, tuple):
        return (name[0], *(folded(part or "") for part in name[1:]))
    return folded(name or "")


def _column_faults(rows: Rows, column: Column, names: _Names) -> Iterator[Fault]:
    target, name = column.refers_to, column.name
    known = names.of(target)
    if column.many:
        yield from _many_faults(rows, column, names)
    elif target == POSITIONS:
        cranes = names.of("cranes")
        for index, row in enumerate(rows.records):
            value = getattr(row, name)
            if value is None or (row.crane, value) in known or row.crane not in cranes:
                continue
            reason = f"{quoted(value)} is no position of crane {quoted(row.crane)}"
            hint = names.near(target, (row.crane, value))
            yield rows.fault(index, name, value, reason + hint)
    else:
        for index, row in enumerate(rows.records):
            value = getattr(row, name)
            if value is not None and value not in known:
                yield rows.fault(index, name, value, _not_in(target, value, names))


def _not_in(target: str, value: str, names: _Names) -> str:
    return f"{quoted(value)} is not in {target}{names.near(target, value)}"


def joined(text: str) -> list[str]:
    """The names in a cell that joins several by `+`."""
    return [piece.strip() for piece in text.split("+")]


def _many_faults(rows: Rows, column: Column, names: _Names) -> Iterator[Fault]:
    known = names.of(column.refers_to)
    for index, row in enumerate(rows.records):
        value = getattr(row, column.name)
        for piece in joined(value) if value is not None else ():
            if not piece:
                yield rows.fault(index, column.name, value, _gap(value))
            elif piece not in known:
                reason = _not_in(column.refers_to, piece, names)
                yield rows.fault(index, column.name, value, reason)


def _gap(value: str) -> str:
    return f"{quoted(value)} has a + without a name beside it"


def _need_faults(merged: Merged, names: _Names) -> Iterator[Fault]:
    """Both ends of a need are positions or functions of its crane."""
    rows = merged["needs"]
    if not (merged[POSITIONS].complete and merged["functions"].complete):
        return
    cranes, positions, functions = (names.of(f) for f in ("cranes", POSITIONS, "functions"))
    for column in ("item", "needs"):
        for index, row in enumerate(rows.records):
            place = (row.crane, getattr(row, column))
            if place in positions or place in functions or place[0] not in cranes:
                continue
            if place[1] is not None:
                near = names.near(POSITIONS, place) or names.near("functions", place)
                crane = quoted(row.crane)
                reason = f"{quoted(place[1])} is no position or function of crane {crane}{near}"
                yield rows.fault(index, column, place[1], reason)


def _after_faults(merged: Merged) -> Iterator[Fault]:
    """An operation comes after operations of its own route."""
    rows = merged["routes"]
    if not rows.complete:
        return
    known = {(row.route, row.operation) for row in rows.records}
    near = {(route, folded(operation or "")): operation for route, operation in known}
    for index, row in enumerate(rows.records):
        if row.after is None or row.route is None:
            continue
        for piece in joined(row.after):
            if not piece:
                yield rows.fault(index, "after", row.after, _gap(row.after))
            elif (row.route, piece) not in known:
                twin = near.get((row.route, folded(piece)))
                hint = f"; {quoted(twin)} differs only in case, width or blanks" if twin else ""
                reason = f"{quoted(piece)} is no operation of route {quoted(row.route)}{hint}"
                yield rows.fault(index, "after", row.after, reason)


def _place_faults(rows: Rows) -> Iterator[Fault]:
    for index, row in enumerate(rows.records):
        if row.position is not None and row.crane is None and not rows.is_unread(index, "crane"):
            reason = f"must not be blank where a position ({quoted(row.position)}) is given"
            yield rows.fault(index, "crane", "", reason)
