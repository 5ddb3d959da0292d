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
from tui.acts import Act
from tui.doing import Doing, Stopped
from tui.forgiving import ForgivingScreen
from tui.messages import Answered, OpenFind, Opens, OpenWhatIf, Resumed
from tui.mistakes import banner_sentence
from tui.widgets.banner import Banner
from tui.widgets.ends_line import EndsLine
from tui.widgets.field_table import FieldTable
from tui.widgets.key_line import KeyLine
from tui.widgets.sheet import Sheet
from tui.widgets.spots import Spot, columns_about, facts_about, subjects_of
from tui.widgets.table import RowTable

if TYPE_CHECKING:
    from pathlib import Path

    from tui.app import LongpoleApp
    from tui.desk import Desk
    from tui.site import Site

TRAIL = " › "
RECKONING = "Reckoning ..."
NOTHING_TO_OPEN = "There is nothing in the list to open."
STOPPED = "stopped before it was done; nothing was changed"
Answer = TypeVar("Answer")


class Page(ForgivingScreen):
    """A screen with a trail, a body, and the actions it declares."""

    SLOW_S: ClassVar = 0.5
    """What takes longer says that it is under way, and how to stop it."""
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
        self._doing: Doing | None = None
        self._is_told = False
        self.opened_by: Opens | None = None
        self.shows: Site | None = None
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

    @property
    def stock_facts(self) -> dict[str, str]:
        """The part and the place that a step with the stock from here is likely about."""
        chosen = [table.chosen for table in self.query(FieldTable)]
        return facts_about(chosen[0]) if chosen else {}

    def take_site(self, site: Site) -> bool:
        """Show another state of the site in place; False where the page has to be made anew."""
        return False

    def on_screen_resume(self) -> None:
        """Show the site as it is now, if it was read again behind another screen."""
        self.post_message(Resumed(self))

    @property
    def record_facts(self) -> dict[str, str]:
        """Columns with the values of what the page is about."""
        chosen = [table.chosen for table in self.query(FieldTable)]
        return columns_about(chosen[0]) if chosen else {}

    @property
    def asks_for(self) -> Sequence[tuple[str, str]]:
        """The lines to type in: each with its label and what it means."""
        return ()

    @property
    def subjects(self) -> tuple[tuple[str, ...], ...]:
        """What the page is about, the nearest first: each a kind and the names of one thing."""
        chosen = [table.chosen for table in self.query(FieldTable)]
        return subjects_of(chosen[0]) if chosen else ()

    def ask(
        self,
        question: Callable[[], Answer],
        take: Callable[[Answer], object],
        doing: str = "Reckoning",
    ) -> None:
        """Ask a service without keeping the keys waiting; `take` gets the answer.

        What takes long says so, and can be stopped; what was asked before is.
        """
        self._asked += 1
        number = self._asked
        self.stop()
        now = self._doing = Doing(doing)

        def work() -> None:
            try:
                answer = now.run(question)
            except Stopped:
                return
            except LongpoleError as refused:
                self.post_message(Answered(number, self.refused, str(refused)))
            else:
                self.post_message(Answered(number, take, answer))

        self.run_worker(work, thread=True, exclusive=True, group="ask", exit_on_error=False)
        if doing:
            self.set_timer(self.SLOW_S, lambda: self._tell_doing(now))

    def _tell_doing(self, doing: Doing) -> None:
        """Say what is being done for as long as it is."""
        if doing is self._doing and not doing.is_over and not doing.is_stopped:
            self.query_one(Banner).tell(doing.told)
            self._is_told = True
            self.set_timer(self.SLOW_S, lambda: self._tell_doing(doing))

    def stop(self) -> None:
        """Stop what is being done, if anything is."""
        self._is_told = False
        if self._doing is not None:
            self._doing.stop()

    async def on_answered(self, message: Answered) -> None:
        """Show the answer to the latest question and drop all others."""
        message.stop()
        if message.number == self._asked and self.is_attached:
            self._is_told = False
            self.query_one(Banner).say("")
            taken = message.take(message.answer)
            if isawaitable(taken):
                await taken

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Say what failed when a worker did, and write it down."""
        if event.state is WorkerState.ERROR and event.worker.error is not None:
            from parts.services.mistake_log import note

            self._is_told = False
            self.refused(banner_sentence(note(event.worker.error)))

    def refused(self, sentence: str) -> None:
        """Show why there is no answer."""
        self.query_one(Banner).say(sentence[:1].upper() + sentence[1:])

    def tell_nothing_to_open(self) -> None:
        """Say why a key that opens what is under the cursor does nothing, unless more is said."""
        banner = self.query_one(Banner)
        if not banner.has_class("said"):
            banner.say(NOTHING_TO_OPEN)

    def copy_row(self, table: RowTable) -> None:
        """Send a table's row to the clipboard of the terminal, which may or may not take it."""
        self.app.copy_to_clipboard(table.copy_tsv())
        self.notify("The row was sent to the terminal's clipboard.", markup=False)

    def action_write_list(self) -> None:
        """Write the list of this page to a file, whose name is asked."""
        from tui.screens.write_list import WriteListScreen, file_name

        table = next(iter(self.query(FieldTable)), None)
        if table is None or table.cursor is None:
            self.refused("There is no list here that could be written.")
            return
        name = file_name(self.trail, self.desk.today.isoformat())
        self.app.push_screen(WriteListScreen(name, table.listing), self._written)

    def _written(self, done: tuple[Path, int] | None) -> None:
        if done is not None:
            path, rows = done
            number = f"{rows:,} {'row' if rows == 1 else 'rows'}"
            self.query_one(Banner).tell(f"{number} of the list were written to {path}")

    def action_back(self) -> None:
        """Stop what is said to be under way; else go back."""
        if self._is_told:
            self._asked += 1  # an answer that comes all the same is late
            self.stop()
            self.refused(STOPPED)
        else:
            self.leave()

    def leave(self) -> None:
        """Go back to the screen before."""
        self.stop()
        self.dismiss()

    def action_what_if(self) -> None:
        """Ask what would change, first about what the page is about."""
        self.post_message(OpenWhatIf(self.subjects))

    def action_find(self) -> None:
        """Find anything."""
        self.post_message(OpenFind())
