"""The structure of a crane holds together: assemblies, needs, groups, and the order of a route."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Any

from parts.exchange.check_references import joined
from parts.exchange.circles import circles
from parts.exchange.merge import Merged, Rows
from parts.exchange.places import quoted
from parts.records.answers import Fault


def faults(merged: Merged) -> Iterator[Fault]:
    """One fault for each circle, for each group that cannot be, for each name used for two."""
    yield from _shared_names(merged)
    yield from _parents(merged["positions"])
    yield from _needs(merged)
    yield from _groups(merged["needs"])
    yield from _routes(merged["routes"])


def _shared_names(merged: Merged) -> Iterator[Fault]:
    functions = {(row.crane, row.function) for row in merged["functions"].records}
    rows = merged["positions"]
    for index, row in enumerate(rows.records):
        if (row.crane, row.position) in functions and row.position is not None:
            reason = f"{quoted(row.position)} is also a function of crane {quoted(row.crane)}"
            yield rows.fault(index, "position", row.position, reason)


def _parents(rows: Rows) -> Iterator[Fault]:
    """A position is not inside itself."""
    index_of = {(row.crane, row.position): i for i, row in enumerate(rows.records)}
    above = {
        (row.crane, row.position): [(row.crane, row.parent)]
        for row in rows.records
        if row.parent is not None and row.position is not None
    }
    for circle in circles(above):
        index = min((index_of[place] for place in circle), key=rows.order)
        start = circle.index((rows.records[index].crane, rows.records[index].position))
        names = [name for _, name in circle[start:] + circle[: start + 1]]
        reason = f"is inside itself: {' in '.join(map(quoted, names))}"
        yield rows.fault(index, "parent", rows.records[index].parent, reason)


def _needs(merged: Merged) -> Iterator[Fault]:
    """Needs run in no circle, also where an assembly needs what is inside it."""
    rows = merged["needs"]
    index_of: dict[tuple[Any, Any, Any], int] = {}
    ahead: dict[Any, dict[Any, list[Any]]] = defaultdict(lambda: defaultdict(list))
    for index, row in enumerate(rows.records):
        if None not in (row.crane, row.item, row.needs):
            index_of[row.crane, row.item, row.needs] = index
            ahead[row.crane][row.item].append(row.needs)
    for row in merged["positions"].records:
        if row.parent is not None and row.crane in ahead:
            ahead[row.crane][row.parent].append(row.position)
    for crane, needed in ahead.items():
        for circle in circles(needed):
            links = zip(circle, circle[1:] + circle[:1], strict=True)
            stated = [i for a, b in links if (i := index_of.get((crane, a, b))) is not None]
            if stated:  # else it is one of parents alone
                yield _need_circle(rows, min(stated, key=rows.order), circle)


def _need_circle(rows: Rows, index: int, circle: list[Any]) -> Fault:
    start = circle.index(rows.records[index].item)
    names = circle[start:] + circle[: start + 1]
    chain = " needs ".join(map(quoted, names))
    reason = f"needs run in a circle: {chain} (an assembly also needs what is inside it)"
    return rows.fault(index, "needs", rows.records[index].needs, reason)


def _groups(rows: Rows) -> Iterator[Fault]:
    members: dict[tuple[Any, Any, Any], list[int]] = defaultdict(list)
    for index, row in enumerate(rows.records):
        if row.group is not None:
            members[row.crane, row.item, row.group].append(index)
            if row.at_least is None and not rows.is_unread(index, "at_least"):
                reason = f"must not be blank where a group ({quoted(row.group)}) is given"
                yield rows.fault(index, "at_least", "", reason)
        elif row.at_least is not None and not rows.is_unread(index, "group"):
            reason = f"must not be blank where at_least ({row.at_least}) is given"
            yield rows.fault(index, "group", "", reason)
    for indices in members.values():
        yield from _group(rows, [i for i in indices if rows.records[i].at_least], len(indices))


def _group(rows: Rows, indices: list[int], size: int) -> Iterator[Fault]:
    """All rows of a group say the same, and no more than the group can give."""
    if not indices:
        return
    first = min(indices, key=rows.order)
    at_least, name = rows.records[first].at_least, quoted(rows.records[first].group)
    if at_least > size and rows.complete:
        reason = f"'{at_least}' is more than the {size} members of group {name}"
        yield rows.fault(first, "at_least", at_least, reason)
    for index in indices:
        here = rows.records[index].at_least
        if here != at_least:
            reason = (
                f"'{here}' differs from '{at_least}' in {rows.where_else(first)}, "
                f"which is of the same group {name}"
            )
            yield rows.fault(index, "at_least", here, reason)


def _routes(rows: Rows) -> Iterator[Fault]:
    """No operation comes after itself."""
    index_of = {(row.route, row.operation): i for i, row in enumerate(rows.records)}
    ahead = {
        (row.route, row.operation): [(row.route, piece) for piece in joined(row.after)]
        for row in rows.records
        if row.after is not None
    }
    for circle in circles(ahead):
        index = min((index_of[place] for place in circle), key=rows.order)
        start = circle.index((rows.records[index].route, rows.records[index].operation))
        names = [name for _, name in circle[start:] + circle[: start + 1]]
        reason = f"comes after itself: {' after '.join(map(quoted, names))}"
        yield rows.fault(index, "after", rows.records[index].after, reason)
