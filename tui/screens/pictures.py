"""The pictures of the whole site, one at a time: fleet heat, years, lead times, ages."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult

from tui import actions, words
from tui.pictures.ages import AgesView
from tui.pictures.heat import HeatView
from tui.pictures.lead_times import LeadTimesView
from tui.pictures.view import View
from tui.pictures.years import YearsView
from tui.screens.page import Page
from tui.site import Site
from tui.widgets.banner import Banner
from tui.widgets.ends_line import EndsLine
from tui.widgets.key_line import KeyLine


class PicturesScreen(Page):
    """One picture, and the way to the next; begins with the ages where a part is named."""

    ACTS: ClassVar = actions.PICTURES
    WORDS: ClassVar = words.PICTURES
    BINDINGS: ClassVar = actions.bindings(ACTS)

    def __init__(self, site: Site, part: str | None = None) -> None:
        trail = ("longpole", "pictures") if part is None else ("longpole", "part", part, "pictures")
        super().__init__(trail, f"as known on {site.snapshot.today}")
        ages = AgesView(self, site, part)
        self._views: tuple[View, ...] = (
            HeatView(self, site),
            YearsView(self, site),
            LeadTimesView(self, site),
            ages,
        )
        self._at = 0 if part is None else self._views.index(ages)

    def body(self) -> ComposeResult:
        """Lay out the name of the picture and all pictures, of which one is shown."""
        yield EndsLine(classes="name")
        yield from self._views

    def on_mount(self) -> None:
        """Show the first picture."""
        self._show()

    def take_site(self, site: Site) -> bool:
        """Draw the picture anew, as it was chosen."""
        for view in self._views:
            view.take_site(site)
        self._view.load()
        return True

    @property
    def _view(self) -> View:
        return self._views[self._at]

    def _show(self) -> None:
        for view in self._views:
            view.display = view is self._view
        place = f"picture {self._at + 1} of {len(self._views)}, Tab for the next"
        self.query_one(".name", EndsLine).show(self._view.NAME, place)
        self.query_one(Banner).say("")
        self.query_one(KeyLine).leave_out(*self._view.IDLE)
        self._view.load()

    def _unless(self, refusal: str) -> None:
        """Say why something was not done, or take away what was said before."""
        self.query_one(Banner).say(refusal)

    def action_next_picture(self) -> None:
        """Go on to the next picture."""
        self._at = (self._at + 1) % len(self._views)
        self._show()

    def action_open(self) -> None:
        """Open what is under the cursor."""
        self._unless(self._view.open_item())

    def action_unit(self) -> None:
        """Change between money and days."""
        self._unless(self._view.turn_unit())

    def action_systems(self) -> None:
        """Take other systems."""
        self._unless(self._view.turn_systems())

    def action_step(self, up: bool) -> None:
        """Raise or lower the budget."""
        self._unless(self._view.step(up))

    def action_copy(self) -> None:
        """Send what is under the cursor to the clipboard of the terminal."""
        copied = self._view.copied()
        if not copied:
            self.refused("There is nothing under the cursor to copy.")
            return
        self.app.copy_to_clipboard(copied)
        self.notify("It was sent to the terminal's clipboard.", markup=False)
