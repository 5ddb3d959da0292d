"""What needs one person today, by kind, the most urgent first; each line leads to its place.

The person chosen last is remembered on this machine, so that everybody finds their own list.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import ClassVar, NamedTuple

from textual.content import Content

from parts.records.today_answers import (
    HEADINGS,
    Kind,
    Person,
    PersonToday,
    Place,
    TodayAnswer,
    TodayLine,
    Urgency,
    grouped,
)
from tui import actions, formats, messages, words
from tui.screens.listing import ListPage
from tui.screens.purchasing import LATE_ORDERS, QUESTIONS, TO_ORDER
from tui.site import Site
from tui.widgets.columns import Column
from tui.widgets.ends_line import EndsLine
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.spots import columns_about, facts_about
from tui.widgets.texts import QUIET, STRONG, said

PERSON = "person"
"""The name under which the person chosen last is remembered."""
PEOPLE: tuple[Person, ...] = tuple(HEADINGS)
NOTHING = "Nothing is waiting.\n\nPress Tab for the next person, Esc to go back."
MARKS = {Urgency.NOW: "!", Urgency.SOON: "·", Urgency.LATER: " "}
STYLES = {Urgency.NOW: "down", Urgency.SOON: "reduced", Urgency.LATER: ""}
LISTS = {"to order": TO_ORDER, "order": LATE_ORDERS, "questions": QUESTIONS}


class Row(NamedTuple):
    """One line of the table: what waits, its kind, and whether it is the first of its kind."""

    line: TodayLine
    kind: Kind
    heads: bool


RowField = Field[Row]
WIDE = 100
FIELDS = (
    RowField(
        Column("What", 18),
        lambda row: f"{MARKS[row.line.urgency]} {row.kind.title}",
        lambda row: STYLES[row.line.urgency] or ("strong" if row.heads else "quiet"),
        from_width=WIDE,
    ),
    RowField(
        Column("About", 24),  # the sentence beside it tells of what kind it is, and is read whole
        lambda row: f"{MARKS[row.line.urgency]} {row.line.subject}",
        lambda row: STYLES[row.line.urgency] or "strong",
        below_width=WIDE,
    ),
    RowField(Column("About", 26), lambda row: row.line.subject, lambda _: "strong", WIDE),
    RowField(
        Column("Day", 10),
        lambda row: "" if row.line.due_on is None else row.line.due_on.isoformat(),
        from_width=WIDE,
    ),
    RowField(Column("What waits", None, least=24), lambda row: row.line.sentence),
)


class TodayScreen(ListPage[Row]):
    """The list of one person."""

    ACTS: ClassVar = actions.TODAY
    WORDS: ClassVar = words.TODAY
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "TodayScreen LinesPanel { height: 9; }"

    def __init__(self, site: Site) -> None:
        self._today = site.snapshot.today
        self._day = f"as known on {self._today}"
        super().__init__(("longpole", "today"), self._day, FIELDS)
        self._site = site
        self._answer: TodayAnswer | None = None
        self._person: Person = PEOPLE[0]

    def on_mount(self) -> None:
        """Begin with the person chosen last."""
        chosen = self.desk.recall(PERSON)
        self._person = next((each for each in PEOPLE if each == chosen), PEOPLE[0])
        super().on_mount()

    def load(self) -> None:
        """Ask what waits for everybody."""
        desk = self.desk
        self.ask(lambda: self._site.needs_of_today(desk.last_counted), self._take)

    def _take(self, answer: TodayAnswer) -> None:
        self._answer = answer
        self._show(answer)

    def _show(self, answer: TodayAnswer) -> None:
        listed = answer.of(self._person)
        trail = " › ".join((*self.trail, HEADINGS[self._person]))
        self.query_one(".bar", EndsLine).show(trail, self._day)
        self.say((f"{heading(listed)}  ", STRONG), others(answer, self._person))
        self._table.set_empty_text(NOTHING)
        self._table.list_items(tuple(rows(listed)))

    @property
    def stock_facts(self) -> dict[str, str]:
        """What the place is about where the line under the cursor is settled."""
        row = self._table.chosen
        return {} if row is None else facts_about(row.line.at)

    @property
    def record_facts(self) -> dict[str, str]:
        """The same in the columns of the records."""
        row = self._table.chosen
        return {} if row is None else columns_about(row.line.at)

    def tell(self, item: Row | None) -> None:
        """Say all about the line under the cursor."""
        listed = None if self._answer is None else self._answer.of(self._person)
        told: tuple[Content, ...] = ()
        if item is not None and listed is not None:
            told = tuple(line_lines(item, listed, self._today))
        self.query_one(LinesPanel).show(lambda _: told)

    def open_item(self, item: Row) -> None:
        """Open the place where the line is settled."""
        self.post_message(opening(item.line.at))

    def action_next_person(self) -> None:
        """Show what waits for the next person, and remember whom."""
        self._person = PEOPLE[(PEOPLE.index(self._person) + 1) % len(PEOPLE)]
        self.desk.remember(PERSON, self._person)
        if self._answer is not None:
            self._show(self._answer)


def rows(listed: PersonToday) -> Iterator[Row]:
    """Return what waits, kind by kind."""
    for kind, lines in grouped(listed):
        for line in lines:
            yield Row(line, kind, line is lines[0])


def heading(listed: PersonToday) -> str:
    """Return for whom this is and how much of it is for today."""
    name = HEADINGS[listed.person].capitalize()
    if not listed.lines:
        return f"{name}: nothing is waiting."
    number = len(listed.lines)
    waits = "thing waits" if number == 1 else "things wait"
    return f"{name}: {number:,} {waits}, {listed.pressing:,} today."


def others(answer: TodayAnswer, person: Person) -> str:
    """Return how much waits for the others, who come with Tab."""
    after = PEOPLE.index(person) + 1
    turn = (answer.of(each) for each in (*PEOPLE[after:], *PEOPLE[: after - 1]))
    return "Tab: " + ", ".join(f"{HEADINGS[each.person]} {len(each.lines):,}" for each in turn)


def line_lines(row: Row, listed: PersonToday, today: date) -> Iterator[Content]:
    """Return a line in full: what, since when, why, and where it is settled."""
    line = row.line
    day = "" if line.due_on is None else f" · {formats.day(line.due_on)}{_off(line.due_on, today)}"
    yield said((f"{row.kind.title[:1].upper()}{row.kind.title[1:]} · {line.subject}{day}", STRONG))
    yield said(f"{line.sentence[:1].upper()}{line.sentence[1:]}.")
    if line.why:
        yield said(f"{line.why[:1].upper()}{line.why[1:]}".rstrip(".") + ".")
    yield said((f"Enter opens {place_words(line.at)}. Record: {line.record}", QUIET))
    if row.kind.name == "count":
        yield from (said((f"{note[:1].upper()}{note[1:]}.", QUIET)) for note in listed.notes)


def _off(day: date, today: date) -> str:
    days = (day - today).days
    if days == 0:
        return ", today"
    return f", in {days:,} d" if days > 0 else f", {-days:,} d ago"


def place_words(at: Place) -> str:
    """Return in words where a line is settled."""
    return {
        "part": f"the part {at.part}",
        "position": f"the position {at.crane}/{at.position}",
        "crane": f"the crane {at.crane}",
        "order": f"the late orders at {at.order}",
        "last buy": f"how many of {at.part} to take",
        "to order": f"what to order at {at.part}",
        "questions": f"what to ask {at.supplier}",
    }[at.what]


def opening(at: Place) -> messages.Opens:
    """Return what opens the place where a line is settled."""
    if at.what in LISTS:
        names = filter(None, (at.order, at.supplier, at.part))
        return messages.OpenPurchasing(LISTS[at.what], tuple(names))
    if at.what == "position":
        return messages.OpenPosition(at.crane or "", at.position or "")
    if at.what == "crane":
        return messages.OpenCrane(at.crane or "")
    opens = messages.OpenLastBuy if at.what == "last buy" else messages.OpenPart
    return opens(at.part or "")
