"""The screens of longpole: which one opens from which, and what holds on all of them.

Knows no figures. The site is read at the desk that it is given, in a worker, after the first screen
is painted; the libraries that reckon are loaded there and not before.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import SystemCommand
from textual.screen import Screen

from parts.services.mistake_log import Noted
from tui import messages, sentences
from tui.desk import Desk
from tui.returning import ReturningApp
from tui.screens.cautions import CautionsScreen
from tui.screens.fleet import FleetScreen
from tui.screens.help import HelpScreen
from tui.screens.mistake import MistakeScreen
from tui.screens.page import Page
from tui.themes import DEFAULT_THEME, THEMES

if TYPE_CHECKING:
    from tui.site import Site


class LongpoleApp(ReturningApp):
    """The program on a terminal, for the person at one desk."""

    TITLE = "longpole"
    COMMAND_PALETTE_BINDING: ClassVar = "ctrl+p"
    CSS = "Toast { background: $panel; } SearchIcon { display: none; }"

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.animation_level = "none"
        self.fleet = self.first_screen()
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = DEFAULT_THEME

    def first_screen(self) -> FleetScreen:
        """Return the fleet, not read yet."""
        self.fleet = FleetScreen(f"as known on {self.desk.today}", self._read_site)
        return self.fleet

    def _read_site(self) -> Site:
        """Read the site, then load the other screens: the first one waits for none of them."""
        snapshot = self.desk.read()
        import tui.openers  # noqa: F401
        from tui.site import Site

        return Site(snapshot)

    def mistake_screen(self, noted: Noted, is_closed: bool) -> MistakeScreen:
        """Tell a mistake of the program."""
        return MistakeScreen(noted, is_closed)

    def get_default_screen(self) -> Screen[None]:
        """Begin with the fleet."""
        return self.fleet

    def on_mount(self) -> None:
        """Show the cautions to who has not read them; the site is read meanwhile."""
        if not self.desk.has_read(sentences.CAUTIONS):
            self.push_screen(CautionsScreen())
        self.follow()
        self.heed_signals()

    @on(messages.Opens)
    def open_page(self, message: messages.Opens) -> None:
        """Open what a screen asked for, once there is a site to show on it."""
        if self.fleet.site is not None:
            from tui.openers import page_for

            self.push_screen(page_for(message, self.fleet.site))

    def action_list(self, name: str) -> None:
        """Open a list of the whole site."""
        self.open_page(messages.OpenList(name))

    @on(messages.Booked)
    def read_what_was_written(self) -> None:
        """Read the site anew once something was written from here."""
        self.fleet.read()

    def action_move_stock(self) -> None:
        """Show what can be done with the stock, with what is known from the page."""
        page = self.screen
        begun = page.stock_facts if isinstance(page, Page) else {}
        self.open_page(messages.OpenMoves(begun))

    def action_records(self) -> None:
        """Show what is on record, first about what the page is about."""
        page = self.screen
        about = page.record_facts if isinstance(page, Page) else {}
        self.open_page(messages.OpenRecords(about))

    def action_help(self) -> None:
        """Explain the screen that is shown."""
        page = self.screen
        if isinstance(page, Page) and not isinstance(page, HelpScreen):
            self.push_screen(HelpScreen(page))

    def action_first_steps(self) -> None:
        """Show what to do first."""
        from tui.screens.first_steps import FirstStepsScreen

        page = FirstStepsScreen(self.desk, self.fleet.site)
        page.shows = self.fleet.site
        self.push_screen(page)

    def action_look(self) -> None:
        """Change to the other look."""
        names = [theme.name for theme in THEMES]
        self.theme = names[(names.index(self.theme) + 1) % len(names)]

    def action_read(self) -> None:
        """Read the database again."""
        self.fleet.read()

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Offer every action of the screen in the command palette."""
        for act in screen.ACTS if isinstance(screen, Page) else ():
            run = partial(self.run_action, act.action, default_namespace=screen)
            yield SystemCommand(act.label.capitalize(), act.tooltip, run)


NO_TERMINAL = "The screens need a terminal; `longpole outage` prints the ranking anywhere."


def run(database: str, today: date, mouse: bool = True) -> int:
    """Show the site of a database until the person quits; return the exit status."""
    if os.environ.get("TERM") == "dumb" or not (sys.stdin.isatty() and sys.stdout.isatty()):
        print(NO_TERMINAL, file=sys.stderr)
        return 2
    for name in ("COLUMNS", "LINES"):  # the window's own size counts, not what a shell once noted
        os.environ.pop(name, None)
    app = LongpoleApp(Desk(database, today))
    app.run(mouse=mouse)
    return app.return_code or 0
