"""The line in which a number is typed, with what is wrong with it beside it."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Input, Label

from tui import amounts
from tui.acts import COMPARE_SCREEN, FIND
from tui.widgets.filter_line import FilterInput
from tui.widgets.texts import Piece, said

STEPS = {"plus": True, "minus": False}


class AmountInput(FilterInput):
    """An input that leaves to the screen the keys that no number holds."""

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Leave the keys of stepping, of finding and of comparing alone."""
        is_left = key in (*STEPS, FIND.key, COMPARE_SCREEN.key)
        return not is_left and super().check_consume_key(key, character)


class AmountLine(Horizontal):
    """A number with its name and unit: always in view, always ready to type in."""

    DEFAULT_CSS = """
    AmountLine { height: auto; padding: 0 1; }
    AmountLine Label { width: auto; }
    AmountLine Input {
        width: 20; padding: 0 1; margin: 0 1; background: $panel; color: $foreground;
    }
    AmountLine #beside { width: 1fr; height: auto; padding: 0 0 0 2; }
    """

    def __init__(self, label: str, unit: str, example: str) -> None:
        super().__init__()
        self._label, self._unit, self._example = label, unit, example

    def compose(self) -> ComposeResult:
        """Lay out name, input, unit and the room for a sentence."""
        yield Label(said((self._label, "bold")), id="name")
        found = AmountInput(compact=True)
        found.cursor_blink = False
        found.select_on_focus = False
        yield found
        yield Label(said(self._unit), id="unit")
        yield Label(id="beside")

    @property
    def typed(self) -> amounts.Typed:
        """The number that is typed, or what is wrong with it."""
        return amounts.number(self.query_one(Input).value, self._example)

    def fill(self, value: float) -> None:
        """Put a number into the line; what is typed next takes its place."""
        self.write(amounts.written(value))
        self.query_one(Input).action_select_all()

    def write(self, text: str) -> None:
        """Put a text into the line, to be typed on."""
        line = self.query_one(Input)
        line.value = text
        line.cursor_position = len(line.value)

    def ask_for(self, label: str, unit: str, example: str) -> None:
        """Ask for another number."""
        self._label, self._unit, self._example = label, unit, example
        self.query_one("#name", Label).update(said((label, "bold")))
        self.query_one("#unit", Label).update(said(unit))

    def tell(self, *pieces: Piece) -> None:
        """Show a sentence beside the number."""
        self.query_one("#beside", Label).update(said(*pieces))
