"""A plan as a file: the JSON document that `buy` writes, as far as carrying it out needs it.

Checks the file's form only; whether its parts and routes are known is for those who use it.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from parts.errors import LongpoleError
from parts.records.simulation_answers import PLAN_ACTIONS, PlannedLine


class UnusablePlan(LongpoleError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(
            f"{where} cannot be read as a plan ({why}); write one with `longpole buy --json`"
        )


def read_plan(source: Path) -> tuple[PlannedLine, ...]:
    """The lines of a plan, in its order."""
    try:
        document = json.loads(source.read_text(encoding="utf-8-sig"))
    except (OSError, ValueError, RecursionError) as wrong:
        raise UnusablePlan(str(source), _reason(wrong)) from None
    lines = document.get("lines") if isinstance(document, dict) else None
    if not isinstance(lines, list):
        raise UnusablePlan(str(source), "it holds no lines")
    try:
        return tuple(_line(row) for row in lines)
    except ValueError as wrong:
        raise UnusablePlan(str(source), str(wrong)) from None


def _reason(wrong: Exception) -> str:
    if isinstance(wrong, OSError):
        return wrong.strerror or "it cannot be opened"
    return "it is no JSON document"


def _line(row: Any) -> PlannedLine:
    if not isinstance(row, dict):
        raise ValueError("a line is no object")
    action, qty = row.get("action"), row.get("qty")
    if action not in PLAN_ACTIONS:
        raise ValueError(f"a line's action is none of {', '.join(PLAN_ACTIONS)}")
    if type(qty) is not int or qty < 1:
        raise ValueError("a line's qty is no whole number above 0")
    names = [row.get(key) for key in ("part", "route", "operation")]
    if not all(name is None or isinstance(name, str) for name in names):
        raise ValueError("a line's part, route or operation is no text")
    part, route, operation = names
    if part is None or (action == "head_start" and (route is None or operation is None)):
        raise ValueError("a line lacks its part, or a head start its route and operation")
    return PlannedLine(part, action, qty, route, operation)
