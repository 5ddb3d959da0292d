"""Stock promised to a planned job, and given free again: nothing moves, so nothing is undone."""

from __future__ import annotations

from parts.records.settings import plain_day
from tui.forms.fields import Outcome, Values
from tui.forms.steps import PROMISE, RELEASE, whole_number
from tui.messages import Booked
from tui.screens.step_form import StepFormScreen
from tui.screens.told import ToldScreen
from tui.site import Site
from tui.step_sentences import promised_lines, released_lines
from tui.widgets.texts import Piece


class PromiseScreen(StepFormScreen):
    """Units kept for a job."""

    FORM = PROMISE

    def __init__(self, site: Site, begun: Values) -> None:
        super().__init__(site, self.FORM, begun)
        self._told: tuple[Piece, ...] = ()

    def take(self, values: Values) -> Outcome:
        """Promise them."""
        qty, needed = whole_number(values["qty"]), values["needed"]
        part, job = values["part"], values["for"]
        notes = self.desk.promise(part, qty, job, plain_day(needed) if needed else None)
        self._told = tuple(promised_lines(part, qty, job, notes))
        return Outcome()

    def finished(self) -> None:
        """Tell it, and have the site read anew."""
        self.app.post_message(Booked())
        self.app.switch_screen(ToldScreen(self._step.done, self._told))


class ReleaseScreen(PromiseScreen):
    """A promise taken back."""

    FORM = RELEASE

    def take(self, values: Values) -> Outcome:
        """Release them."""
        part, job = values["part"], values["for"]
        self._told = tuple(released_lines(part, self.desk.release(part, job), job))
        return Outcome()
