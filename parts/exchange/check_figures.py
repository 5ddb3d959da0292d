"""Figures and words of one row agree with each other, whatever file they stand in."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from parts.exchange.merge import Merged, Rows
from parts.exchange.places import quoted
from parts.records.answers import Fault
from parts.records.cells import short
from parts.records.fields import columns
from parts.records.pairs import Pairs, pairs
from parts.records.settings import SETTINGS
from parts.records.site import Score

NO_APPROVALS = ("no", "none", "pending", "n/a", "-")
SPECTRUM_TOLERANCE = 0.02
WEIGHTS_TOLERANCE = 0.001  # three thirds written with three digits are still one

_ROUNDING = 1e-9


def faults(merged: Merged) -> Iterator[Fault]:
    """One fault for each figure or word that cannot be right."""
    for rows in merged.tables.values():
        names = {column.name for column in rows.file.columns}
        if {"low", "likely", "high"} <= names:
            yield from _three_points(rows)
        if "approval" in names:
            yield from _approvals(rows)
    yield from _settings(merged["site"])
    yield from _scores(merged["scores"])
    yield from _offers(merged["offers"])
    yield from _spectra(merged["duty"])


def _three_points(rows: Rows) -> Iterator[Fault]:
    """low, likely and high rise or stay; one that is not known is passed over."""
    for index, row in enumerate(rows.records):
        known = [
            (name, value)
            for name in ("low", "likely", "high")
            if (value := getattr(row, name)) is not None
        ]
        for (less, smaller), (more, larger) in pairwise(known):
            if smaller > larger:
                reason = f"'{short(smaller)}' is above {more}, which is '{short(larger)}'"
                yield rows.fault(index, less, short(smaller), reason)


def _approvals(rows: Rows) -> Iterator[Fault]:
    for index, row in enumerate(rows.records):
        if row.approval is not None and row.approval.casefold() in NO_APPROVALS:
            reason = (
                f"{quoted(row.approval)} is no approval; name who approved it and when, "
                "or leave it blank"
            )
            yield rows.fault(index, "approval", row.approval, reason)


def _settings(rows: Rows) -> Iterator[Fault]:
    for index, row in enumerate(rows.records):
        if row.key is None:
            continue
        if row.key not in SETTINGS:
            reason = f"{quoted(row.key)} is not a setting; there are {', '.join(SETTINGS)}"
            yield rows.fault(index, "key", row.key, reason)
        elif row.value is not None:
            try:
                SETTINGS[row.key](row.value)
            except ValueError as wrong:
                yield rows.fault(index, "value", row.value, f"{quoted(row.value)} {wrong}")


def _offers(rows: Rows) -> Iterator[Fault]:
    for index, row in enumerate(rows.records):
        if row.likely is None and row.route is None:
            unread = rows.unread.get(index, frozenset())
            if unread.isdisjoint(("likely", "route")):
                yield rows.fault(index, "likely", "", "must not be blank where no route is given")


def _checked_pairs(rows: Rows, column: str, check: Any) -> Iterator[Fault]:
    for index, row in enumerate(rows.records):
        text = getattr(row, column)
        if text is None:
            continue
        try:
            check(pairs(text))
        except ValueError as wrong:
            yield rows.fault(index, column, text, f"{quoted(text)} {wrong}")


def _spectra(rows: Rows) -> Iterator[Fault]:
    yield from _checked_pairs(rows, "spectrum", _check_spectrum)


def _check_spectrum(found: Pairs) -> None:
    if any(load < 0 or share < 0 for load, share in found):
        raise ValueError("holds a negative load or share")
    total = sum(share for _, share in found)
    if abs(total - 1) > SPECTRUM_TOLERANCE + _ROUNDING:
        raise ValueError(f"has shares that add up to {total:.4g} instead of 1")


def _scores(rows: Rows) -> Iterator[Fault]:
    yield from _checked_pairs(rows, "points", _check_points)
    drivers = {row.driver for row in rows.records}
    weights = [row.weight for row in rows.records]
    all_there = drivers == set(columns(Score)[0].choices) and len(weights) == len(drivers)
    if not all_there or None in weights or not rows.complete:
        return
    total = sum(weights)
    if abs(total - 1) > WEIGHTS_TOLERANCE + _ROUNDING:
        last = max(range(len(weights)), key=rows.order)
        reason = f"the weights of all drivers add up to {total:.4g} instead of 1"
        yield rows.fault(last, "weight", weights[last], reason)


def _check_points(found: Pairs) -> None:
    if any(not 0 <= y <= 100 for _, y in found):
        raise ValueError("has a score outside 0 to 100")
    if any(later <= x for (x, _), (later, _) in pairwise(found)):
        raise ValueError("has points whose first figures do not rise")
