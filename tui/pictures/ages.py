"""Ages against lives: how old each fitted unit is, and how old such units become."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, NamedTuple

from textual import events
from textual.app import ComposeResult
from textual.content import Content

from parts.records.picture_answers import AgeAnswer, AgesAnswer, Stand
from tui.acts import UNIT
from tui.messages import OpenPosition
from tui.pictures.view import View
from tui.screens.page import Page
from tui.screens.position import BEARS_LOAD
from tui.site import Site
from tui.widgets.bars import LEAST_BAR, bar
from tui.widgets.columns import Column
from tui.widgets.field_table import Field, FieldTable
from tui.widgets.panel import LinesPanel
from tui.widgets.strips import AT, HIGH, LOW, MIDDLE, Spread, ruler, strip
from tui.widgets.table import RowTable
from tui.widgets.texts import QUIET, STRONG, WARN, said

AgeField = Field[AgeAnswer]
WIDTH_OF_OTHERS = 66
"""What the columns beside the strips take, with the margin and the bar for scrolling."""
LEAST_TOP, MOST_TOP = 1.25, 3.0
NOTHING = "No live position holds it.\n\nPress Esc to go back."
LEGEND = (
    f"{LOW} the age before which 10 % of such units fail, {MIDDLE} the mean life, {HIGH} the age "
    f"before which 90 % fail, {AT} the age of this one. Two signs in one cell become ◈."
)
NO_INSPECTION = "An age is no inspection: within the range says nothing about a unit's state."
HALVES = ("under half a life", "half to one life", "one to 1½ lives", "1½ to 2 lives", "2 and more")


class StandLook(NamedTuple):
    """Symbol and word of where an age stands, and the style word of its cell."""

    text: str
    style: str


LOOKS = {
    Stand.BEYOND_RANGE: StandLook("▼ beyond range", "down"),
    Stand.BEYOND_MEAN: StandLook("◆ beyond mean", "reduced"),
    Stand.WITHIN: StandLook("● within", "in-service"),
    Stand.NOT_KNOWN: StandLook("? not known", "quiet"),
}


class AgesView(View):
    """Positions by how much of a life is used up."""

    NAME: ClassVar = "Ages against lives"
    IDLE: ClassVar = (UNIT,)
    DEFAULT_CSS = "AgesView LinesPanel { height: 35%; min-height: 11; max-height: 14; }"

    def __init__(self, page: Page, site: Site, part: str | None = None) -> None:
        super().__init__(page, site)
        self._part = part
        self._answer = AgesAnswer(part, (), {}, (), 0.0)
        self._table = FieldTable(fields_of(self._answer, 0))

    def compose(self) -> ComposeResult:
        """Lay out the sentence, the positions and the panel."""
        yield self._sentence
        yield self._table
        yield LinesPanel()

    def load(self) -> None:
        """Ask for the ages."""
        self._table.focus()
        self._on.ask(lambda: self._site.ages(self._part), self._show)

    def _show(self, answer: AgesAnswer) -> None:
        self._answer = answer
        counted = ", ".join(
            f"{answer.counts.get(stand, 0)} {look.text[2:]}" for stand, look in LOOKS.items()
        )
        whose = "live positions" if self._part is None else f"positions of {self._part}"
        self.say((f"Ages at {whose} against expected life: {counted}.", STRONG))
        self._table.set_empty_text(NOTHING)
        self._draw()

    def on_resize(self, event: events.Resize) -> None:
        """Draw the axis as wide as there is room."""
        if self._answer.ages:
            self._draw()

    def _draw(self) -> None:
        self._table.show_fields(fields_of(self._answer, self.size.width))
        self._table.list_items(self._answer.ages, at=self._table.cursor or 0)

    def on_row_table_row_highlighted(self, event: RowTable.RowHighlighted) -> None:
        """Tell about the position under the cursor."""
        chosen, counts = self._table.chosen, self._answer.by_half_lives
        told = () if chosen is None else tuple(age_lines(chosen))
        self.query_one(LinesPanel).show(lambda width: (*told, *half_lines(counts, width)))

    def on_row_table_row_chosen(self, event: RowTable.RowChosen) -> None:
        """Open the position."""
        self.open_item()

    def open_item(self) -> str:
        """Open the position under the cursor."""
        if (chosen := self._table.chosen) is None:
            return super().open_item()
        self.post_message(OpenPosition(chosen.crane, chosen.position))
        return ""

    def copied(self) -> str:
        """Return the row."""
        return self._table.copy_tsv()


def fields_of(answer: AgesAnswer, width: int) -> tuple[AgeField, ...]:
    """Return the columns, with the axis of mean lives in what room the others leave."""
    top = min(MOST_TOP, max(LEAST_TOP, answer.widest * 1.02))
    room = max(0, width - WIDTH_OF_OTHERS)
    return (
        AgeField(Column("Position", 26), lambda e: f"{e.crane}/{e.position}", lambda _: "strong"),
        AgeField(
            Column("Stands", 14),
            lambda each: LOOKS[each.stand].text,
            lambda e: LOOKS[e.stand].style,
        ),
        AgeField(Column("Age", 8, "right"), lambda each: in_unit(each.age, each.basis)),
        AgeField(Column("Mean", 8, "right"), lambda each: in_unit(each.mean, each.basis)),
        AgeField(
            Column(ruler(1.0, "mean life", top, room), room),
            lambda each: strip(spread(each), each.share, top, room),
            lambda each: LOOKS[each.stand].style,
        ),
    )


def spread(age: AgeAnswer) -> Spread | None:
    """Return the range of a life in mean lives; None where its mean lies outside of it."""
    if not age.mean or age.low is None or age.high is None or not age.low <= age.mean <= age.high:
        return None
    return Spread(age.low / age.mean, 1.0, age.high / age.mean)


def in_unit(value: float | None, basis: str | None) -> str:
    """Return an age for a column: "4.8 y", "12,300 h"."""
    if value is None:
        return "-"
    return f"{value:,.0f} h" if basis == "hours" else f"{value:,.1f} y"


def age_lines(age: AgeAnswer) -> Iterator[Content]:
    """Return where the age of one unit stands, in sentences."""
    place = f"{age.crane}/{age.position}: {age.part or 'part not known'}"
    if age.mean is None:
        yield said((place, STRONG), ", of which no life is recorded; a rate has no expected age.")
    elif age.age is None:
        yield said((place, STRONG), ", of which nobody knows how old it is.")
    else:
        yield said(
            (f"{place} is {in_unit(age.age, age.basis)} old; ", STRONG),
            f"such units live {in_unit(age.mean, age.basis)} at the mean, 10 % fail before "
            f"{in_unit(age.low, age.basis)}, 90 % before {in_unit(age.high, age.basis)} "
            f"({age.source}).",
        )
    yield said((NO_INSPECTION, WARN))
    if age.load_bearing:
        yield said((BEARS_LOAD, WARN))


def half_lines(counts: tuple[int, ...], width: int) -> Iterator[Content]:
    """Return how many units have used up how much of a life, as bars, and what the signs mean."""
    top, label = max(counts, default=0), max(map(len, HALVES))
    cells = width - label - len(f"{top:,}") - 4
    for name, count in zip(HALVES, counts, strict=True) if top else ():
        drawn = bar(count, top, min(30, cells)) if cells >= LEAST_BAR else ""
        figure = f"{count:,}".rjust(len(f"{top:,}"))
        yield said(name.ljust(label), "  ", (figure, STRONG), "  ", (drawn, "$text-primary"))
    yield said((LEGEND, QUIET))
