"""The line in which a filter is typed, with how many rows are left beside it."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Input, Label

from parts.records.shown import shown
from tui.acts import FIND, HELP
from tui.widgets.texts import said

LONGEST = 200
"""More than anybody types; what is pasted beyond it is left away."""


class FilterInput(Input):
    """An input whose text never holds what a terminal would obey."""

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Leave the keys of help and, in an empty line, of find to the screen.

        Nothing that is looked for holds a question mark or begins with a stroke.
        """
        is_find = key == FIND.key and not self.value
        return key != HELP.key and not is_find and super().check_consume_key(key, character)

    def on_key(self, event: events.Key) -> None:
        """Type only what the line consumes; other keys go on to the screen."""
        if event.is_printable and not self.check_consume_key(event.key, event.character):
            event.prevent_default()

    def validate_value(self, value: str) -> str:
        """Return what is kept of a text typed or pasted."""
        return shown(value)[:LONGEST]


class FilterLine(Horizontal):
    """The filter: always in view, always ready to type in."""

    DEFAULT_CSS = """
    FilterLine { height: 1; padding: 0 1; }
    FilterLine Label { width: auto; }
    FilterLine Input { width: 1fr; padding: 0 1; background: $panel; color: $foreground; }
    FilterLine #count {
        padding: 0 0 0 2; color: $foreground; text-style: bold; text-align: right;
    }
    """

    def __init__(self, text: str) -> None:
        super().__init__()
        self._text = text

    def compose(self) -> ComposeResult:
        """Lay out the word, the input and the count."""
        yield Label(said(("Find ", "bold")))
        found = FilterInput(
            self._text, placeholder="type part of a name, number or description", compact=True
        )
        found.cursor_blink = False
        found.select_on_focus = False
        yield found
        yield Label(id="count")

    def tell(self, count: str) -> None:
        """Show how many rows are left."""
        label = self.query_one("#count", Label)
        # laying the screen out anew costs more than a keystroke may: only where the room is too
        # small for it
        label.update(said(count), layout=len(count) > label.content_size.width)
