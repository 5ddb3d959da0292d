"""The parts whose time on the market runs out: until when, and how likely they are to be had."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import ClassVar

from textual.content import Content

from parts.records.risk_answers import PartOutlook
from parts.records.shares import percent
from tui import actions, formats, words
from tui.messages import OpenPart
from tui.screens.filtered import FilteredPage, Found, holding
from tui.site import Site
from tui.widgets.bars import level
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import Bar, LinesPanel, bar_lines
from tui.widgets.texts import STRONG, WARN, said

OutlookField = Field[PartOutlook]
NOTHING = "No part is known to be running out.\n\nPress Esc to go back."
NO_DAY = "-"


def chances(outlook: PartOutlook) -> str:
    """Return the chances to have a part after so many years, one cell each."""
    return " ".join(level(chance) for chance in outlook.obtainable.values())


def chance_text(chance: float | None) -> str:
    """Return a chance in whole percent."""
    return "?" if chance is None else percent(chance)


def _chance_field(years: int) -> OutlookField:
    return OutlookField(
        Column(f"{years} y", 5, "right"),
        lambda outlook: chance_text(outlook.obtainable.get(years)),
        from_width=100,
    )


class WatchScreen(FilteredPage[PartOutlook]):
    """The watch list."""

    ACTS: ClassVar = actions.WATCH
    WORDS: ClassVar = words.WATCH
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "WatchScreen LinesPanel { height: 10; }"

    def __init__(self, site: Site) -> None:
        self._today = site.snapshot.today
        trail = ("longpole", "watch list")
        super().__init__(trail, f"as known on {self._today}", self._fields())
        self._site = site

    def _fields(self) -> tuple[OutlookField, ...]:
        return (
            OutlookField(Column("Part", 12), lambda o: o.part, lambda _: "strong"),
            OutlookField(
                Column("Description", None, least=18), lambda o: o.description, from_width=110
            ),
            OutlookField(Column("Stage", 20), lambda o: o.stage or formats.NOT_KNOWN),
            OutlookField(
                Column("Closes on", 20),
                lambda o: closes(o.closes_on, self._today),
                lambda o: "reduced" if o.closes_on else "quiet",
            ),
            OutlookField(Column("Jumps", 5), lambda o: str(o.jump_year or NO_DAY)),
            OutlookField(Column("1 3 5 10 y", 10), chances),
            *(_chance_field(years) for years in (1, 3, 5, 10)),
        )

    def panel(self) -> LinesPanel:
        """Return the room for the chances."""
        return LinesPanel()

    def nothing(self, is_filtered: bool) -> str:
        """Return what stands in place of rows."""
        return super().nothing(is_filtered) if is_filtered else NOTHING

    def find(self, text: str) -> Found[PartOutlook]:
        """Return the parts that hold `text`."""
        watched = self._site.watch_list
        return Found(holding(watched, text, self._words), len(watched))

    def _words(self, outlook: PartOutlook) -> str:
        numbers = self._site.numbers.get(outlook.part, "")
        return f"{outlook.part} {outlook.description} {outlook.stage} {numbers}"

    def tell(self, item: PartOutlook | None) -> None:
        """Say until when the part under the cursor can be had."""
        today = self._today
        self.query_one(LinesPanel).show(
            lambda width: () if item is None else tuple(outlook_lines(item, today, width))
        )

    def open_item(self, item: PartOutlook) -> None:
        """Open the part."""
        self.post_message(OpenPart(item.part))


def closes(day: date | None, today: date) -> str:
    """Return the last day for an order and the days left until it."""
    return NO_DAY if day is None else f"{formats.day(day)} {left(day, today)}"


def left(day: date, today: date) -> str:
    """Return the days until a day, or that it is over."""
    days = (day - today).days
    return "(over)" if days < 0 else f"(in {days:,} d)"


def outlook_lines(outlook: PartOutlook, today: date, width: int) -> Iterator[Content]:
    """Return what is known of a part's time on the market, with a bar for each span of years."""
    yield said((f"{outlook.part}  {outlook.description}", STRONG))
    stage = outlook.stage or "stage not known"
    asked = f"asked for {outlook.demand_per_year:.2g} times a year"
    if outlook.rate_mean is None and not outlook.demand_per_year:
        asked = "how often it is asked for is not known"
    yield said(f"{stage[:1].upper()}{stage[1:]}; {asked}.")
    if outlook.closes_on is not None:
        last = closes(outlook.closes_on, today)
        yield said((f"The last order can be placed on {last}.", WARN))
    if outlook.jump_year is not None:
        yield said(
            f"From {outlook.jump_year} on restoring some crane is expected to take half as long "
            "again."
        )
    for years, chance in outlook.obtainable.items():
        label = formats.count(years, "year")
        sentence = "chance that it can still be had then"
        yield from bar_lines(Bar(label, chance, 1, chance_text(chance), sentence), width)
