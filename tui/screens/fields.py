"""The columns of the lists: what a crane's line and a position's line say, and how it looks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui import formats
from tui.sentences import is_assumed, state_style, state_word, waits_for
from tui.widgets.columns import Column
from tui.widgets.field_table import Field

if TYPE_CHECKING:
    from parts.records.answers import CraneOutage, PositionOutage

CranesField = Field["CraneOutage"]
PositionField = Field["PositionOutage"]


def restore(outage: PositionOutage) -> str:
    """Return the restore days, with the mark of an assumption where they rest on one."""
    days = formats.days(outage.restore_days)
    return f"~ {days}" if is_assumed(outage) else days


def restore_style(outage: PositionOutage) -> str:
    if outage.restore_days is None:
        return "warn"
    return "assumed" if is_assumed(outage) else "strong"


def waits_style(outage: PositionOutage) -> str:
    return "warn" if outage.restore_days is None else ""


RESTORE = PositionField(Column("Restore", 9, "right"), restore, restore_style)
STATE = PositionField(Column("State", 12), state_word, state_style)
LOST = PositionField(
    Column("Lost days", 9, "right"), lambda outage: formats.days(outage.lost_days), lambda _: ""
)
SHARE = PositionField(
    Column("Share", 7, "right"), lambda outage: formats.share(outage.lost_share), from_width=100
)
WAITS = PositionField(Column("Waits for", None, least=16), waits_for, waits_style)
PART = PositionField(
    Column("Part", 14), lambda o: o.part or formats.NOT_KNOWN, lambda o: "" if o.part else "warn"
)
DESCRIPTION = PositionField(
    Column("Description", None, least=20), lambda o: o.description, from_width=120
)


def worst(field: PositionField, from_width: int | None = None) -> CranesField:
    """Return a field of a crane's worst position as a field of the crane."""
    return CranesField(
        field.column,
        lambda crane: field.text(crane.worst) if crane.worst else "-",
        lambda crane: field.style(crane.worst) if crane.worst else "quiet",
        field.from_width if from_width is None else from_width,
    )


def _unknown(crane: CraneOutage) -> str:
    return str(crane.unknown) if crane.positions else "-"


CRANE_FIELDS = (
    CranesField(Column("Crane", 10), lambda crane: crane.crane, lambda _: "strong"),
    CranesField(Column("Name", None, least=22), lambda crane: crane.name, from_width=110),
    CranesField(Column("Bay", 8), lambda crane: crane.bay, from_width=100),
    worst(RESTORE),
    worst(STATE),
    worst(LOST),
    CranesField(
        Column("Unknown", 7, "right"), _unknown, lambda crane: "warn" if crane.unknown else ""
    ),
    worst(WAITS),
)
