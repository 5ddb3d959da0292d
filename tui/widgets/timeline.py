"""A day by which something must be done, on one axis from today to the last of such days.

Knows dates and widths; refuses to know widgets and colours. Days keep their order on the axis;
what is over stands before it.
"""

from __future__ import annotations

from datetime import date

UNTIL, ORDER_BY, LAST, OVER = "━", "◆", "┤", "◀"
LEAST = 12
"""Fewer cells than this show no proportion."""


def timeline(today: date, order_by: date | None, last: date | None, end: date, width: int) -> str:
    """Return the line up to the day to order by, that day, and the last day of all."""
    if width < LEAST:
        return ""
    cells = [" "] * width
    at_last = None if last is None else _cell(today, last, end, width)
    at_order = None if order_by is None else _cell(today, order_by, end, width)
    if at_last is not None and last is not None and last >= today:
        cells[: at_last + 1] = "─" * at_last + LAST
    if order_by is not None and at_order is not None:
        is_over = order_by < today
        cells[: at_order + 1] = UNTIL * at_order + (OVER if is_over else ORDER_BY)
    elif last is not None and last < today:
        cells[0] = OVER
    return "".join(cells)


def axis(today: date, end: date, width: int) -> str:
    """Return the line of days above timelines: today at the left, the last day at the right."""
    first, last = today.isoformat(), end.isoformat()
    if width < len(first) + len(last) + 2:
        return "today on"
    return f"{first}{'─' * (width - len(first) - len(last))}{last}"


def _cell(today: date, day: date, end: date, width: int) -> int:
    span = max(1, (end - today).days)
    return round(min(1.0, max(0.0, (day - today).days / span)) * (width - 1))
