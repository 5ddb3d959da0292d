"""One line of a form: what it asks, what is typed, and beside it what is wrong with that."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.message import Message
from textual.suggester import Suggester
from textual.widgets import Input, Label

from parts.records.shown import shown
from tui.forms.fields import FormField, Meaning, meaning_of
from tui.widgets.texts import QUIET, WARN, said

LABEL_WIDTH = 19
LONGEST = 10_000
"""What a record holds at most."""
NOTHING_YET = -1
"""The place that is marked in a list from which nothing is chosen yet."""


def kept(text: str) -> str:
    """Return what a line can hold of a text."""
    return shown(text)[:LONGEST]


class FormInput(Input):
    """An input whose text never holds what a terminal would obey; it shows its beginning while
    the keys are elsewhere."""

    def validate_value(self, value: str) -> str:
        """Return what is kept of a text typed or pasted."""
        return kept(value)

    def on_blur(self) -> None:
        """Show the beginning of a text that is longer than the line."""
        self.scroll_to(x=0, animate=False)

    def on_focus(self) -> None:
        """Bring the cursor into view again, which stays where it was when the window lost the
        keys."""
        beyond = self.cursor_screen_offset.x + 1 - self.content_region.right
        self.scroll_to(x=max(0, self.scroll_offset.x + beyond), animate=False)


class _Likeliest(Suggester):
    """Completes what is typed to the likeliest value that begins so."""

    def __init__(self, field: FormField) -> None:
        super().__init__(use_cache=False, case_sensitive=True)
        self._field = field

    async def get_suggestion(self, value: str) -> str | None:
        found = self._field.offers(value) if self._field.offers and value else ()
        return next((each.value for each in found if each.value.startswith(value)), None)


class FormLine(Horizontal):
    """Label, input, message."""

    DEFAULT_CSS = f"""
    FormLine {{ height: 1; padding: 0 1; }}
    FormLine Label {{ width: {LABEL_WIDTH}; text-wrap: nowrap; text-overflow: ellipsis; }}
    FormLine Input {{
        width: 2fr; padding: 0 1; background: $panel; color: $foreground; max-width: 60;
    }}
    FormLine #beside {{
        width: 3fr; padding: 0 0 0 1; height: 1; text-wrap: nowrap; text-overflow: ellipsis;
    }}
    FormLine.-wrong #beside {{ color: $text-warning; text-style: bold; }}
    """

    class Left(Message):
        """Somebody has gone on from a line."""

        def __init__(self, line: FormLine) -> None:
            super().__init__()
            self.line = line

    def __init__(self, field: FormField, value: str) -> None:
        super().__init__()
        self.field = field
        self._value = value
        self.wrong = ""
        self.marked: int | None = None

    def compose(self) -> ComposeResult:
        """Lay out the line."""
        mark = " *" if self.field.required else ""
        yield Label(said(self.field.label, (mark, WARN)))
        line = FormInput(self._value, compact=True, suggester=_Likeliest(self.field))
        line.cursor_blink = False
        # typing replaces what stands there: a 2 typed after a 1 would hand out 12
        line.select_on_focus = True
        line.disabled = self.field.fixed
        yield line
        yield Label(said((self.field.hint, QUIET)), id="beside")

    @property
    def input(self) -> Input:
        return self.query_one(Input)

    @property
    def value(self) -> str:
        """What is typed, trimmed."""
        return self.input.value.strip()

    @property
    def is_wrong(self) -> bool:
        return bool(self.wrong)

    @property
    def meaning(self) -> Meaning:
        """What is typed may mean; a value that may be new stands for itself alone."""
        offered = list(self.field.offers(self.value)) if self.field.offers else []
        if self.field.may_be_new:
            return Meaning(offered, self.value)
        return meaning_of(self.value, offered)

    @property
    def chosen(self) -> str:
        """The value that is marked, else the one that is meant without a doubt."""
        if self.marked is None or self.marked == NOTHING_YET:
            return self.meaning.sure
        return self.meaning.offered[self.marked].value

    @property
    def is_choosing(self) -> bool:
        """Whether somebody was asked to choose from what is offered."""
        return self.marked is not None

    def mark(self, at: int | None) -> None:
        """Mark what is offered there, before the first: nothing yet; None closes the list."""
        last = len(self.meaning.offered) - 1
        self.marked = None if at is None else max(NOTHING_YET, min(at, last))

    def say(self, wrong: str = "") -> None:
        """Say what is wrong with the line, or nothing but what it is for."""
        self.wrong = wrong
        self.set_class(bool(wrong), "-wrong")
        text = said((f"! {wrong}", WARN)) if wrong else said((self.field.hint, QUIET))
        self.query_one("#beside", Label).update(text)

    def on_descendant_blur(self, event: events.DescendantBlur) -> None:
        """Tell that the line was left."""
        self.mark(None)
        self.post_message(self.Left(self))
