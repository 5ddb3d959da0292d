"""What screens tell the program: open this; and what a worker hands back: an answer.

Screens post, the app opens: no screen knows another one. An answer carries the number of its
question, so that one that comes too late is dropped.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from textual.message import Message

if TYPE_CHECKING:
    from tui.screens.page import Page
    from tui.site import Site


class Opens(Message):
    """The base of what opens a screen."""


class OpenList(Opens):
    """Show a list of the whole site, by its name."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.name = name


class OpenMoves(Opens):
    """Show what can be done with the stock; `begun` is known from where it was asked."""

    def __init__(self, begun: Mapping[str, str]) -> None:
        super().__init__()
        self.begun = begun


class OpenStep(Opens):
    """Open the form of one kind of step."""

    def __init__(self, kind: str, begun: Mapping[str, str]) -> None:
        super().__init__()
        self.kind = kind
        self.begun = begun


class OpenUndo(Opens):
    """List the steps that can be undone, or the one with this key."""

    def __init__(self, key: str = "") -> None:
        super().__init__()
        self.key = key


class OpenRecords(Opens):
    """Show what is on record, first about one thing if columns with values are given."""

    def __init__(self, about: Mapping[str, str]) -> None:
        super().__init__()
        self.about = about


class OpenRows(Opens):
    """List the rows of a file, or open the form of a new one."""

    def __init__(self, file: str, about: Mapping[str, str], *, new: bool = False) -> None:
        super().__init__()
        self.file = file
        self.about = about
        self.new = new


class OpenRecord(Opens):
    """Open the form of a record; `row` None = a new one, begun with what is given."""

    def __init__(self, file: str, row: Any | None, begun: Mapping[str, str] | None = None) -> None:
        super().__init__()
        self.file = file
        self.row = row
        self.begun = begun or {}


class Booked(Message):
    """Something was written into the database from here: the site is read anew."""


class OpenCrane(Opens):
    def __init__(self, crane: str) -> None:
        super().__init__()
        self.crane = crane


class OpenPosition(Opens):
    def __init__(self, crane: str, position: str) -> None:
        super().__init__()
        self.crane = crane
        self.position = position


class OpenPart(Opens):
    def __init__(self, part: str) -> None:
        super().__init__()
        self.part = part


class OpenFind(Opens):
    """Find anything by any of its names."""

    def __init__(self, text: str = "") -> None:
        super().__init__()
        self.text = text


class OpenPositions(Opens):
    """List all positions, those that hold `text`."""

    def __init__(self, text: str = "") -> None:
        super().__init__()
        self.text = text


class OpenHeld(Opens):
    """List what lies in a store, or in one of its bins."""

    def __init__(self, store: str, bin_name: str | None) -> None:
        super().__init__()
        self.store = store
        self.bin_name = bin_name


class OpenOffers(Opens):
    """List what a supplier offers."""

    def __init__(self, supplier: str) -> None:
        super().__init__()
        self.supplier = supplier


class OpenExplanation(Opens):
    """Show how the figures of a part, or of a place, came about."""

    def __init__(self, subject: str | tuple[str, str]) -> None:
        super().__init__()
        self.subject = subject


class OpenTogether(Opens):
    """Show what follows when positions fail together: those given, else the marked ones."""

    def __init__(self, places: tuple[tuple[str, str], ...] = ()) -> None:
        super().__init__()
        self.places = places


class OpenLastBuy(Opens):
    """Show how many of a part to take while it can still be bought."""

    def __init__(self, part: str) -> None:
        super().__init__()
        self.part = part


class OpenComparison(Opens):
    """Weigh upgrades against spares within a budget; None = whatever it costs, no spares."""

    def __init__(self, budget: float | None) -> None:
        super().__init__()
        self.budget = budget


class OpenPurchasing(Opens):
    """Show a list of purchasing with the cursor on the line that bears all these names."""

    def __init__(self, kind: int, names: tuple[str, ...] = ()) -> None:
        super().__init__()
        self.kind = kind
        self.names = names


class OpenNeeds(Opens):
    """Show what a crane hangs on, with one of its positions failed if it is named."""

    def __init__(self, crane: str, position: str = "") -> None:
        super().__init__()
        self.crane = crane
        self.position = position


class OpenAges(Opens):
    """Draw the ages of a part wherever it is fitted."""

    def __init__(self, part: str) -> None:
        super().__init__()
        self.part = part


class OpenWhatIf(Opens):
    """Ask what would change, first about these: each a kind and the names of one thing."""

    def __init__(self, subjects: tuple[tuple[str, ...], ...] = ()) -> None:
        super().__init__()
        self.subjects = subjects


class OpenYear(Opens):
    """Show a crane's year."""

    def __init__(self, crane: str) -> None:
        super().__init__()
        self.crane = crane


class SiteRead(Message):
    """The site was read, for the first time or again."""

    def __init__(self, site: Site, is_first: bool) -> None:
        super().__init__()
        self.site = site
        self.is_first = is_first


class Looked(Message):
    """The database was looked at for changes, if it is in reach."""

    def __init__(self, *, in_reach: bool) -> None:
        super().__init__()
        self.in_reach = in_reach


class Changed(Message):
    """Somebody has written to the database."""


class Resumed(Message):
    """A page is on top, for the first time or again."""

    def __init__(self, page: Page) -> None:
        super().__init__()
        self.page = page


class Answered(Message):
    """A service has answered question `number`; `take` shows what it said."""

    def __init__(self, number: int, take: Callable[[Any], object], answer: Any) -> None:
        super().__init__()
        self.number = number
        self.take = take
        self.answer = answer
