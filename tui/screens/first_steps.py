"""What to do first, step by step, until the first long pole is known; what is done says so."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import ClassVar

from parts.records.answers import LoadReport
from tui import actions, formats
from tui.desk import Desk
from tui.messages import Booked, OpenCrane, OpenList
from tui.screens.listing import ListPage
from tui.screens.load_book import LoadBookScreen
from tui.site import Site
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, said

RECORDS = "records"
"""The name of the list in which records are typed."""


@dataclass(frozen=True)
class Step:
    """One step: what it is, how far it is done, what it is for, and what Enter does."""

    name: str
    done: str
    says: str
    enter: str
    act: Callable[[FirstStepsScreen], None]


StepField = Field[Step]
FIELDS = (
    StepField(Column("Step", 30), lambda step: step.name, lambda _: "strong"),
    StepField(
        Column("Done", None, least=20),
        lambda step: step.done or "to do",
        lambda step: "in-service" if step.done else "reduced",
    ),
)


class FirstStepsScreen(ListPage[Step]):
    """The steps; there need be no database yet."""

    ACTS: ClassVar = actions.FIRST_STEPS
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "FirstStepsScreen LinesPanel { height: 9; }"

    def __init__(self, desk: Desk, site: Site | None, takes_records: bool) -> None:
        super().__init__(("longpole", "first steps"), f"as known on {desk.today}", FIELDS)
        self._found, self._takes_records = site, takes_records

    def take_site(self, site: Site) -> bool:
        """Show how far it is now."""
        self._found = site
        return super().take_site(site)

    def load(self) -> None:
        """List the steps."""
        if self._found is None:
            self.say(("There is no site yet. Begin with one of these.", STRONG))
            self._table.list_items(tuple(beginnings(self._takes_records)))
        else:
            self.say(("From an empty site to the first long pole.", STRONG), " Enter does a step.")
            self._table.list_items(tuple(steps(self._found, self._takes_records)))

    def tell(self, item: Step | None) -> None:
        """Say what a step is for."""
        told = () if item is None else (
            said((item.name, STRONG)), said(item.says), said((item.enter, QUIET)),
        )  # fmt: skip
        self.query_one(LinesPanel).show(lambda _: told)

    def open_item(self, item: Step) -> None:
        """Do the step."""
        item.act(self)

    def make_demo(self) -> None:
        """Load the invented demo site into a new database."""
        self.ask(self.desk.make_demo, self._made, "Loading the invented demo site")

    def begin_empty(self) -> None:
        """Make a database that holds nothing yet."""
        self.ask(self.desk.make_empty, self._made, "Making the database")

    def _made(self, _: LoadReport | None) -> None:
        self.post_message(Booked())
        self.leave()

    def load_book(self) -> None:
        """Ask for a book to load."""
        self.app.push_screen(LoadBookScreen(self.desk))

    def type_records(self) -> None:
        """Open the list in which records are typed."""
        if self._takes_records:
            self.post_message(OpenList(RECORDS))
        else:
            self.load_book()

    def open_pole(self) -> None:
        """Open the crane with the longest pole."""
        if self._found is not None and self._found.cranes:
            self.post_message(OpenCrane(self._found.cranes[0].crane))


def beginnings(takes_records: bool) -> Iterator[Step]:
    """Return what can be done where there is no database."""
    yield Step(
        "Look around in a demo site",
        "",
        "Makes an invented site with cranes, parts, suppliers and a history, to try things out. "
        "Nothing in it is real.",
        "Enter makes it.",
        FirstStepsScreen.make_demo,
    )
    yield load_step()
    if takes_records:
        yield Step(
            "Start with an empty site",
            "",
            "Makes a database that holds nothing yet; the next steps say what to type first.",
            "Enter makes it.",
            FirstStepsScreen.begin_empty,
        )


def load_step() -> Step:
    """Return the step that takes a site book in."""
    return Step(
        "Load a site book",
        "",
        "A folder of CSV files, or one workbook with sheets of the same names. It is looked "
        "through first; every fault is listed with its row and column, and nothing is loaded "
        "until there is none.",
        "Enter asks for its path.",
        FirstStepsScreen.load_book,
    )


def steps(site: Site, takes_records: bool) -> Iterator[Step]:
    """Return the way to the first long pole."""
    enter = "Enter opens the records." if takes_records else "Enter loads them from a site book."
    known = site.snapshot
    placed = known.positions.part
    held = sum(part is not None for part in placed)
    longest = next((crane for crane in site.cranes if crane.worst is not None), None)
    facts = (
        (
            "The site's own figures",
            known.site.currency or "",
            "The currency, and the hours a day and days a week worked: what a lost day is.",
        ),
        (
            "A crane",
            formats.count(len(known.cranes), "crane") if known.cranes else "",
            "Its tag, bay and what a day without it costs. Begin with the crane that would be "
            "missed most.",
        ),
        (
            "Its positions",
            formats.count(len(placed), "position") if len(placed) else "",
            "Each place on the crane that holds a part which can stop it, and what needs it: "
            "brakes, gears, ropes, drives, electronics. Mark what bears load.",
        ),
        (
            "The parts in them",
            formats.count(held, "position") + " with a part" if held else "",
            "What is fitted at each position. A part that nobody can name is worth knowing: it "
            "heads every list.",
        ),
        (
            "How each part is got",
            formats.count(len(known.offers), "offer") if known.offers else "",
            "Who sells it, makes it or repairs it, and in how many days; or by which operations "
            "it would have to be made.",
        ),
    )
    for name, done, says in facts:
        yield Step(name, done, says, enter, FirstStepsScreen.type_records)
    yield load_step()
    yield Step(
        "The first long pole",
        "" if longest is None else f"{longest.crane}: {longest.worst.position}"
        if longest.worst is not None else "",
        "The part that would leave a crane down longest, and what it would wait for. It grows "
        "truer with every record.",
        "Enter opens the crane.",
        FirstStepsScreen.open_pole,
    )  # fmt: skip
