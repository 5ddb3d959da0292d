"""What lies in a store or a bin, and what a supplier offers: lists of parts that open."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from parts.records.find_answers import Held
from parts.records.supply import Offer
from tui import actions, formats, words
from tui.messages import OpenPart
from tui.screens.listing import ListPage
from tui.site import Site
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, said

HeldField = Field[Held]
OfferField = Field[Offer]
HELD_FIELDS = (
    HeldField(Column("Part", 16), lambda held: held.part, lambda _: "strong"),
    HeldField(Column("Description", None, least=20), lambda held: held.description),
    HeldField(Column("Here", 6, "right"), lambda held: f"{held.qty:,}", lambda _: "strong"),
    HeldField(Column("Usable", 6, "right"), lambda held: f"{held.usable:,}"),
    HeldField(Column("Bin", 10), lambda held: held.bin or "-"),
)
NOTHING_HELD = "Nothing lies here any more.\n\nPress Esc to go back."
NOTHING_OFFERED = "This supplier offers nothing on record.\n\nPress Esc to go back."


class HeldScreen(ListPage[Held]):
    """The parts in a store or a bin."""

    ACTS: ClassVar = actions.CONTENTS
    WORDS: ClassVar = words.HELD
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "HeldScreen LinesPanel { height: 5; }"

    def __init__(self, site: Site, store: str, bin_name: str | None) -> None:
        self._where = tuple(name for name in (store, bin_name) if name)
        day = f"as known on {site.snapshot.today}"
        super().__init__(("longpole", *self._where), day, HELD_FIELDS)
        self._site, self._store, self._bin = site, store, bin_name

    def load(self) -> None:
        """Ask what lies there."""
        self.ask(lambda: self._site.held(self._store, self._bin), self._show)

    def _show(self, found: Sequence[Held]) -> None:
        self._table.set_empty_text(NOTHING_HELD)
        units = sum(each.qty for each in found)
        here = f"{formats.count(len(found), 'part')}, {formats.count(units, 'unit')} by the book."
        self.say((f"{', '.join(self._where)}: {here}", STRONG))
        self._table.list_items(found)

    def tell(self, item: Held | None) -> None:
        """Say how many may be used."""
        lines = () if item is None else (
            said((f"{item.part}  {item.description}", STRONG)),
            said(f"{item.qty:,} here by the book; {item.usable:,} usable in all stores together, "
                 "without what is promised, in quarantine or past its date."),
        )  # fmt: skip
        self.query_one(LinesPanel).show(lambda _: lines)

    def open_item(self, item: Held) -> None:
        """Open the part."""
        self.post_message(OpenPart(item.part))


class OffersScreen(ListPage[Offer]):
    """The parts that a supplier offers."""

    ACTS: ClassVar = actions.CONTENTS
    WORDS: ClassVar = words.OFFERED
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "OffersScreen LinesPanel { height: 5; }"

    def __init__(self, site: Site, supplier: str) -> None:
        day = f"as known on {site.snapshot.today}"
        self._site, self._supplier = site, supplier
        super().__init__(("longpole", supplier), day, self._fields())

    def _fields(self) -> tuple[OfferField, ...]:
        return (
            OfferField(Column("Part", 16), lambda offer: offer.part, lambda _: "strong"),
            OfferField(Column("Description", None, least=20), self._described),
            OfferField(Column("As", 6), lambda offer: offer.kind),
            OfferField(Column("Price", 14, "right"), self._price),
            OfferField(Column("Likely", 9, "right"), lead_time),
            OfferField(
                Column("Valid until", 11), lambda o: formats.day(o.valid_until), from_width=100
            ),
        )

    def _described(self, offer: Offer) -> str:
        return self._site.snapshot.parts[offer.part].description or ""

    def _price(self, offer: Offer) -> str:
        return formats.money(offer.unit_price, offer.currency or self._site.currency)

    @property
    def subjects(self) -> tuple[tuple[str, ...], ...]:
        """The supplier before the part under the cursor."""
        return (("supplier", self._supplier), *super().subjects)

    def load(self) -> None:
        """Ask what is offered."""
        self.ask(lambda: self._site.offers_of(self._supplier), self._show)

    def _show(self, found: Sequence[Offer]) -> None:
        self._table.set_empty_text(NOTHING_OFFERED)
        row = self._site.snapshot.suppliers[self._supplier]
        named = ", ".join(text for text in (row.supplier, row.name) if text)
        closed = "" if row.active else " This supplier is closed."
        self.say((f"{named}: {formats.count(len(found), 'offer')}.{closed}", STRONG))
        self._table.list_items(found)

    def tell(self, item: Offer | None) -> None:
        """Say from when an offer is."""
        lines = () if item is None else (
            said((f"{item.part}  {self._described(item)}", STRONG)),
            said(f"Quoted on {formats.day(item.quoted_on)}, valid until "
                 f"{formats.day(item.valid_until)}, at least {item.min_qty:,}."),
            said((f"Record: offers {item.supplier}/{item.part}/{item.kind}", QUIET)),
        )  # fmt: skip
        self.query_one(LinesPanel).show(lambda _: lines)

    def open_item(self, item: Offer) -> None:
        """Open the part."""
        self.post_message(OpenPart(item.part))


def lead_time(offer: Offer) -> str:
    """Return the likely lead time, in the unit in which it was given."""
    if offer.route is not None and offer.likely is None:
        return "by route"
    return formats.NOT_KNOWN if offer.likely is None else f"{offer.likely:g} {offer.unit}"
