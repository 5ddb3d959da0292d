"""Find anything: whatever somebody calls it, what it is, and by which of its names it was found."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import ClassVar

from textual.content import Content

from parts.records.find_answers import FindAnswer, Hit, Kind, Rank
from tui import actions, words
from tui.messages import (
    OpenCrane,
    OpenHeld,
    OpenOffers,
    OpenPart,
    OpenPosition,
    OpenPositions,
)
from tui.screens.filtered import FilteredPage, Found
from tui.site import Site
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, WARN, said

HitField = Field[Hit]
WIDE = 100
FOUND_BY = HitField(
    Column("Found by", None, least=20),
    lambda hit: hit.why,
    lambda hit: "assumed" if hit.rank is Rank.NEAR else "",
    from_width=WIDE,
)
FIELDS = (
    HitField(Column("Name", None, least=16), lambda hit: hit.name, lambda _: "strong"),
    HitField(Column("What it is", 13), lambda hit: hit.kind.value),
    HitField(Column("Description", None, least=20), lambda hit: hit.description),
    FOUND_BY,
    replace(FOUND_BY, column=Column("Found by", 18), from_width=0, below_width=WIDE),
)
WHAT_CAN_BE_TYPED = (
    "Type a number or a name, or a piece of one.\n\n"
    "A part by your own number, by what is stamped on it, by its maker's or a supplier's number, "
    "or by words of its description. A crane by its tag, name or bay. A position, a supplier, a "
    "store or a bin with something in it, an order, a serial number in stock.\n\n"
    "Dashes, blanks, dots, capitals, accents and leading zeros do not matter. Tab shows the list "
    "of positions instead."
)
ONLY_MARKS = "Marks alone name nothing.\n\nType letters or digits, or press Esc to begin again."
WHAT_TO_DO = (
    "Take letters away with the backspace key, type only the digits that can be read, or press Tab "
    "to look in the list of positions. Esc begins again."
)
GUESS = "This is a guess: compare every letter and digit before you rely on it."
OPENS_PART, OPENS_HELD = "Enter shows the part.", "Enter lists what lies there."
OPENS = {
    Kind.PART: OPENS_PART,
    Kind.CRANE: "Enter shows the crane.",
    Kind.SUPPLIER: "Enter lists what it offers.",
    Kind.STORE: OPENS_HELD,
    Kind.BIN: OPENS_HELD,
    Kind.ORDER: OPENS_PART,
    Kind.SERIAL: OPENS_PART,
    Kind.POSITION: "Enter shows the position.",
}


class FindScreen(FilteredPage[Hit]):
    """The one search."""

    ACTS: ClassVar = actions.FIND_ANYTHING
    WORDS: ClassVar = words.FOUND
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "FindScreen LinesPanel { height: 7; }"

    def __init__(self, site: Site, text: str = "") -> None:
        day = f"as known on {site.snapshot.today}"
        super().__init__(("longpole", "find"), day, FIELDS, text)
        self._site = site

    def panel(self) -> LinesPanel:
        """Return the room for all about a hit."""
        return LinesPanel()

    def find(self, text: str) -> Found[Hit]:
        """Return what a text finds."""
        answer = self._site.find(text)
        return Found(answer.hits, answer.total, nothing_found(answer))

    def tell(self, item: Hit | None) -> None:
        """Say all about the hit under the cursor."""
        lines = () if item is None else tuple(hit_lines(item))
        self.query_one(LinesPanel).show(lambda _: lines)

    def open_item(self, item: Hit) -> None:
        """Open the place that a hit names."""
        place = item.opens
        if place.part is not None:
            self.post_message(OpenPart(place.part))
        elif place.supplier is not None:
            self.post_message(OpenOffers(place.supplier))
        elif place.store is not None:
            self.post_message(OpenHeld(place.store, place.bin))
        elif place.crane is not None:
            self._open_crane(place.crane, place.position)

    def _open_crane(self, crane: str, position: str | None) -> None:
        """Open a position, or its crane where the position is in no list, as a bare assembly."""
        if not self._site.snapshot.is_live(crane):
            self.refused(f"{crane} is out of use: nothing of it is reckoned or shown.")
        elif position is not None and self._site.lists(crane, position):
            self.post_message(OpenPosition(crane, position))
        else:
            self.post_message(OpenCrane(crane))

    def action_other_list(self) -> None:
        """Look for the same text among the positions."""
        typed = self.typed
        self.dismiss()
        self.app.post_message(OpenPositions(typed))


def nothing_found(answer: FindAnswer) -> str:
    """Return what can be typed, or, where something was, what was tried."""
    if not answer.text.strip():
        return WHAT_CAN_BE_TYPED
    if not answer.tried:
        return ONLY_MARKS
    tried = "; ".join(answer.tried)
    return f"Nothing of that name was found.\n\nTried: {tried}.\n\n{WHAT_TO_DO}"


def hit_lines(hit: Hit) -> Iterator[Content]:
    """Return what was found, by what, and what opens."""
    yield said((f"{hit.kind.value[:1].upper()}{hit.kind.value[1:]} {hit.name}", STRONG))
    if hit.description:
        yield said(hit.description)
    yield said(("Found by ", QUIET), hit.why)
    if hit.rank is Rank.NEAR:
        yield said((GUESS, WARN))
    yield said((OPENS[hit.kind], QUIET))
