"""What every picture has: a name, a sentence above it, and what is told of the place under the
cursor.

A view asks through the page that it is on, so that only the latest answer is shown.
"""

from __future__ import annotations

from abc import abstractmethod
from typing import ClassVar

from textual.containers import Vertical
from textual.widgets import Static

from tui.acts import Act
from tui.screens.page import RECKONING, Page
from tui.site import Site
from tui.widgets.field_table import FieldTable
from tui.widgets.texts import STRONG, Piece, said


class View(Vertical):
    """One picture."""

    NAME: ClassVar[str] = ""
    IDLE: ClassVar[tuple[Act, ...]] = ()
    """Actions that have nothing to do in it, which the foot leaves out."""
    DEFAULT_CSS = "View { height: 1fr; }"

    def __init__(self, page: Page, site: Site) -> None:
        super().__init__()
        self._on = page
        self._site = site
        self._sentence = Static(said((RECKONING, STRONG)), classes="line")

    @abstractmethod
    def load(self) -> None:
        """Ask for what is drawn, with the keys going to it."""

    def take_site(self, site: Site) -> None:
        """Ask another state of the site from now on, with the cursor on the same row."""
        self._site = site
        for table in self.query(FieldTable):
            table.begin_at(table.spot)

    def say(self, *pieces: Piece) -> None:
        """Show the sentence above the picture."""
        self._sentence.update(said(*pieces))

    def open_item(self) -> str:
        """Open what is under the cursor, or return why there is nothing to open."""
        return "There is nothing to open here."

    def copied(self) -> str:
        """Return what is under the cursor as cells with tabs between, "" for nothing."""
        return ""

    def turn_unit(self) -> str:
        """Change between money and days, or return why that cannot be."""
        return "This picture has one unit only: press Tab for fleet heat or the years."

    def turn_systems(self) -> str:
        """Take other systems, or return why that cannot be."""
        return "Only fleet heat has systems: press Tab to come to it."

    def step(self, up: bool) -> str:
        """Raise or lower the budget, or return why that cannot be."""
        return "Only the years have a budget: press Tab to come to them."
