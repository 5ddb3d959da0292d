"""The lines of a tree: what is drawn before each name so that it hangs on what is above it.

Knows depths, widths and characters. Where the lines would take more than their room, the depth is
written as a number instead, so that no name is pushed out of view.
"""

from __future__ import annotations

from collections.abc import Sequence

ON, LAST, THROUGH, BLANK = "├ ", "└ ", "│ ", "  "


def branches(depths: Sequence[int], room: int) -> list[str]:
    """Return what stands before each line, no wider than `room` cells; depth 0 is a root.

    A line is at most one deeper than the line before it.
    """
    found = [""] * len(depths)
    goes_on: list[bool] = []
    """Whether a line of each depth follows further down in the same branch."""
    for at in range(len(depths) - 1, -1, -1):
        depth = depths[at]
        del goes_on[depth + 1 :]
        goes_on += [False] * (depth + 1 - len(goes_on))
        found[at] = _before(goes_on, depth, room)
        goes_on[depth] = True
    return found


def _before(goes_on: Sequence[bool], depth: int, room: int) -> str:
    if depth == 0:
        return ""
    if depth * len(ON) > room:
        return f"{depth} "[:room].rjust(min(room, len(f"{depth} ")))
    through = (THROUGH if goes_on[each] else BLANK for each in range(1, depth))
    return "".join(through) + (ON if goes_on[depth] else LAST)
