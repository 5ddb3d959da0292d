"""The screens follow what others change: the database is watched, read again, and shown in place.

Only the page on top is brought up to date; those beneath are when they come to the top again. A
page whose subject is gone stays as it was and says so; nothing that is typed is touched.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on

from tui import messages
from tui.forgiving import ForgivingApp
from tui.screens.fleet import FleetScreen
from tui.screens.page import Page

if TYPE_CHECKING:
    from tui.desk import Desk
    from tui.site import Site

LOOK_EVERY_S = 2.0
GONE = "What is shown here is no longer in the site. Press Esc to go back."


class FollowingApp(ForgivingApp):
    """A program whose pages show the site as it is."""

    desk: Desk
    fleet: FleetScreen

    def follow(self) -> None:
        """Begin to look for changes."""
        self.set_interval(LOOK_EVERY_S, self.look_for_changes)

    def look_for_changes(self) -> None:
        """Look once, in a worker."""
        self.run_worker(self._look, thread=True, exclusive=True, group="look", exit_on_error=False)

    def _look(self) -> None:
        if self.desk.changed():
            self.post_message(messages.Changed())

    @on(messages.Changed)
    def read_what_others_wrote(self) -> None:
        """Read the site again; what is shown stays until then."""
        self.fleet.read_quietly()

    @on(messages.SiteRead)
    def show_on_top(self, message: messages.SiteRead) -> None:
        """Bring the page on top up to date."""
        if isinstance(self.screen, Page):
            self._renew(self.screen, message.site)

    @on(messages.Resumed)
    def show_again(self, message: messages.Resumed) -> None:
        """Bring a page up to date that has come to the top."""
        if message.page is self.screen and self.fleet.site is not None:
            self._renew(message.page, self.fleet.site)

    def _renew(self, page: Page, site: Site) -> None:
        if page.shows is site or isinstance(page, FleetScreen):
            return
        from tui.openers import page_for
        from tui.whereabouts import is_there

        page.shows, opened_by = site, page.opened_by
        if opened_by is not None and not is_there(opened_by, site):
            page.refused(GONE)
        elif not page.take_site(site) and opened_by is not None:
            anew = page_for(opened_by, site)
            anew.begin_at(page.spot)
            page.stop()
            self.switch_screen(anew)
