"""A mistake of the program on the screens: told with its number, and the program goes on.

The framework ends a program over any exception. What is forgiven here: an action, a message to a
page or to the program (each is given up, its page stays); anything else on a page, such as drawing
it (the page is closed). The one place that overrides what the framework keeps to itself. Where
nothing is left to close, the program ends in one sentence and gives the terminal back.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rich.text import Text
from textual._context import active_message_pump
from textual.app import App
from textual.message import Message
from textual.message_pump import MessagePump
from textual.screen import Screen
from textual.widget import Widget
from textual.worker import WorkerFailed

from tui.mistakes import ending_sentence

if TYPE_CHECKING:
    from parts.services.mistake_log import Noted


class Forgiving(MessagePump):
    """A page or a program of which one message that fails does not end the others."""

    async def _dispatch_message(self, message: Message) -> None:
        try:
            await super()._dispatch_message(message)
        except Exception as error:
            app = self.app
            if not isinstance(app, ForgivingApp):
                raise
            app.tell_mistake(error)


class ForgivingScreen(Forgiving, Screen[None]):
    """A page that is closed when it cannot be drawn."""

    def _compositor_refresh(self) -> None:
        try:
            super()._compositor_refresh()
        except Exception as error:
            if not isinstance(self.app, ForgivingApp):
                raise
            self.app.tell_mistake(error, self)


class ForgivingApp(Forgiving, App[None]):
    """A program that tells its mistakes; `mistakes` are those told so far."""

    def __init__(self) -> None:
        super().__init__()
        self.mistakes: list[Noted] = []
        self._is_telling = False
        self._first: Screen[None] | None = None
        self._made_anew: list[Screen[None]] = []

    def first_screen(self) -> Screen[None]:
        """Return the screen to begin with, made anew."""
        raise NotImplementedError

    def mistake_screen(self, noted: Noted, is_closed: bool) -> Screen[None]:
        """Return the screen that tells a mistake."""
        raise NotImplementedError

    def tell_mistake(self, error: Exception, guilty: Screen[Any] | None = None) -> None:
        """Write a mistake down, close the page that is guilty of it, and tell it, one at a time.

        Before the program has begun, and where what is to help fails itself, the program ends.
        """
        from parts.services.mistake_log import note

        if not self._running or guilty in self._made_anew:
            super()._handle_exception(error)
            return
        noted = note(error)
        if not self._is_telling:
            self._is_telling = True
            self.mistakes.append(noted)
            self.call_later(self._show_mistake, noted, guilty)

    async def run_action(self, *args: Any, **more: Any) -> bool:
        """Do an action, or tell why it failed."""
        try:
            return await super().run_action(*args, **more)
        except Exception as error:
            self.tell_mistake(error)
            return True

    def _show_mistake(self, noted: Noted, guilty: Screen[Any] | None) -> None:
        is_closed = guilty is not None and guilty is self.screen
        is_first = guilty in (self._first, self.screen_stack[0])
        if is_closed and len(self.screen_stack) > 1:
            self.pop_screen()
        if is_closed and is_first:  # the lowest cannot be taken away; it is covered instead
            self._first = self.first_screen()
            self._made_anew.append(self._first)
            self.push_screen(self._first)
        self._made_anew.append(self.mistake_screen(noted, is_closed))
        self.push_screen(self._made_anew[-1], self._told)

    def _told(self, _: None) -> None:
        self._is_telling = False
        self._made_anew.clear()

    def _handle_exception(self, error: Exception) -> None:
        guilty = _screen_at_work(self)
        if isinstance(error, WorkerFailed) and isinstance(error.error, Exception):
            error, guilty = error.error, None
        self.tell_mistake(error, guilty)

    def _fatal_error(self) -> None:
        from parts.services.mistake_log import note

        noted = note(self._exception or RuntimeError("not known"))
        self._exit_renderables.append(Text(ending_sentence(noted)))
        self._close_messages_no_wait()


def _screen_at_work(app: App[None]) -> Screen[Any] | None:
    """Return the screen whose work, or whose widget's work, is being done."""
    node = active_message_pump.get(None)
    if isinstance(node, Screen):
        return node
    if isinstance(node, Widget):
        return next((each for each in node.ancestors if isinstance(each, Screen)), None)
    return app.screen if app.screen_stack else None
