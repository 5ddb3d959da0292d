"""The screens of longpole: which one opens from which, and what holds on all of them.

Knows no figures. The site is read by the function that it is given, in a worker, after the first
screen is painted; the libraries that reckon are loaded there and not before.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual.app import App, SystemCommand
from textual.screen import Screen

from tui import messages
from tui.mistakes import mistake_sentence
from tui.screens.crane import CraneScreen
from tui.screens.duty import DutyScreen
from tui.screens.explanation import ExplanationScreen
from tui.screens.findings import FindingsScreen
from tui.screens.fleet import FleetScreen
from tui.screens.help import HelpScreen
from tui.screens.page import Page
from tui.screens.part import PartScreen
from tui.screens.position import PositionScreen
from tui.screens.positions import PositionsScreen
from tui.screens.risks import RisksScreen
from tui.screens.together import TogetherScreen
from tui.screens.watch import WatchScreen
from tui.screens.year import CraneYearScreen
from tui.site import Site
from tui.themes import DEFAULT_THEME, THEMES

if TYPE_CHECKING:
    from parts.records.snapshot import Snapshot


class LongpoleApp(App[None]):
    """The program on a terminal; `read` gives the snapshot that it shows."""

    TITLE = "longpole"
    COMMAND_PALETTE_BINDING: ClassVar = "ctrl+p"
    CSS = """
    Toast { background: $panel; }
    """

    def __init__(self, read: Callable[[], Snapshot], today: date) -> None:
        super().__init__()
        self.animation_level = "none"
        self._fleet = FleetScreen(f"as known on {today.isoformat()}", lambda: Site(read()))
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = DEFAULT_THEME

    def get_default_screen(self) -> Screen[None]:
        """Begin with the fleet."""
        return self._fleet

    def open(self, make: Callable[[Site], Page]) -> None:
        """Put a screen on top, once there is a site to show on it."""
        if self._fleet.site is not None:
            self.push_screen(make(self._fleet.site))

    def on_open_crane(self, message: messages.OpenCrane) -> None:
        self.open(lambda site: CraneScreen(site, message.crane))

    def on_open_position(self, message: messages.OpenPosition) -> None:
        self.open(lambda site: PositionScreen(site, message.crane, message.position))

    def on_open_part(self, message: messages.OpenPart) -> None:
        self.open(lambda site: PartScreen(site, message.part))

    def on_open_explanation(self, message: messages.OpenExplanation) -> None:
        self.open(lambda site: ExplanationScreen(site, message.subject))

    def on_open_find(self, message: messages.OpenFind) -> None:
        self.open(lambda site: PositionsScreen(site, message.text))

    def on_open_year(self, message: messages.OpenYear) -> None:
        self.open(lambda site: CraneYearScreen(site, message.crane))

    def on_open_together(self, message: messages.OpenTogether) -> None:
        self.open(lambda site: TogetherScreen(site, message.places))

    def action_risks(self) -> None:
        """Rank the parts."""
        self.open(RisksScreen)

    def action_watch(self) -> None:
        """List what runs out."""
        self.open(WatchScreen)

    def action_duty(self) -> None:
        """Show the working periods."""
        self.open(DutyScreen)

    def action_findings(self) -> None:
        """List the findings."""
        self.open(FindingsScreen)

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
        self._fleet.read()

    def _fatal_error(self) -> None:
        """End with a sentence, where the framework would print the insides of the program."""
        self._exit_renderables.append(Text(mistake_sentence(self._exception)))
        self._close_messages_no_wait()

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

    def read() -> Snapshot:
        from parts.services.sites import read_snapshot

        return read_snapshot(database, today)

    app = LongpoleApp(read, today)
    app.run(mouse=mouse)
    return app.return_code or 0
