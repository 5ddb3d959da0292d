"""What every screen has: the trail at the top, a banner for trouble, the keys at the foot.

Questions are asked in a worker and answered with a message; only the answer to the latest
question is shown. A failure in a worker is a sentence in the banner, not the end of the program.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, Sequence
from inspect import isawaitable
from typing import TYPE_CHECKING, ClassVar, TypeVar, cast

from textual.app import ComposeResult
from textual.worker import Worker, WorkerState

from parts.errors import LongpoleError
from tui.actions import Act
from tui.forgiving import ForgivingScreen
from tui.messages import Answered, OpenFind, Opens
from tui.mistakes import banner_sentence
from tui.widgets.banner import Banner
from tui.widgets.ends_line import EndsLine
from tui.widgets.field_table import FieldTable
from tui.widgets.key_line import KeyLine
from tui.widgets.sheet import Sheet
from tui.widgets.spots import Spot
from tui.widgets.table import RowTable

if TYPE_CHECKING:
    from tui.app import LongpoleApp
    from tui.desk import Desk

TRAIL = " › "
RECKONING = "Reckoning ..."
Answer = TypeVar("Answer")


class Page(ForgivingScreen):
    """A screen with a trail, a body, and the actions it declares."""

    ACTS: ClassVar[tuple[Act, ...]] = ()
    WORDS: ClassVar[tuple[str, ...]] = ()
    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012 - declared so by the framework
        (0, "-narrow"),
        (110, "-wide"),
    ]
    DEFAULT_CSS = """
    Page { background: $surface; color: $foreground; }
    Page .quiet { color: $text-muted; }
    Page .line { padding: 0 1; }
    Page:nocolor .quiet { color: $foreground; }
    """

    def __init__(self, trail: Sequence[str], day: str) -> None:
        super().__init__()
        self.trail = tuple(trail)
        self._day = day
        self._asked = 0
        self.opened_by: Opens | None = None
        self._begins: Spot | None = None

    @property
    def desk(self) -> Desk:
        """The desk at which the person works."""
        return cast("LongpoleApp", self.app).desk

    @abstractmethod
    def body(self) -> ComposeResult:
        """Return what stands between the top line and the keys."""

    def compose(self) -> ComposeResult:
        """Lay out the lines that every screen has around its body."""
        yield EndsLine(TRAIL.join(self.trail), self._day, classes="bar")
        yield Banner()
        for widget in self.body():
            if self._begins is not None and isinstance(widget, FieldTable | Sheet):
                widget.begin_at(self._begins)
            yield widget
        yield KeyLine(self.ACTS)

    def begin_at(self, spot: Spot) -> None:
        """Open with the cursor on a spot where somebody was before."""
        self._begins = spot

    @property
    def spot(self) -> Spot:
        """Where on this page the person is."""
        spots = [*self.query(FieldTable)] or [*self.query(Sheet)]
        return spots[0].spot if spots else Spot()

    def ask(self, question: Callable[[], Answer], take: Callable[[Answer], object]) -> None:
        """Ask a service without keeping the keys waiting; `take` gets the answer."""
        self._asked += 1
        number = self._asked

        def work() -> None:
            try:
                answer = question()
            except LongpoleError as refused:
                self.post_message(Answered(number, self.refused, str(refused)))
            else:
                self.post_message(Answered(number, take, answer))

        self.run_worker(work, thread=True, exclusive=True, group="ask", exit_on_error=False)

    async def on_answered(self, message: Answered) -> None:
        """Show the answer to the latest question and drop all others."""
        message.stop()
        if message.number == self._asked and self.is_attached:
            self.query_one(Banner).say("")
            shown = message.take(message.answer)
            if isawaitable(shown):
                await shown

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Say what failed when a worker did, and write it down."""
        if event.state is WorkerState.ERROR and event.worker.error is not None:
            from parts.services.mistake_log import note

            self.refused(banner_sentence(note(event.worker.error)))

    def refused(self, sentence: str) -> None:
        """Show why there is no answer."""
        self.query_one(Banner).say(sentence[:1].upper() + sentence[1:])

    def copy_row(self, table: RowTable) -> None:
        """Send a table's row to the clipboard of the terminal, which may or may not take it."""
        self.app.copy_to_clipboard(table.copy_tsv())
        self.notify("The row was sent to the terminal's clipboard.", markup=False)

    def action_back(self) -> None:
        """Go back to the screen before."""
        self.dismiss()

    def action_find(self) -> None:
        """Find anything."""
        self.post_message(OpenFind())
