"""The last line of every screen: which keys do what, as many as fit whole, help always."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from textual import events
from textual.content import Content
from textual.widget import Widget

from tui.acts import HELP, Act

GAP = 3


class KeyLine(Widget):
    """The actions of a screen; a click on one does it."""

    DEFAULT_CSS = "KeyLine { height: 1; padding: 0 1; background: $panel; color: $foreground; }"

    def __init__(self, acts: Sequence[Act]) -> None:
        super().__init__()
        self._acts = [act for act in acts if act.foot]
        self._idle: tuple[Act, ...] = ()

    def leave_out(self, *idle: Act) -> None:
        """Name all but these actions: as the screen stands they have nothing to do."""
        self._idle = idle
        self.refresh()

    def shown_acts(self, room: int) -> list[Act]:
        """Return the actions that fit; from the right, others go before help does."""
        acts = [act for act in self._acts if act not in self._idle]
        while len(acts) > 1 and sum(_width(act) for act in acts) + GAP * (len(acts) - 1) > room:
            acts.remove([act for act in acts if act.id != HELP.id][-1])
        return acts

    def render(self) -> Content:
        """Return key and word of each action."""
        pieces: list[str | tuple[str, str]] = []
        for act in self.shown_acts(self.content_size.width):
            pieces += [" " * GAP] if pieces else []
            pieces += [(act.key_name, "bold $footer-key-foreground"), f" {act.label}"]
        return Content.assemble(*pieces)

    async def on_click(self, event: events.Click) -> None:
        """Do the action clicked."""
        place = event.get_content_offset(self)
        x = 0
        for act in self.shown_acts(self.content_size.width):
            if place is not None and x <= place.x < x + _width(act):
                await self.app.run_action(act.action, default_namespace=self.screen)
                return
            x += _width(act) + GAP


def _width(act: Act) -> int:
    return cell_len(f"{act.key_name} {act.label}")
