"""What every form does: lines to type in, trouble beside the line, nothing typed ever lost.

What is typed is kept as a draft on this machine every two seconds and offered when the form opens
again. Leaving with something typed asks first. Saving is asked of a service in a worker; a refusal
stands beside the line that it is about.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Collection, Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.timer import Timer
from textual.widgets import Input, Static

from tui import actions
from tui.acts import Act
from tui.forms.fields import MUST, FormField, Outcome, Values, asked_for
from tui.forms.form_line import NOTHING_YET, FormLine, kept
from tui.forms.offer_lines import offer_lines
from tui.screens.leave import LeaveScreen, Leaving
from tui.screens.page import Page
from tui.site import Site
from tui.widgets.banner import Banner
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, WARN, said

DRAFT_KEPT = "What you typed here before and did not save is back; F9 empties the form."
SAVING = "Saving ..."
CHANGED = "The site was changed meanwhile; what you typed stays. It is checked again on saving."


class FormPage(Page):
    """Lines to type in, and below them what may be meant by the one that has the keys."""

    ACTS: ClassVar[tuple[Act, ...]] = actions.FORM
    BINDINGS: ClassVar[list[BindingType]] = [
        *actions.bindings(actions.FORM),
        # before the room around the lines, which would scroll where a form is long
        Binding("down", "step(1)", "Next line", show=False, priority=True),
        Binding("up", "step(-1)", "Line before", show=False, priority=True),
    ]
    DEFAULT_CSS = """
    FormPage VerticalScroll { height: 1fr; scrollbar-size-vertical: 1; }
    FormPage LinesPanel { height: 30%; min-height: 8; max-height: 16; }
    """
    DRAFT_EVERY_S: ClassVar = 2.0

    def __init__(self, trail: Sequence[str], day: str, form: str) -> None:
        super().__init__(trail, day)
        self._form = form
        self._begun: dict[str, str] = {}
        self._timer: Timer | None = None
        self._is_saved = False

    @abstractmethod
    def fields(self) -> Sequence[FormField]:
        """Return what is asked for."""

    @abstractmethod
    def begun_with(self) -> Values:
        """Return what stands in the lines before anything is typed."""

    @property
    def given(self) -> Collection[str]:
        """The lines that the page before has filled: typing begins after them."""
        return ()

    @abstractmethod
    def save(self, values: Values) -> Outcome:
        """Save what is typed; called in a worker."""

    def kept_besides(self) -> dict[str, str]:
        """Return what a draft keeps besides the lines."""
        return {}

    def take_up(self, draft: Values) -> None:
        """Go on with a draft, or begin where there is none."""

    def check(self, values: Values) -> dict[str, str]:
        """Return what is wrong with which line, as far as can be told without asking anybody."""
        return {}

    def below(self, line: FormLine) -> Sequence[Content]:
        """Return what may be meant by the line that has the keys."""
        hint = [said((line.field.hint, QUIET))] if line.field.hint else []
        # what a narrow line cannot show whole is read here
        return offer_lines(line) or [*hint, said(line.value)]

    def tell(self, line: FormLine) -> None:
        """Say below the lines what is wrong with one, in full, and what helps to fill it."""
        wrong = [said((f"! {line.wrong[:1].upper()}{line.wrong[1:]}", WARN))] if line.wrong else []
        self.tell_below([*wrong, *self.below(line)])

    def tell_below(self, told: Sequence[Content]) -> None:
        """Show something below the lines."""
        self.query_one(LinesPanel).show(lambda _: told)

    def body(self) -> ComposeResult:
        """Lay out the lines and the panel."""
        self._begun = {field.name: "" for field in self.fields()} | dict(self.begun_with())
        draft = self._draft()
        self.take_up(draft)
        typed = self._begun | {name: draft[name] for name in draft.keys() & self._begun.keys()}
        yield Static(classes="line", id="draft")
        with VerticalScroll(can_focus=False):
            for field in self.fields():
                yield FormLine(field, typed[field.name])
        yield LinesPanel()

    def on_mount(self) -> None:
        """Begin at the first line that is blank and must not be."""
        self._tell_draft(DRAFT_KEPT if self.is_dirty else "")
        self._first_to_fill().input.focus()

    def take_site(self, site: Site) -> bool:
        """Say that the site changed, unless more is said; what is typed stays as it is."""
        banner = self.query_one(Banner)
        if not banner.has_class("said"):
            banner.say(CHANGED)
        return True

    @property
    def asks_for(self) -> Sequence[tuple[str, str]]:
        """The labels of the lines, and what to type."""
        return [(field.label, asked_for(field)) for field in self.fields()]

    @property
    def lines(self) -> list[FormLine]:
        return list(self.query(FormLine))

    @property
    def line_with_keys(self) -> FormLine | None:
        return self._line_of(self.focused)

    def line(self, name: str) -> FormLine:
        return next(line for line in self.lines if line.field.name == name)

    @property
    def values(self) -> dict[str, str]:
        """What is typed; a line that nobody changed stands for what is on record, hidden characters
        and all, although it shows them otherwise."""
        return {line.field.name: self._meant_by(line) for line in self.lines}

    def _meant_by(self, line: FormLine) -> str:
        begun = self._begun.get(line.field.name, "")
        return begun if line.value == kept(begun).strip() else line.value

    @property
    def is_dirty(self) -> bool:
        """Whether something is typed that is not saved."""
        return not self._is_saved and self.values != self._begun

    def put(self, values: Values) -> None:
        """Put values into lines."""
        for name, value in values.items():
            self.line(name).input.value = value

    def on_input_changed(self, event: Input.Changed) -> None:
        """Take back what was wrong, tell what may be meant, keep a draft soon."""
        line = self._line_of(event.input)
        if line is None:
            return
        line.mark(None)
        if line.is_wrong:
            line.say()
        if line.input.has_focus:
            self.tell(line)
        if self._timer is None:
            self._timer = self.set_timer(self.DRAFT_EVERY_S, self._keep_draft)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take what is meant and go on to the next line, from the last save; where it is not
        certain what is meant, ask."""
        event.stop()
        line = self._line_of(event.input)
        if line is not None and not self._is_settled(line):
            return
        if line is self.lines[-1]:
            self.action_save()
        else:
            self.action_step(1)

    def _is_settled(self, line: FormLine) -> bool:
        """Take what is marked or meant without a doubt; False where somebody has to choose."""
        if chosen := line.chosen:
            self.put({line.field.name: chosen})
        elif line.value and line.meaning.offered:
            line.mark(NOTHING_YET)
            self.tell(line)
            return False
        return True

    def on_descendant_focus(self) -> None:
        """Tell about the line that has the keys now."""
        line = self._line_of(self.focused)
        if line is not None:
            self.tell(line)

    def on_form_line_left(self, message: FormLine.Left) -> None:
        """Say what is wrong with the line that was left."""
        if self.is_attached and message.line.value:
            message.line.say(self.check(self.values).get(message.line.field.name, ""))

    def action_take(self, at: int) -> None:
        """Take the value offered there, and stay in the line."""
        line = self.line_with_keys
        offered = line.meaning.offered if line is not None else ()
        if line is not None and at < len(offered):
            self.put({line.field.name: offered[at].value})
            line.input.cursor_position = len(line.input.value)

    def action_step(self, by: int) -> None:
        """Go to another line, or to another value where one is chosen."""
        choosing = self.line_with_keys
        if choosing is not None and choosing.marked is not None:
            choosing.mark(choosing.marked + by)
            self.tell(choosing)
            return
        lines = [line for line in self.lines if not line.field.fixed]
        at = self._line_of(self.focused)
        place = lines.index(at) + by if at in lines else 0
        lines[max(0, min(place, len(lines) - 1))].input.focus()

    def action_save(self) -> None:
        """Save, unless something can be seen to be wrong."""
        values = self.values
        wrong = {
            line.field.name: MUST for line in self.lines if line.field.required and not line.value
        } | self.check(values)
        if wrong:
            self._say_wrong(wrong)
            return
        self.query_one(Banner).say(SAVING)
        self.ask(lambda: self.save(values), self._saved)

    def _saved(self, outcome: Outcome) -> None:
        if outcome.wrong or outcome.refused:
            self._say_wrong(outcome.wrong)
            if outcome.refused:
                self.refused(outcome.refused)
            return
        self._is_saved = True
        self._drop_draft()
        if outcome.done:
            self.notify(outcome.done, markup=False)
        self.finished()

    def finished(self) -> None:
        """Go on once it is saved."""
        self.dismiss()

    def action_empty(self) -> None:
        """Put back what stood here before anything was typed, and begin again."""
        self.put(self._begun)
        for line in self.lines:
            line.say()
        self._drop_draft()
        self._tell_draft("")
        self.query_one(Banner).say("")
        self._first_to_fill().input.focus()

    def _tell_draft(self, sentence: str) -> None:
        line = self.query_one("#draft", Static)
        line.update(said((sentence, STRONG)))
        line.display = bool(sentence)

    def leave(self) -> None:
        """Ask first where something is typed; where a value is being chosen, stop choosing."""
        choosing = self.line_with_keys
        if choosing is not None and choosing.is_choosing:
            choosing.mark(None)
            self.tell(choosing)
        elif self.is_dirty:
            self.app.push_screen(LeaveScreen(), self._left)
        else:
            super().leave()

    def _left(self, answer: Leaving | None) -> None:
        if answer is Leaving.KEEP_DRAFT:
            self._keep_draft()
            super().leave()
        elif answer is Leaving.THROW_AWAY:
            self._drop_draft()
            super().leave()

    def _say_wrong(self, wrong: Values) -> None:
        """Say it beside the lines, and go to the first of them."""
        told = [line for line in self.lines if line.field.name in wrong]
        for line in self.lines:
            line.say(wrong.get(line.field.name, ""))
        if told:
            told[0].input.focus()
            self.tell(told[0])
            self.query_one(Banner).say("")
        others = [text for name, text in wrong.items() if name not in self._begun]
        if others:
            self.refused(others[0])

    def _first_to_fill(self) -> FormLine:
        blank = (line for line in self.lines if line.field.required and not line.value)
        free = (
            line for line in self.lines if not (line.field.fixed or line.field.name in self.given)
        )
        return next(blank, None) or next(free, self.lines[0])

    def _line_of(self, widget: object) -> FormLine | None:
        return next((line for line in self.lines if line.input is widget), None)

    def _draft(self) -> dict[str, str]:
        return {name: str(value) for name, value in self.desk.draft(self._form).items()}

    def _keep_draft(self) -> None:
        self._timer = None
        if self.is_attached and self.is_dirty:
            self.desk.keep_draft(self._form, self.values | self.kept_besides())

    def _drop_draft(self) -> None:
        if self._timer is not None:
            self._timer.stop()
            self._timer = None
        self.desk.drop_draft(self._form)
