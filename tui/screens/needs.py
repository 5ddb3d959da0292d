"""What a crane hangs on: its functions, what they need below them, and what a failure kills.

The position under the cursor is taken to have failed, with those that are kept failed; every line
says by symbol and word what becomes of it. Nothing is written down anywhere.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, ClassVar, NamedTuple

from textual import events
from textual.content import Content

from parts.records.picture_answers import Effect, NeedEffects, NeedKind, NeedLine
from parts.records.states import State
from tui import actions, formats, sentences, words
from tui.messages import OpenPosition, OpenTogether
from tui.screens.listing import ListPage
from tui.screens.position import BEARS_LOAD
from tui.site import Site
from tui.themes import STATE_LOOKS, StateLook, state_text
from tui.widgets.branches import branches
from tui.widgets.columns import Column
from tui.widgets.field_table import Field
from tui.widgets.panel import LinesPanel
from tui.widgets.texts import QUIET, STRONG, WARN, said

if TYPE_CHECKING:
    from parts.calc.needs.graphs import NeedsGraph

NO_POSITIONS = "No position of this crane is recorded.\n\nPress Esc to go back."
ABOVE = "↑ unfolded above"
HOW = (
    "The position under the cursor is taken to have failed. Space keeps it failed, f shows how "
    "long all that is failed takes to restore."
)
NOT_A_PLACE = "No position here: a function fails only by what it needs."
DOWN, REDUCED, ON = (
    STATE_LOOKS[State.DOWN],
    STATE_LOOKS[State.REDUCED],
    STATE_LOOKS[State.IN_SERVICE],
)
EFFECT_LOOKS = {
    Effect.FAILED: StateLook("×", "X", "failed", "strong"),
    Effect.DEAD: StateLook(DOWN.symbol, DOWN.plain_symbol, "dead", DOWN.style),
    Effect.WEAKER: StateLook(REDUCED.symbol, REDUCED.plain_symbol, "weaker", REDUCED.style),
    Effect.CARRIES_ON: StateLook(ON.symbol, ON.plain_symbol, "carries on", ON.style),
}
KEPT = "kept failed"


class Branch(NamedTuple):
    """A line of the needs, and what is drawn before its name."""

    before: str
    line: NeedLine


BranchField = Field[Branch]


class NeedsScreen(ListPage[Branch]):
    """The needs of one crane as a tree that a failure runs through."""

    ACTS: ClassVar = actions.NEEDS
    WORDS: ClassVar = words.NEEDS
    BINDINGS: ClassVar = actions.bindings(ACTS)
    DEFAULT_CSS = "NeedsScreen LinesPanel { height: 9; }"

    def __init__(self, site: Site, crane: str, position: str = "") -> None:
        trail = ("longpole", "fleet", crane, "hangs on")
        fields = (
            BranchField(
                Column("Function, and what it needs", None, least=28),
                branch_text,
                lambda row: "strong" if row.line.kind is NeedKind.FUNCTION else "",
            ),
            BranchField(Column("Then", 14), self._effect_text, self._effect_style),
            BranchField(Column("Share lost", 10, "right"), share_text),
            BranchField(Column("Part", 12), lambda row: row.line.part or ""),
            BranchField(
                Column("", 10),
                lambda row: "bears load" if row.line.load_bearing else "",
                from_width=100,
            ),
        )
        super().__init__(trail, f"as known on {site.snapshot.today}", fields)
        self._site = site
        self._crane = crane
        self._position = position
        self._graph: NeedsGraph | None = None
        self._effects: NeedEffects | None = None
        self._kept: dict[str, None] = {}

    def load(self) -> None:
        """Ask for the needs of the crane."""
        self.say((HOW, QUIET))
        self.ask(lambda: self._site.needs_graph(self._crane), self._show)

    def _show(self, graph: NeedsGraph) -> None:
        self._graph = graph
        self._table.set_empty_text(NO_POSITIONS)
        names = [line.name for line in graph.lines]
        self._draw(names.index(self._position) if self._position in names else 0)

    def on_resize(self, event: events.Resize) -> None:
        """Give the branches their share of the width."""
        self._draw(self._table.cursor or 0)

    def _draw(self, at: int) -> None:
        if self._graph is not None:
            lines = self._graph.lines
            before = branches([line.depth for line in lines], self.size.width // 4)
            self._table.list_items(list(map(Branch, before, lines)), at=at)

    @property
    def _failed(self) -> tuple[str, ...]:
        """What is kept failed, and the position under the cursor."""
        chosen = self._table.chosen
        here = (chosen.line.name,) if chosen is not None and chosen.line.can_fail else ()
        return tuple(dict.fromkeys((*self._kept, *here)))

    def tell(self, item: Branch | None) -> None:
        """Ask what the failure under the cursor kills."""
        graph, failed = self._graph, self._failed
        if graph is not None and item is not None:
            self.ask(lambda: graph.when_failed(failed), self._take)

    def _take(self, effects: NeedEffects) -> None:
        self._effects = effects
        self._table.redraw()
        told = tuple(effect_lines(effects, self._crane))
        self.query_one(LinesPanel).show(lambda _: told)

    def _effect_of(self, line: NeedLine) -> Effect | None:
        """Return what becomes of a line; single positions that carry on need no word."""
        if self._effects is None:
            return None
        if line.kind is NeedKind.GROUP:
            return group_effect(line, self._working(line))
        found = self._effects.effects.get(line.name)
        is_quiet = line.kind is NeedKind.PLACE and found is Effect.CARRIES_ON
        return None if is_quiet else found

    def _working(self, line: NeedLine) -> int:
        """Return how many members of a group work."""
        working = {} if self._effects is None else self._effects.working
        return working.get((line.needed_by or "", line.name), 0)

    def _effect_text(self, row: Branch) -> str:
        effect = self._effect_of(row.line)
        if effect is None:
            return ""
        if row.line.kind is NeedKind.GROUP:
            works = f"{self._working(row.line)} of {row.line.members} work"
            return f"{EFFECT_LOOKS[effect].symbol} {works}"
        word = KEPT if effect is Effect.FAILED and row.line.name in self._kept else None
        return f"{EFFECT_LOOKS[effect].symbol} {word or EFFECT_LOOKS[effect].word}"

    def _effect_style(self, row: Branch) -> str:
        effect = self._effect_of(row.line)
        return "" if effect is None else EFFECT_LOOKS[effect].style

    def open_item(self, item: Branch) -> None:
        """Open the position, where it has anything to show."""
        if item.line.can_fail and self._site.lists(self._crane, item.line.name):
            self.post_message(OpenPosition(self._crane, item.line.name))
        else:
            self.refused("Nothing to open: this line is no position with a part.")

    def action_keep(self) -> None:
        """Keep the position under the cursor failed, or let it work again."""
        chosen = self._table.chosen
        if chosen is None or not chosen.line.can_fail:
            self.refused(NOT_A_PLACE)
            return
        name = chosen.line.name
        if name in self._kept:
            del self._kept[name]
        else:
            self._kept[name] = None
        self.tell(chosen)

    def action_unmark(self) -> None:
        """Let all work again."""
        self._kept.clear()
        self.tell(self._table.chosen)

    def action_together(self) -> None:
        """Show how long it takes to restore all that is failed."""
        listed = [name for name in self._failed if self._site.lists(self._crane, name)]
        if listed:
            self.post_message(OpenTogether(tuple((self._crane, name) for name in listed)))
        else:
            self.refused(NOT_A_PLACE)


def group_effect(line: NeedLine, working: int) -> Effect:
    """Return what becomes of a group with so many members that work."""
    if working < (line.at_least or 0):
        return Effect.DEAD
    return Effect.WEAKER if working < (line.members or 0) else Effect.CARRIES_ON


def branch_text(row: Branch) -> str:
    """Return a line of the tree."""
    line = row.line
    if line.kind is NeedKind.GROUP:
        head = f"{line.at_least} of {line.members}"
        name = "" if line.name.startswith(head) else f": {line.name}"
        return f"{row.before}{head} must work{name}"
    return f"{row.before}{line.name}{f'  {ABOVE}' if line.again else ''}"


def share_text(row: Branch) -> str:
    """Return the share of work that goes with a function."""
    share = row.line.lost_share
    return "" if share is None else formats.share(share)


def effect_lines(effects: NeedEffects, crane: str) -> Iterator[Content]:
    """Return what a failure does to the crane and to its functions, and who decides."""
    if not effects.failed:
        yield said((NOT_A_PLACE, STRONG))
        return
    failed = formats.listed(effects.failed)
    verb = "fails" if len(effects.failed) == 1 else "fail together"
    state = state_text(effects.state)
    if effects.decide is not None:
        state = f"{REDUCED.symbol} {sentences.ASK_FIRST}"
    lost = formats.share(effects.lost_share)
    yield said((f"If {failed} {verb}: {crane} {state}, loses {lost} of its work.", STRONG))
    yield _told(Effect.DEAD, effects.functions_dead, effects.assemblies_dead, "$text-error")
    yield _told(Effect.WEAKER, effects.functions_weaker, effects.assemblies_weaker, "$text-warning")
    if effects.decide is not None:
        yield said((f"What fails here {effects.decide}.", WARN))
    if effects.load_bearing:
        yield said((BEARS_LOAD, WARN))


def _told(
    effect: Effect, functions: tuple[str, ...], assemblies: tuple[str, ...], ink: str
) -> Content:
    look = EFFECT_LOOKS[effect]
    named = formats.listed(functions) or "no function"
    inside = f"; inside: {formats.listed(assemblies)}" if assemblies else ""
    return said((f"{look.symbol} {look.word}: ", f"bold {ink}"), f"{named}{inside}.")
