"""How much of each mechanism's working period is used up, to scale against its group's hours.

Two keys ask again with other use from today on. A question only: nothing is written down.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import floor
from typing import ClassVar, NamedTuple

from textual.content import Content

from parts.records.risk_answers import DutyAnswer
from tui import actions, formats, words
from tui.messages import OpenCrane
from tui.screens.listing import ListPage
from tui.site import Site
from tui.widgets.bars import limit_bar
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import ASSUMED, QUIET, STRONG, WARN, said

CAUTION = (
    "S/D, hours used over the group's hours, is an estimate: below 100 % nothing is proven sound. "
    "At 100 % a general overhaul or special assessment is due. It belongs to a qualified person."
)
NOTHING = "No mechanism's duty is recorded.\n\nRecord hours and loads in the file duty of the book."
AS_USED = "as used now"
BAR_WIDTH, WIDEST_SCALE = 20, 3.0
SECOND_SHIFT = 2.0
NEAR = 20
"""Thousandths on either side of the whole within which a tenth of a percent is told."""
LOADS = (None, 0.25, 0.5, 1.0)
"""Load-spectrum factors to ask with: as recorded, then the next ones of FEM 9.511."""


class Mechanism(NamedTuple):
    """A working period as used, and with other use from today on."""

    now: DutyAnswer
    then: DutyAnswer


MechanismField = Field[Mechanism]


def used(share: float | None) -> str:
    """Return a used share, closer to 100 % than whole ones where it is near that."""
    if share is None:
        return formats.NOT_KNOWN
    tenths = floor(share * 1000)
    return f"{tenths / 10:g} %" if abs(tenths - 1000) < NEAR else f"{share:,.0%}".replace("%", " %")


def used_style(share: float | None) -> str:
    if share is None:
        return "warn"
    return "down" if share >= 1 else "strong"


class DutyScreen(ListPage[Mechanism]):
    """The working periods."""

    ACTS: ClassVar = actions.DUTY
    WORDS: ClassVar = words.DUTY
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "DutyScreen LinesPanel { height: 11; }"

    def __init__(self, site: Site) -> None:
        trail = ("longpole", "duty")
        super().__init__(trail, f"as known on {site.snapshot.today}", self._fields())
        self._site = site
        self._today = site.snapshot.today
        self._hours_factor = 1.0
        self._km: float | None = None
        self._top = 1.0

    def _fields(self) -> tuple[MechanismField, ...]:
        return (
            MechanismField(Column("Crane", 8), lambda m: m.now.crane, lambda _: "strong"),
            MechanismField(Column("Mechanism", None, least=12), lambda m: m.now.mechanism),
            MechanismField(Column("Group", 5), lambda m: m.now.group or "?"),
            MechanismField(
                Column("Used", 9, "right"),
                lambda m: used(m.now.used_share),
                lambda m: used_style(m.now.used_share),
            ),
            MechanismField(
                Column("┃ = 100 %", BAR_WIDTH),
                lambda m: limit_bar(m.now.used_share, 1.0, self._top, BAR_WIDTH),
                lambda m: "down" if (m.now.used_share or 0) >= 1 else "in-service",
            ),
            MechanismField(
                Column("Runs out", 10),
                lambda m: formats.day(m.then.runs_out_on),
                lambda m: "reduced" if m.then.runs_out_on != m.now.runs_out_on else "",
            ),
            MechanismField(
                Column(AS_USED.capitalize(), 11),
                lambda m: formats.day(m.now.runs_out_on),
                from_width=100,
            ),
            MechanismField(
                Column("Factor", 6, "right"), lambda m: f"{m.now.method_factor:g}", from_width=100
            ),
        )

    def load(self) -> None:
        """Ask for the working periods."""
        hours_factor, km = self._hours_factor, self._km

        def both() -> tuple[Mechanism, ...]:
            then = {
                (each.crane, each.mechanism): each for each in self._site.duty(hours_factor, km)
            }
            return tuple(
                Mechanism(each, then[each.crane, each.mechanism]) for each in self._site.duty()
            )

        self.ask(both, self._show)

    def _show(self, found: tuple[Mechanism, ...]) -> None:
        shares = [each.now.used_share or 0.0 for each in found]
        self._top = min(WIDEST_SCALE, max([1.25, *shares]))
        self._table.set_empty_text(NOTHING)
        self.say((f"Working periods {self._use()}. ", STRONG), (CAUTION, WARN))
        self._table.list_items(found, at=self._table.cursor or 0)

    def _use(self) -> str:
        asked = []
        if self._hours_factor != 1:
            asked.append(f"{self._hours_factor:g} times the hours a year")
        if self._km is not None:
            asked.append(f"a load-spectrum factor of {self._km:g} or more")
        return f"with {formats.listed(asked)} from today on" if asked else AS_USED

    def tell(self, item: Mechanism | None) -> None:
        """Say how the figure under the cursor is made up."""
        lines = () if item is None else tuple(mechanism_lines(item, self._use()))
        self.query_one(LinesPanel).show(lambda _: lines)

    def open_item(self, item: Mechanism) -> None:
        """Open the crane."""
        self.post_message(OpenCrane(item.now.crane))

    def action_shift(self) -> None:
        """Ask with a second shift, or with one again."""
        self._hours_factor = SECOND_SHIFT if self._hours_factor == 1 else 1.0
        self.load()

    def action_heavier(self) -> None:
        """Ask with the next heavier loads, and after the heaviest as recorded again."""
        self._km = LOADS[(LOADS.index(self._km) + 1) % len(LOADS)]
        self.load()


def mechanism_lines(item: Mechanism, use: str) -> Iterator[Content]:
    """Return what a working period is made up of, and by which rule."""
    now, then = item
    yield said((f"{now.crane}, {now.mechanism}", STRONG))
    if now.used_hours is None or now.group_hours is None:
        yield said(("How much is used is not known: hours, loads or the group are missing.", WARN))
    else:
        head = (
            f"{now.used_hours:,.0f} of {now.group_hours:,.0f} full-load hours are used, "
            f"{used(now.used_share)}"
        )
        is_over = (now.used_share or 0) >= 1
        yield said((f"{head}: the working period is used up." if is_over else f"{head}.", STRONG))
    runs = "Ran" if (now.used_share or 0) >= 1 else "Runs"
    yield said(f"{runs} out {formats.day(now.runs_out_on)} {AS_USED}.")
    if then.runs_out_on != now.runs_out_on:
        yield said((f"Runs out {formats.day(then.runs_out_on)} {use}.", ASSUMED))
    elif use != AS_USED:
        yield said((f"The day stays the same {use}: what is used up stays so.", ASSUMED))
    km = "not known" if now.km is None else f"{now.km:.3g}"
    yield said(
        f"Running hours x load-spectrum factor k_m {km} x factor {now.method_factor:g} of the way "
        "of recording, which may follow:"
    )
    for reading in now.readings:
        yield said((f"  {reading}", QUIET))
