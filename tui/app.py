"""The screens of longpole: which one opens from which, and what holds on all of them.

Knows no figures. The site is read at the desk that it is given, in a worker, after the first screen
is painted; the libraries that reckon are loaded there and not before.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from datetime import date
from functools import partial
from typing import Any, ClassVar

from textual import on
from textual.app import SystemCommand
from textual.screen import Screen

from parts.services.mistake_log import Noted
from tui import messages, sentences
from tui.desk import Desk
from tui.following import FollowingApp
from tui.openers import page_for
from tui.screens.cautions import CautionsScreen
from tui.screens.fleet import FleetScreen
from tui.screens.help import HelpScreen
from tui.screens.mistake import MistakeScreen
from tui.screens.page import Page
from tui.site import Site
from tui.themes import DEFAULT_THEME, THEMES
from tui.whereabouts import KEPT, kept, opening_of, spot_of

LAST_PLACE = "last place"


class LongpoleApp(FollowingApp):
    """The program on a terminal, for the person at one desk."""

    TITLE = "longpole"
    COMMAND_PALETTE_BINDING: ClassVar = "ctrl+p"
    CSS = """
    Toast { background: $panel; }
    """

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
        day = f"as known on {self.desk.today}"
        self.fleet = FleetScreen(day, lambda: Site(self.desk.read()))
        return self.fleet

    def mistake_screen(self, noted: Noted, is_closed: bool) -> MistakeScreen:
        """Return the screen that tells a mistake of the program."""
        return MistakeScreen(noted, is_closed)

    def get_default_screen(self) -> Screen[None]:
        """Begin with the fleet."""
        return self.fleet

    def on_mount(self) -> None:
        """Show the cautions to who has not read them; the site is read meanwhile."""
        if not self.desk.has_read(sentences.CAUTIONS):
            self.push_screen(CautionsScreen())
        self.follow()

    @on(messages.Opens)
    def open_page(self, message: messages.Opens) -> None:
        """Open what a screen asked for, once there is a site to show on it."""
        if self.fleet.site is not None:
            self.push_screen(page_for(message, self.fleet.site))

    def action_list(self, name: str) -> None:
        """Open a list of the whole site."""
        self.open_page(messages.OpenList(name))

    @on(messages.SiteRead)
    def go_where_the_person_was(self, message: messages.SiteRead) -> None:
        """Open the last place of this person, unless somewhere was gone to meanwhile."""
        if not message.is_first or self.screen is not self.fleet:
            return
        match self.desk.recall(LAST_PLACE):
            case [crane, place]:
                self.fleet.go_to(spot_of(crane))
                if (opening := opening_of(place, message.site)) is not None:
                    page = page_for(opening, message.site)
                    page.begin_at(spot_of(place))
                    self.push_screen(page)

    def exit(self, *args: Any, **more: Any) -> None:
        """Remember where the person is, stop what is under way, and end."""
        pages = [page for page in self.screen_stack if isinstance(page, Page)]
        for page in pages:
            page.stop()
        above = [kept(p.opened_by, p.spot) for p in pages if isinstance(p.opened_by, KEPT)]
        places = [kept(None, self.fleet.spot), above[-1] if above else None]
        self.desk.remember(LAST_PLACE, places)
        super().exit(*args, **more)

    @on(messages.Booked)
    def read_what_was_written(self) -> None:
        """Read the site anew once something was written from here."""
        self.fleet.read()

    def action_move_stock(self) -> None:
        """Show what can be done with the stock, with what is known from the page."""
        page = self.screen
        begun = page.stock_facts if isinstance(page, Page) else {}
        self.open_page(messages.OpenMoves(begun))

    def action_help(self) -> None:
        """Explain the screen that is shown."""
        page = self.screen
        if isinstance(page, Page) and not isinstance(page, HelpScreen):
            self.push_screen(HelpScreen(page))

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
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        print(NO_TERMINAL, file=sys.stderr)
        return 2
    app = LongpoleApp(Desk(database, today))
    app.run(mouse=mouse)
    return app.return_code or 0
