"""What to do first, step by step, until the first long pole is known; what is done says so."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import ClassVar

from parts.records.answers import LoadReport
from parts.records.snapshot import Snapshot
from tui import actions, formats
from tui.desk import Desk
from tui.forms.record_fields import FILES
from tui.messages import Booked, OpenCrane, OpenRows
from tui.screens.listing import ListPage
from tui.screens.load_book import LoadBookScreen
from tui.site import Site
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, said


@dataclass(frozen=True)
class Step:
    """One step: what it is, how far it is done, what it is for, and what Enter does."""

    name: str
    done: str
    says: str
    enter: str
    act: Callable[[FirstStepsScreen], None]


StepField = Field[Step]
ANY_TIME = "any time"
DONE_STYLES = {"": "reduced", ANY_TIME: ""}
FIELDS = (
    StepField(Column("Step", 30), lambda step: step.name, lambda _: "strong"),
    StepField(
        Column("Done", None, least=20),
        lambda step: step.done or "to do",
        lambda step: DONE_STYLES.get(step.done, "in-service"),
    ),
)


class FirstStepsScreen(ListPage[Step]):
    """The steps; there need be no database yet."""

    ACTS: ClassVar = actions.FIRST_STEPS
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "FirstStepsScreen LinesPanel { height: 9; }"

    def __init__(self, desk: Desk, site: Site | None) -> None:
        super().__init__(("longpole", "first steps"), f"as known on {desk.today}", FIELDS)
        self._found = site

    def take_site(self, site: Site) -> bool:
        """Show how far it is now."""
        self._found = site
        return super().take_site(site)

    def load(self) -> None:
        """List the steps."""
        if self._found is None:
            self.say(("There is no site yet. Begin with one of these.", STRONG))
            self._table.list_items(BEGINNINGS)
        else:
            self.say(("From an empty site to the first long pole.", STRONG), " Enter does a step.")
            self._table.list_items(
                tuple(steps(self._found)),
                at=self._table.cursor or 0,
            )

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

    def open_pole(self) -> None:
        """Open the crane with the longest pole."""
        if self._found is not None and self._found.cranes:
            self.post_message(OpenCrane(self._found.cranes[0].crane))


BEGINNINGS = (
    Step(
        "Look around in a demo site",
        "",
        "Makes an invented site with cranes, parts, suppliers and a history, to try things out. "
        "Nothing in it is real.",
        "Enter makes it.",
        FirstStepsScreen.make_demo,
    ),
    Step(
        "Load a site book",
        "",
        "A folder of CSV files, or one workbook with sheets of the same names. It is looked "
        "through first; every fault is listed with its row and column, and nothing is loaded "
        "until there is none.",
        "Enter asks for its path.",
        FirstStepsScreen.load_book,
    ),
    Step(
        "Start with an empty site",
        "",
        "Makes a database that holds nothing yet; the next steps say what to type first.",
        "Enter makes it.",
        FirstStepsScreen.begin_empty,
    ),
)
"""What can be done where there is no database."""
LOAD = replace(BEGINNINGS[1], done=ANY_TIME)


def steps(site: Site) -> Iterator[Step]:
    """Return the way to the first long pole."""
    for name, file, says in TO_TYPE:
        done = _done(site.snapshot, file)
        yield Step(name, done, says, "Enter lists what is typed so far.", partial(_type, file=file))
    yield LOAD
    worst = next((crane.worst for crane in site.cranes if crane.worst is not None), None)
    yield Step(
        "The first long pole",
        "" if worst is None else f"{worst.crane}: {worst.position}",
        "The part that would leave a crane down longest, and what it would wait for. It grows "
        "truer with every record.",
        "Enter opens the crane.",
        FirstStepsScreen.open_pole,
    )


def _type(page: FirstStepsScreen, *, file: str) -> None:
    page.post_message(OpenRows(file, {}))


def _done(known: Snapshot, file: str) -> str:
    """Return how much of a file there is."""
    if file == "site":
        return known.site.currency or ""
    count = len(getattr(known, file))
    return formats.count(count, FILES[file].one) if count else ""


TO_TYPE = (
    (
        "The site's own figures",
        "site",
        "The currency, and the hours a day and days a week worked: what a lost day is.",
    ),
    (
        "A crane",
        "cranes",
        "Its tag, bay and what a day without it costs. Begin with the crane that would be "
        "missed most.",
    ),
    (
        "What it must do",
        "functions",
        "Hoisting, load holding, travel, control: each with the share of the work that is lost "
        "without it.",
    ),
    (
        "The parts in it",
        "parts",
        "Your own number for each part that can stop the crane. A part that nobody can name is "
        "worth knowing: its position stays without one and heads every list.",
    ),
    (
        "Its positions",
        "positions",
        "Each place on the crane that holds a part which can stop it: brakes, gears, ropes, "
        "drives, electronics. Mark what bears load.",
    ),
    (
        "What needs what",
        "needs",
        "Which functions need which positions; of twins, how many must work.",
    ),
    ("Who supplies", "suppliers", "Makers, distributors, machine shops, repairers."),
    (
        "How each part is got",
        "offers",
        "Who sells it, makes it or repairs it, and in how many days; or by which operations "
        "it would have to be made.",
    ),
)
"""What is typed, in the order in which one record needs another: name, file, what it is for."""
