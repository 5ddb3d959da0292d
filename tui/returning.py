"""The screens open where the person was, and end in order, whoever ends them.

In order: the place is remembered, what is under way is stopped, the terminal is given back.
"""

from __future__ import annotations

import asyncio
import os
import shutil
import signal
from typing import Any

from textual import events, on
from textual.geometry import Size

from tui import messages
from tui.following import FollowingApp
from tui.screens.page import Page

LAST_PLACE = "last place"


class ReturningApp(FollowingApp):
    """A program that comes back to the last place of its person."""

    @on(messages.SiteRead)
    def go_where_the_person_was(self, message: messages.SiteRead) -> None:
        """Open the last place of this person, unless somewhere was gone to meanwhile."""
        if not message.is_first or self.on_top is not self.fleet:
            return
        from tui.openers import page_for
        from tui.whereabouts import opening_of, spot_of

        match self.desk.recall(LAST_PLACE):
            case [crane, place]:
                self.fleet.go_to(spot_of(crane))
                if (opening := opening_of(place, message.site)) is not None:
                    page = page_for(opening, message.site)
                    page.begin_at(spot_of(place))
                    self.push_screen(page)

    def heed_signals(self) -> None:
        """End in order when the system ends the program, or its terminal goes away."""
        if os.name != "nt" and not self.is_headless:
            for number in (signal.SIGTERM, signal.SIGHUP):
                loop = asyncio.get_running_loop()
                loop.add_signal_handler(number, self.exit, None, 128 + number)

    def on_resize(self, event: events.Resize) -> None:
        """Take the size that there is by now: two changes at once may be told in either order."""
        now = event.size if self.is_headless else Size(*shutil.get_terminal_size())
        if now != event.size:
            self.post_message(events.Resize(now, now))

    def exit(self, *args: Any, **more: Any) -> None:
        """Remember where the person is, stop what is under way, and end."""
        from tui.whereabouts import KEPT, kept

        pages = [page for page in self.screen_stack if isinstance(page, Page)]
        for page in pages:
            page.stop()
        above = [kept(p.opened_by, p.spot) for p in pages if isinstance(p.opened_by, KEPT)]
        places = [kept(None, self.fleet.spot), above[-1] if above else None]
        self.desk.remember(LAST_PLACE, places)
        super().exit(*args, **more)
