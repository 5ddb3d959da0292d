"""All positions of the fleet by lost days, with the long pole of the one under the cursor."""

from __future__ import annotations

from typing import ClassVar

from parts.records.answers import PositionOutage
from tui import actions, words
from tui.messages import OpenFind, OpenPosition
from tui.screens.crane import head_of
from tui.screens.fields import DESCRIPTION, LOST, PART, RESTORE, STATE, WAITS, PositionField
from tui.screens.filtered import FilteredPage, Found
from tui.site import Ranked, Site
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.pole import PolePanel

FIELDS = (
    PositionField(Column("Crane", 6), lambda outage: outage.crane),
    PositionField(
        Column("Position", None, least=15), lambda outage: outage.position, lambda _: "strong"
    ),
    Field(PART.column, PART.text, PART.style, from_width=70),
    DESCRIPTION,
    RESTORE,
    STATE,
    LOST,
    Field(WAITS.column, WAITS.text, WAITS.style, from_width=94),
)
NOTHING = (
    "No position holds what you typed.\n\nEvery word must be found in the crane, the position, the "
    "part, its description or one of its numbers. Take letters away with the backspace key, "
    "press Tab to look among everything that has a name, or Esc to see all positions."
)


class PositionsScreen(FilteredPage[PositionOutage]):
    """The list of all positions with its filter line."""

    ACTS: ClassVar = actions.POSITIONS
    WORDS: ClassVar = words.LISTS
    BINDINGS: ClassVar = actions.bindings(ACTS)

    def __init__(self, site: Site, text: str = "") -> None:
        trail = ("longpole", "all positions")
        super().__init__(trail, f"as known on {site.snapshot.today}", FIELDS, text)
        self._site = site

    def panel(self) -> PolePanel:
        """Return the long pole."""
        return PolePanel()

    def nothing(self, is_filtered: bool) -> str:
        """Return what stands in place of rows."""
        return NOTHING

    def find(self, text: str) -> Found[PositionOutage]:
        """Return the positions that hold `text`."""
        return Found(Ranked(self._site, self._site.matching(text)), len(self._site.fleet))

    def tell(self, item: PositionOutage | None) -> None:
        """Draw the long pole of the position under the cursor."""
        crane = f"{item.crane} / " if item is not None else ""
        self.query_one(PolePanel).show(item, crane + head_of(item))

    def action_other_list(self) -> None:
        """Look for the same text among everything that has a name."""
        typed = self.typed
        self.dismiss()
        self.app.post_message(OpenFind(typed))

    def open_item(self, item: PositionOutage) -> None:
        """Open the position."""
        self.post_message(OpenPosition(item.crane, item.position))
