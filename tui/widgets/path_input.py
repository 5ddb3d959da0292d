"""A line in which the path of a file is typed: any character of one, nothing a terminal obeys."""

from __future__ import annotations

from textual.widgets import Input

from parts.records.shown import shown

LONGEST = 1000


class PathInput(Input):
    """A path."""

    def __init__(self, value: str = "", placeholder: str = "") -> None:
        super().__init__(value, placeholder=placeholder, compact=True, select_on_focus=False)
        self.cursor_blink = False

    def validate_value(self, value: str) -> str:
        """Return what is kept of a text typed or pasted."""
        return shown(value)[:LONGEST]
