"""The screens follow what others change: the database is watched, read again, and shown in place.

Only the page on top is brought up to date; those beneath are when they come to the top again. A
page whose subject is gone stays as it was and says so; nothing that is typed is touched.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import on

from tui import messages
from tui.forgiving import ForgivingApp
from tui.screens.fleet import FleetScreen
from tui.screens.page import Page
from tui.widgets.banner import Banner

if TYPE_CHECKING:
    from tui.desk import Desk
    from tui.site import Site

OUT_OF_REACH = "No connection to the database: what is shown here may be old."
GONE = "What is shown here is no longer in the site. Press Esc to go back."


class FollowingApp(ForgivingApp):
    """A program whose pages show the site as it is."""

    LOOK_EVERY_S: ClassVar = 2.0
    desk: Desk
    fleet: FleetScreen
    _can_look = True

    @property
    def on_top(self) -> Page | None:
        """The page on top; None under a question, and for what is told while the program ends."""
        top = self.screen_stack[-1:]
        return top[0] if top and isinstance(top[0], Page) else None

    def follow(self) -> None:
        """Begin to look for changes."""
        self.set_interval(self.LOOK_EVERY_S, self.look_for_changes)

    def look_for_changes(self) -> None:
        """Look once, in a worker, unless one still waits for a server that does not answer.

        Where looking itself is mistaken that is told, once, and nobody looks any more.
        """
        if self._can_look:
            self._can_look = False
            self.run_worker(self._look, thread=True, group="look")

    def _look(self) -> None:
        changed = self.desk.changed()
        self._can_look = True
        self.post_message(messages.Looked(in_reach=changed is not None))
        if changed:
            self.post_message(messages.Changed())

    @on(messages.Looked)
    def tell_what_is_out_of_reach(self, message: messages.Looked) -> None:
        """Say so on the page on top for as long as the database cannot be asked."""
        for banner in self.on_top.query(Banner) if self.on_top else ():
            if message.in_reach and banner.sentence == OUT_OF_REACH:
                banner.say("")
            elif not message.in_reach and not banner.has_class("said"):
                banner.say(OUT_OF_REACH)

    @on(messages.Changed)
    def read_what_others_wrote(self) -> None:
        """Read the site again; what is shown stays until then."""
        self.fleet.read_quietly()

    @on(messages.SiteRead)
    def show_on_top(self, message: messages.SiteRead) -> None:
        """Bring the page on top up to date."""
        if self.on_top is not None:
            self._renew(self.on_top, message.site)

    @on(messages.Resumed)
    def show_again(self, message: messages.Resumed) -> None:
        """Bring a page up to date that has come to the top."""
        if message.page is self.on_top and self.fleet.site is not None:
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
